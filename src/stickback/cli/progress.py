"""For the student: what was known week by week, lesson by lesson."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, write

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "student", 55
_TITLE, _COLUMN = 32, 9  # columns that a lesson's title takes, and each week
_MOST_WRONG = 8


@click.command()
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.option("--svg", type=File(dir_okay=False), metavar="FILE", help="Write a picture too.")
@click.pass_obj
def progress(options: "Options", as_json: bool, svg: "Path | None") -> None:
    """See what was known week by week, and what went wrong of late.

    Lesson by lesson, with or without a date ahead; worked out from the answers as they stood then.
    """
    import json

    from stickback.cli.terminal import show
    from stickback.services import progress as service
    from stickback.words import progress as words

    desk = options.desk()
    found = service.progress(desk)
    if as_json:
        click.echo(json.dumps(service.as_json(desk, found), indent=2, ensure_ascii=False))
        return
    if not found.weeks:
        show.say("Nothing was answered yet; begin with `stickback review`.", indent=0)
        return
    if svg is not None:
        write([(svg, words.picture(desk, found).encode())])
    show.heading(words.headline(found))
    show.console().print()
    show.columns(words.rows(desk, found, max((show.console().width - _TITLE) // _COLUMN, 1)), 0)
    if found.wrong:
        show.heading("Wrong in the last four weeks")
        show.say(*map(words.wrong, found.wrong[:_MOST_WRONG]))
