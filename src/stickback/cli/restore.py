"""For the school: everything put back from a backup."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "school", 51


@click.command()
@click.argument("file", type=File())
@click.option("--anyway", is_flag=True, help="Take a backup in which `log verify` finds something wrong.")
@click.option("--bring-back", is_flag=True, help="Take one that holds students who were erased since it was saved.")
@click.pass_obj
def restore(options: "Options", file: "Path", *, anyway: bool, bring_back: bool) -> None:
    """Put a backup in the place of the database.

    The backup is checked first, as by `log verify`; what the database held before is kept beside it.
    """
    from stickback.services import backup as service
    from stickback.words import log as words

    held, kept = service.restore(options.database(), options.load(), file, anyway=anyway, back=bring_back)
    click.echo(words.restored(file, held, kept))
