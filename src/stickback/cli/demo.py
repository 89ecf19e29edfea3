"""For the newcomer: a throw-away school to look at."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "everyone", 90


@click.command()
@click.pass_obj
def demo(options: "Options") -> None:
    """Make a throw-away school of invented students to look at.

    It goes into the database named with --db, which must be new, else into a file of its own that is made afresh each
    time.
    """
    import shlex

    from stickback import clock
    from stickback.cli.terminal import show
    from stickback.services import demo as service
    from stickback.services import folder as folders
    from stickback.store import engine

    store = options.database() if options.db is not None else engine.afresh(folders.data("demo.db"))
    today = clock.clock_for(clock.machine_zone(), options.today).today
    course = options.load()
    with show.progress(len(service.cast(today)) + 1) as tell:
        school = service.build(store, course, today, tell)
    show.heading("A school that does not exist")
    show.columns((one.student.name, one.story) for one in school)
    show.heading("Look around")
    given = f" --today {today}" if options.today else ""
    folder = f" --course {shlex.quote(str(options.course))}" if options.course else ""
    start = f"stickback --db {shlex.quote(options.db or store.name)}{folder}{given}"
    for line in (
        f"{start} readiness",
        f'{start} --student "Bram Teasel" debrief',
        f'{start} --student "Cleo Marsh"',
        f'{start} --student "Esme Rook" review',
        f"{start} log verify",
    ):
        click.echo(f"  {line}")
