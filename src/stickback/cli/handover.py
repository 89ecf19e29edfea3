"""For the instructor: one page on a student, for whoever goes on teaching."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, give, paper

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "instructor", 36


@click.command()
@click.argument("name")
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="The page as .html, .pdf or .txt.")
@click.pass_obj
def handover(options: "Options", name: str, out: "Path | None") -> None:
    """Sum a student up for a new instructor, on one page.

    What is known and what is weak, errors that stand open, lessons flown and when, what was sure but wrong, notes:
    facts only.
    """
    from stickback.services import readiness as service
    from stickback.words import exports
    from stickback.words import handover as words

    form = paper(out)
    found = service.handover(options.database(), options.load(), name, options.today)
    give(exports.printed(words.document(found), form), out)
