"""For the student: the last answer or flown lesson taken back."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 70


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
