"""For student and instructor: a flying lesson recorded."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 60


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
    from stickback.words import log as words

    _, recorded = service.flight(options.desk(), lesson, errors, by, note)
    first, *behind = words.flown(recorded)
    click.echo("\n  ".join([first, *behind]))
