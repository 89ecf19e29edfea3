"""The answer log in and out, and its check."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "everyone", 20


@click.group()
def log() -> None:
    """Export, merge and check the answer log."""


@log.command()
@click.pass_obj
def export(options: "Options") -> None:
    """Write the log as JSON Lines, one entry a line.

    Everyone's, or one student's when `--student` is given before the command.
    """
    from stickback.store import log as store

    database = options.database()
    everyone = options.everyone
    if not everyone:
        options.students(database)
    empty = True
    for line in store.lines(database, None if everyone else options.student):
        click.echo(line)
        empty = False
    if empty:
        click.echo("The log is empty.", err=True)
        click.get_current_context().exit(1)


@log.command("import")
@click.argument("file", type=File(allow_dash=True))
@click.option("--as", "owner", metavar="NAME", help="Whose entries they are, for a file of one student.")
@click.pass_obj
def import_(options: "Options", file: "Path", owner: str | None) -> None:
    """Merge an exported log in; `-` reads standard input.

    Merging is a set union: any order, any number of times, the same result. A bad line takes nothing in.
    """
    import sys

    from stickback import clock
    from stickback.refused import Refused
    from stickback.services import log as service

    database = options.database()
    now = clock.clock_for(clock.machine_zone(), options.today)
    try:
        raw = sys.stdin.buffer.read() if str(file) == "-" else file.read_bytes()
    except OSError as error:
        raise Refused(f"{file} cannot be read: {error.strerror}.") from None
    merged = service.merge(database, now, raw.split(b"\n"), owner)
    click.echo(f"{merged.new} new, {merged.known} there already.")


@log.command()
@click.pass_obj
def verify(options: "Options") -> None:
    """Try every promise of the log, and print its fingerprint.

    Two devices with the same log print the same. Exit status 1 when something does not hold.
    """
    from stickback.services import log as service
    from stickback.store import log as store

    database = options.database()
    checks = service.verify(database, options.load())
    for check in checks:
        click.echo(f"{'ok   ' if not check.wrong else 'WRONG'}  {check.name:<7} {'' if check.wrong else check.holds}")
        for wrong in check.wrong:
            click.echo(f"         {wrong}")
    click.echo(f"fingerprint  {store.fingerprint(database)}")
    if any(check.wrong for check in checks):
        click.get_current_context().exit(1)
