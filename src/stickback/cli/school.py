"""For the school: several schools in one database."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "school", 52


@click.group()
def school() -> None:
    """Let one database serve several schools."""


@school.command()
@click.argument("name")
@click.pass_obj
def add(options: "Options", name: str) -> None:
    """Make a school; to work in it, write ?school=NAME behind the database."""
    from stickback.store import schools
    from stickback.words import person as words

    schools.add(options.database(), name)
    click.echo(words.made(name))


@school.command("list")
@click.pass_obj
def list_(options: "Options") -> None:
    """List the schools of the database."""
    from stickback.cli.terminal import show
    from stickback.store import schools
    from stickback.words import person as words

    show.columns([words.SCHOOL_HEAD, *map(words.school, schools.listed(options.database()))], 0)
