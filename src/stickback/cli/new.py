"""For the instructor: a course to begin with."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from pathlib import Path

FOR, RANK = "instructor", 40


@click.command()
@click.argument("folder", metavar="DIR", type=File())
def new(folder: "Path") -> None:
    """Write a small course to begin with: a plan, a sheet, a deck.

    The deck holds one question of every kind.
    """
    from stickback.services import folder as service

    for name in service.begin(folder):
        click.echo(f"{folder / name}")
    click.echo(f"\nChange every word of it. Then:\n  stickback check {folder} --watch\n  stickback format")
