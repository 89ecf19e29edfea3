"""For the school: the readiness export."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stickback.cli.options import Day

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.course.course import Course
    from stickback.export.table import Table
    from stickback.services.readiness import Ready
    from stickback.study.student import Student

_FORMATS = ("text", "csv", "json")


@click.command()
@click.option("--on", type=Day(), metavar="DATE", help="The date. [default: each student's own, else today]")
@click.option("--format", "form", type=click.Choice(_FORMATS), help="[default: by the ending of --out, else text]")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="Write to a file.")
@click.pass_obj
def readiness(options: "Options", on: date | None, form: str | None, out: Path | None) -> None:
    """Export how each student's theory will stand on a date.

    A forecast for the instructor of what will be known if nothing more is studied; it certifies nothing. Everyone, or
    one student when `--student` is given before the command. A CSV file gets its description beside it, in a file
    `…-metadata.json`.
    """
    from stickback import clock
    from stickback.services import readiness as service

    course, database = options.load(), options.database()
    students = options.students(database)
    if not students:
        click.echo("No one studies here yet: `stickback student add NAME` adds a student.", err=True)
        click.get_current_context().exit(1)
    today = clock.clock_for(clock.machine_zone(), options.today).today
    found = service.readiness(database, course, students, service.dates(students, on, options.today))
    form = form or _by_ending(out)
    if form == "text":
        _text(course, found, today, out)
    else:
        _export(service.table(course, found), form, out)


def _by_ending(out: Path | None) -> str:
    ending = out.suffix.removeprefix(".").casefold() if out else "text"
    return ending if ending in _FORMATS else "text"


def _export(table: "Table", form: str, out: Path | None) -> None:
    from stickback.export import table as tables

    content = tables.as_csv(table) if form == "csv" else tables.as_json(table, "student") + "\n"
    if out is None:
        click.echo(content, nl=False)
        return
    # A spreadsheet takes a file without the mark for its own country's encoding.
    files = [(out, content.encode("utf-8-sig" if form == "csv" else "utf-8"))]
    if form == "csv":
        beside = out.with_name(f"{out.name}-metadata.json")
        files.append((beside, tables.metadata(table, out.name).encode()))
    _write(files)


def _write(files: "list[tuple[Path, bytes]]") -> None:
    from stickback.export import table as tables
    from stickback.refused import Refused

    try:
        tables.write_whole(files)
    except OSError as error:
        raise Refused(f"{files[0][0]} cannot be written: {error.strerror or error}.") from None
    for path, _ in files:
        click.echo(f"Written: {path}", err=True)


def _text(course: "Course", found: "list[Ready]", today: date, out: Path | None) -> None:
    lines = [line for one in found for line in _lines(course, one, today)]
    exam = f"{course.plan.exam_questions} questions, {course.plan.exam_pass:.0%} to pass".replace("%", " %")
    lines.append(f"Without further study until the date. The oral is this school's own: {exam}.")
    lines.append("A forecast of theory for an instructor; it certifies nothing.")
    content = "\n".join(lines)
    if out is None:
        click.echo(content)
    else:
        _write([(out, f"{content}\n".encode())])


def _lines(course: "Course", one: "Ready", today: date) -> list[str]:
    import math

    from stickback.cli.show import many, percent

    seen, questions = int(one.topics.seen.sum()), int(one.topics.questions.sum())
    head = f"{one.student.name} · {one.sheet.name} · {_date(one.student, one.date, today, course.plan.ends_with)}"
    if math.isnan(one.known):
        return [head, "  No question of the course applies to this aeroplane.", ""]
    if not seen:
        return [head, f"  Nothing answered yet; {many(questions, 'question is', 'questions are')} unseen.", ""]
    facts = f"  known {percent(one.known)} · passes the oral {percent(one.passes)} · seen {seen} of {questions}"
    wrong = int(one.misbeliefs.sum())
    return [head, facts + (f" · {wrong} sure but wrong" if wrong else ""), *_weakest(course, one), ""]


def _date(student: "Student", day: date, today: date, word: str) -> str:
    from stickback.cli.show import many

    what = word if student.checkride == day else "on"
    days = (day - today).days
    past = f"{many(-days, 'day')} ago: the date has passed"
    when = "today" if not days else f"in {many(days, 'day')}" if days > 0 else past
    return f"{what} {day.isoformat()} ({when})"


def _weakest(course: "Course", one: "Ready") -> list[str]:
    """The three must or seen topics that stand lowest."""
    from stickback.cli.show import percent

    rows = zip(course.plan.topics.values(), one.topics.known, one.topics.seen, strict=True)
    seen = sorted((float(known), topic.title) for topic, known, seen in rows if seen)
    return [f"    {percent(known):>6}  {title}" for known, title in seen[:3]]
