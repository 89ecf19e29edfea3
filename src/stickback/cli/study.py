"""For the student: today at a glance, the daily review, taking back, and recording a lesson flown."""

import shlex
import sys
from datetime import date
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.services.desk import Desk
    from stickback.services.today import Glance
    from stickback.study.debrief import Weak


def glance(options: "Options") -> None:
    """Today in a few lines."""
    from stickback.cli import show
    from stickback.reading import render
    from stickback.services import today

    desk = options.desk()
    seen = today.glance(desk)
    out = show.console()
    out.print()
    show.say(*_greeting(desk, seen), style="bold", indent=0)
    if seen.weakest:
        show.heading("Weakest now")
        show.columns(
            (render.line(one.topic.title, desk.sheet.values), _state(one), f"stickback lesson {one.topic.id}")
            for one in seen.weakest
        )
    show.heading("Ahead")
    show.columns(_ahead(desk))
    out.print()
    show.say(_next(seen), indent=0)


def _state(one: "Weak") -> str:
    from stickback import amount

    if one.misbeliefs:
        return "sure but wrong"
    return "seen in flight" if one.errors or one.known is None else amount.percent(one.known)


def _greeting(desk: "Desk", seen: "Glance") -> list[str]:
    from stickback.amount import many

    away = seen.away or 0
    welcome = ["Welcome back. What matters for safety and this aeroplane's numbers come first."] if away >= 21 else []
    if not desk.questions:
        return ["No question of this course can be asked on this aeroplane; `stickback check` says why."]
    if not seen.questions:
        done = "Today's review is done." if seen.asked else "Nothing to review today: all that you have seen is fresh."
        return [*welcome, done]
    about = " and ".join(title.partition(": ")[2] or title for title in seen.about).lower()
    return [*welcome, f"{many(seen.minutes, 'minute')}, about {many(seen.questions, 'question')}, mostly {about}."]


def _ahead(desk: "Desk") -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("Aeroplane", f"{desk.sheet.name} ({desk.sheet.values['callsign']})")]
    student = desk.student
    if student.next_lesson is not None:
        lesson = next((one for one in desk.course.plan.lessons if one.id == student.next_lesson), None)
        title = lesson.title if lesson else student.next_lesson
        when = f", {_in_days(desk.day, student.next_on)}" if student.next_on else ""
        rows.append(("Next lesson", f"{title}{when}"))
    word = desk.course.plan.ends_with.capitalize()
    if student.checkride is not None:
        rows.append((word, _in_days(desk.day, student.checkride)))
    else:
        rows.append((word, f"no date yet: stickback student set {shlex.quote(student.name)} --checkride DATE"))
    return rows


def _in_days(today: date, day: date) -> str:
    days = (day - today).days
    words = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    return f"{day:%d %B %Y} ({words.get(days) or (f'in {days} days' if days > 0 else f'{-days} days ago')})".lstrip("0")


def _next(seen: "Glance") -> str:
    if seen.questions:
        return "stickback review   starts it. stickback --help   lists the rest."
    return "stickback review --lesson LESSON   practises one lesson. stickback --help   lists the rest."


@click.command()
@click.option("--minutes", type=click.IntRange(1, 240), help="Minutes for today, instead of your setting.")
@click.option("--questions", type=click.IntRange(1, 1000), help="Stop after so many answers.")
@click.option("--topic", metavar="ID", help="Keep to one topic.")
@click.option("--lesson", metavar="ID", help="Keep to one lesson.")
@click.option("--seed", type=int, help="Draw and shuffle the same again.")
@click.pass_obj
def review(
    options: "Options",
    minutes: int | None,
    questions: int | None,
    topic: str | None,
    lesson: str | None,
    seed: int | None,
) -> None:
    """Do today's review.

    At a terminal single keys answer, and g, t or s (guess, think so, sure) submits. Through a pipe every answer is a
    line, such as `b sure`; `stop` or the end of the input leaves. It can be left at any answer and goes on from there.
    """
    from stickback.services import review as service
    from stickback.services.today import Wish

    desk = options.desk()
    session = service.start(desk, Wish(minutes, questions, topic, lesson, seed))
    desk.database.prepare()
    if sys.stdin.isatty() and sys.stdout.isatty():
        from stickback.cli import screen

        screen.sit(session)
    else:
        from stickback.cli import lines

        lines.sit(session)


@click.command()
@click.pass_obj
def undo(options: "Options") -> None:
    """Take back the last answer or flown lesson.

    It stays in the log and counts for nothing; the question comes back another day.
    """
    from stickback import clock
    from stickback.services import undo as service

    _, row = service.undo(options.desk())
    what = "answer to" if row.what == "answer" else "flown lesson"
    name = (row.question or "").rpartition("/")[2]
    click.echo(f"Taken back: the {what} '{name}' of {clock.day_date(row.day)}.")


@click.command()
@click.argument("lesson")
@click.option("--error", "errors", multiple=True, metavar="ID", help="An error that was seen; may be repeated.")
@click.option("--by", type=click.Choice(["self", "instructor"]), default="self", show_default=True, help="Who saw it.")
@click.option("--note", default="", metavar="TEXT", help="Anything to remember.")
@click.pass_obj
def flown(options: "Options", lesson: str, errors: tuple[str, ...], by: str, note: str) -> None:
    """Record a flying lesson and what was seen to go wrong.

    The topics behind each error come first in the next reviews. `stickback lesson LESSON` lists the errors by id.
    """
    from stickback.services import flown as service

    _, recorded = service.flight(options.desk(), lesson, errors, by, note)
    click.echo(f"Recorded: {recorded.title}, {recorded.day}.")
    for text, topics in recorded.errors:
        click.echo(f"  {text}: behind it {', '.join(topics)}")
