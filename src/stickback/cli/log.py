"""The answer log in and out, and its check."""

from typing import TYPE_CHECKING, Any

import click

from stickback.cli.options import Day, File

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
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

    Everyone's, or one student's when `--student` is given before the command, also of one who was removed.
    """
    from stickback.cli.terminal import streams
    from stickback.store import acts, people
    from stickback.store import log as store

    database = options.database()
    everyone = options.everyone
    if not everyone and options.student not in people.everyone(database, hidden=True):
        options.students(database)
    acts.told(database, "log exported", None if everyone else options.student)
    empty = True
    for line in store.lines(database, None if everyone else options.student):
        click.echo(streams.escaped(line))
        empty = False
    if empty:
        click.echo("The log is empty.", err=True)
        click.get_current_context().exit(1)


@log.command("import")
@click.argument("source", metavar="FILE", type=File(allow_dash=True))
@click.option("--as", "owner", metavar="NAME", help="Whose entries they are, for a file of one student.")
@click.option("--dry-run", is_flag=True, help="Only say what would be taken.")
@click.option("--keep", type=click.Choice(["here", "there"]), help="Which content to keep where one entry has two.")
@click.option("--new", is_flag=True, help="Take a name that is nearly another's for a new student, without asking.")
@click.option(
    "--bring-back",
    is_flag=True,
    help="Take in students who were erased here; nothing keeps their old log out from then on.",
)
@click.pass_obj
def import_(options: "Options", /, source: "Path", owner: str | None, dry_run: bool, keep: Any, **more: bool) -> None:
    """Merge exported logs in: a file, every file of a folder, or `-` for standard input.

    Merging is a set union: any order, any number of times, the same result. A bad line takes nothing of its file in.
    One entry with two contents is named, and neither is taken until --keep says which.
    """
    from dataclasses import replace

    from stickback import clock
    from stickback.refused import Refused
    from stickback.services import log as service
    from stickback.store import acts
    from stickback.words import log as words

    database, course = options.database(), options.load()
    now = clock.clock_for(clock.machine_zone(), options.today)
    said = service.Answers(owner, keep, more["new"], more["bring_back"])
    failed = False
    if not dry_run:
        acts.told(database, "handed in")
    for name, raw in _files(source):
        try:
            try:
                taken = service.hand_in(database, course, now, raw, said, dry=dry_run)
            except service.Alike as alike:
                for new, other in alike.names.items():
                    _ask(new, other)
                taken = service.hand_in(database, course, now, raw, replace(said, new=True), dry=dry_run)
        except Refused as refused:
            if name is None:
                raise
            click.echo(f"{name}: {refused}", err=True)
            failed = True
            continue
        click.echo(words.taken(taken, name, dry=dry_run))
        for conflict in taken.conflicts:
            click.echo(f"One entry, two contents; say --keep here or --keep there:\n{conflict}", err=True)
            failed = True
    if failed:
        click.get_current_context().exit(1)


def _ask(new: str, other: str) -> None:
    import sys

    from stickback.refused import Refused

    if not sys.stdin.isatty():
        raise Refused(f"'{new}' is not here, and '{other}' is; say --as '{other}', or --new for a new student.")
    click.confirm(f"'{new}' is not here, and '{other}' is. Is '{new}' a new student?", abort=True)


def _files(source: "Path") -> "Iterator[tuple[str | None, bytes]]":
    """The content of a file, or of each in a folder with its name."""
    import sys

    from stickback.refused import Refused

    try:
        if str(source) == "-":
            yield None, sys.stdin.buffer.read()
        elif source.is_dir():
            for each in sorted(source.iterdir()):
                if each.is_file() and not each.name.startswith("."):
                    yield each.name, each.read_bytes()
        else:
            yield None, source.read_bytes()
    except OSError as error:
        raise Refused(f"{error.filename or source} cannot be read: {error.strerror}.") from None


@log.command()
@click.option("--against", metavar="FINGERPRINT", help="One that was printed before, to hold the log to.")
@click.option("--until", type=Day(), metavar="DAY", help="The last day of what it was printed for.")
@click.pass_obj
def verify(options: "Options", against: str | None, until: "date | None") -> None:
    """Try every promise of the log, and print its fingerprint.

    Two devices with the same log print the same. Exit status 1 when something does not hold.
    """
    from stickback.services import verify as service
    from stickback.store import log as store

    database = options.database()
    checks = service.verify(database, options.load())
    if against is not None:
        checks.append(service.against(database, against, until or options.day))
    for check in checks:
        click.echo(f"{'ok   ' if not check.wrong else 'WRONG'}  {check.name:<8}{'' if check.wrong else check.holds}")
        for wrong in check.wrong:
            click.echo(f"         {wrong}")
        for note in check.notes:
            click.echo(f"note     {note}")
    click.echo(service.COVERS)
    click.echo(f"fingerprint  {store.fingerprint(database, until)}")
    if any(check.wrong for check in checks):
        click.get_current_context().exit(1)
