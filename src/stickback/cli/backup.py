"""For the school: everything saved in one file."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "school", 50


@click.command()
@click.argument("file", type=File())
@click.pass_obj
def backup(options: "Options", file: "Path") -> None:
    """Save the whole database in a new file.

    Others may go on answering meanwhile. The file is a database itself, also when yours is on a server: look into it
    with `--db FILE`, and put it back with `stickback restore FILE`.
    """
    from stickback.services import backup as service
    from stickback.words import log as words

    click.echo(words.saved(file, service.save(options.database(), file)))
