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
    from stickback.cli.terminal import show
    from stickback.words import log as words

    desk, row = options.desk().undo()
    show.tell(words.undone(desk, row))
