"""For the instructor: questions to print, the answers overleaf."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, by_ending, write

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "instructor", 30


@click.command()
@click.argument("name", metavar="TOPIC|LESSON")
@click.option("--aircraft", metavar="SHEET", help="Whose values. [default: the first sheet]")
@click.option("--phraseology", type=click.Choice(["icao", "uk", "faa"]), default="uk", show_default=True)
@click.option("--seed", type=int, default=0, show_default=True, help="Another seed draws other figures.")
@click.option("--out", type=File(), metavar="FILE", help="Write to a .html file. [default: standard output]")
@click.pass_obj
def handout(
    options: "Options", name: str, aircraft: str | None, phraseology: str, seed: int, out: "Path | None"
) -> None:
    """Print the questions of a topic or a lesson, answers overleaf.

    A page in HTML for any browser to print, with its pictures inside it.
    """
    from stickback.services import try_ as service
    from stickback.web import html as web

    by_ending(out, {"html": "html", "htm": "html"})
    course = options.load()
    text = web.handout(course, options.folder, service.handout(course, name, aircraft, phraseology, seed))
    if out is None:
        click.echo(text, nl=False)
    else:
        write([(out, text.encode())])
