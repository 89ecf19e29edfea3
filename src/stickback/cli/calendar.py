"""For the student: the dates as a file for one's own calendar."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, write

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "student", 90


@click.command()
@click.option(
    "--at", type=click.DateTime(["%H:%M"]), default="19:00", show_default=True, help="When the daily review begins."
)
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="Write to a file.")
@click.pass_obj
def calendar(options: "Options", at: "datetime", out: "Path | None") -> None:
    """Write the daily review and your dates as an iCalendar file.

    Import it into any calendar; a later file takes the place of an earlier one.
    """
    from stickback.services import calendar as service
    from stickback.words import terms

    desk = options.desk()
    content = service.calendar(desk, terms.end(desk.course).capitalize(), at.time())
    if out is None:
        click.echo(content.decode().replace("\r\n", "\n"), nl=False)
    else:
        write([(out, content)])
