"""For the school: who needs what next, and the readiness export."""

from datetime import date
from itertools import starmap
from typing import TYPE_CHECKING

import click

from stickback.cli.options import Day, File, by_ending, write

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.services.plans import SoFar
    from stickback.services.readiness import Report

FOR, RANK = "school", 20

_FORMATS = ("text", "csv", "json", "xlsx", "html", "pdf")
_ENDINGS = {"txt": "text", **{form: form for form in _FORMATS[1:]}, "htm": "html"}
_BINARY = ("xlsx", "pdf")


@click.command()
@click.option("--on", type=Day(), metavar="DATE", help="The date. [default: each student's own, else today]")
@click.option("--topics", is_flag=True, help="A row for each student and topic.")
@click.option("--pages", is_flag=True, help="As text: a page for each student after the overview.")
@click.option("--weekly", is_flag=True, help="Week by week since the first answer: what was known then.")
@click.option("--format", "form", type=click.Choice(_FORMATS), help="[default: by the ending of --out, else text]")
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="Write to a file.")
@click.option("--svg", type=File(dir_okay=False), metavar="FILE", help="Draw predicted against observed too.")
@click.pass_obj
def readiness(
    options: "Options",
    /,
    on: date | None,
    topics: bool,
    pages: bool,
    weekly: bool,
    form: str | None,
    out: "Path | None",
    svg: "Path | None",
) -> None:
    """Show who needs what next; export how theory will stand.

    One screen: a row a student, the nearest date first. With `--student NAME` before the command, or with --pages, a
    page a student. Files are .txt, .csv (with its description beside it), .json, .xlsx, .html and .pdf. A forecast for
    the instructor of what will be known if nothing more is studied; it certifies nothing.
    """
    from stickback.services import readiness as service
    from stickback.store import acts

    form = form or by_ending(out, _ENDINGS, ", or say --format")
    if form in _BINARY and out is None:
        raise click.UsageError(f"A file of the form {form} is not for a screen: name one with --out.")
    course, database = options.load(), options.database()
    students = options.students(database)
    if not students:
        click.echo("No one studies here yet: `stickback student add NAME` adds a student.", err=True)
        click.get_current_context().exit(1)
    board = form == "text" and not (weekly or pages or out or topics or not options.everyone)
    if weekly:
        made = _weekly(service.weekly(database, course, students, options.today), form, out)
    else:
        found = service.report(database, course, students, on, options.today, whole=not board, so_far=_so_far())
        made = [] if board else _made(found, form, topics, out)
    if out is not None or form != "text":  # before any of it leaves, and not of what could not be made
        acts.told(database, "exported", None if options.everyone else students[0].name)
    if board:
        _board(found)
    else:
        _write(made, out)
    if svg is not None and not weekly:
        _picture(found, svg)


def _so_far() -> "SoFar":
    """Says at a terminal how far the plans of a large school are; in a file or a pipe nothing."""
    import sys

    from stickback.cli.terminal import streams
    from stickback.services import plans

    def told(done: int, many: int) -> None:
        if many > plans.ALONE:
            said = f"Plans: {done} of {many}" if done < many else ""
            streams.raw(sys.stderr).write(f"\r\x1b[K{said}")
            sys.stderr.flush()

    return told if sys.stderr.isatty() else plans.quiet


def _board(found: "Report") -> None:
    import shutil

    from stickback.words import board

    width = shutil.get_terminal_size((board.WIDE, 40)).columns
    for line in board.lines(found.course, found.pages, found.day, min(width, board.WIDEST)):
        click.echo(line)


def _write(made: list[tuple[str, bytes]], out: "Path | None") -> None:
    """Files beside the one named, or the first on standard output."""
    if out is None:
        click.echo(made[0][1].decode(), nl=False)
    else:
        write([(out.with_name(name), content) for name, content in made])


def _weekly(found: "Report", form: str, out: "Path | None") -> list[tuple[str, bytes]]:
    from stickback.words import exports

    if form in {"html", "pdf"}:
        raise click.UsageError("Week by week is a table: write .txt, .csv, .json or .xlsx.")
    return exports.weekly(found, form, out.name if out else "")


def _made(found: "Report", form: str, topics: bool, out: "Path | None") -> list[tuple[str, bytes]]:
    """The files of a form, each with its name; the first is the one asked for."""
    from stickback.words import exports

    return exports.files(found, form, out.name if out else "", topics=topics)


def _picture(found: "Report", path: "Path") -> None:
    from stickback.pictures import chart

    told = found.calibration
    drawn = chart.reliability("Predicted against observed", list(starmap(chart.Share, told.bins)), told.noise_floor)
    write([(path, drawn.encode())])
