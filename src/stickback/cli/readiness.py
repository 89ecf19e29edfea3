"""For the school: the readiness export."""

from datetime import date
from itertools import starmap
from typing import TYPE_CHECKING

import click

from stickback.cli.options import Day, File
from stickback.cli.terminal import files

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.course.course import Course
    from stickback.export.table import Table
    from stickback.readiness.verdict import Statement

FOR, RANK = "school", 20

_FORMATS = ("text", "csv", "json")


@click.command()
@click.option("--on", type=Day(), metavar="DATE", help="The date. [default: each student's own, else today]")
@click.option("--format", "form", type=click.Choice(_FORMATS), help="[default: by the ending of --out, else text]")
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="Write to a file.")
@click.option(
    "--svg",
    type=File(dir_okay=False),
    metavar="FILE",
    help="Draw predicted against observed too.",
)
@click.pass_obj
def readiness(options: "Options", on: date | None, form: str | None, out: "Path | None", svg: "Path | None") -> None:
    """Export how each student's theory will stand on a date.

    A forecast for the instructor of what will be known if nothing more is studied; it certifies nothing. Everyone, or
    one student when `--student` is given before the command. A CSV file gets its description beside it, in a file
    `…-metadata.json`.
    """
    from stickback import clock
    from stickback.services import readiness as service
    from stickback.words import columns

    course, database = options.load(), options.database()
    students = options.students(database)
    if not students:
        click.echo("No one studies here yet: `stickback student add NAME` adds a student.", err=True)
        click.get_current_context().exit(1)
    today = clock.clock_for(clock.machine_zone(), options.today).today
    dates = service.dates(students, on, options.today)
    form = form or _by_ending(out)
    found = service.readiness(database, course, students, dates, service.todays(students, options.today))
    if form == "text":
        _text(course, found, today, out)
    else:
        _export(columns.table(course, found), form, out)
    if svg is not None:
        _picture(found, svg)


def _by_ending(out: "Path | None") -> str:
    ending = out.suffix.removeprefix(".").casefold() if out else "text"
    return ending if ending in _FORMATS else "text"


def _export(table: "Table", form: str, out: "Path | None") -> None:
    from stickback.export import table as tables

    content = tables.as_csv(table) if form == "csv" else tables.as_json(table, "student") + "\n"
    if out is None:
        click.echo(content, nl=False)
        return
    # A spreadsheet takes a file without the mark for its own country's encoding.
    made = [(out, content.encode("utf-8-sig" if form == "csv" else "utf-8"))]
    if form == "csv":
        beside = out.with_name(f"{out.name}-metadata.json")
        made.append((beside, tables.metadata(table, out.name).encode()))
    files.write(made)


def _picture(found: "list[Statement]", path: "Path") -> None:
    from stickback.pictures import chart
    from stickback.readiness.calibrate import calibration

    told = calibration([one.told for one in found])
    drawn = chart.reliability("Predicted against observed", list(starmap(chart.Share, told.bins)), told.noise_floor)
    files.write([(path, drawn.encode())])


def _text(course: "Course", found: "list[Statement]", today: date, out: "Path | None") -> None:
    from stickback.cli.terminal.report import report
    from stickback.readiness.calibrate import calibration

    content = "\n".join(report(course, found, calibration([one.told for one in found]), today))
    if out is None:
        click.echo(content)
    else:
        files.write([(out, f"{content}\n".encode())])
