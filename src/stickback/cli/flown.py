"""For student and instructor: a flying lesson recorded."""

from datetime import date
from typing import TYPE_CHECKING, Any

import click

from stickback.cli.options import Day

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 60


@click.command()
@click.argument("lesson")
@click.option("--on", type=Day(), metavar="DATE", help="The day of the flight. [default: today]")
@click.option("--aircraft", default="", metavar="SHEET", help="The aeroplane flown. [default: the student's]")
@click.option("--by", default="self", show_default=True, metavar="WHO", help="Who saw it: self, or the instructor.")
@click.option("--dual", "seat", flag_value="dual", help="Flown with the instructor.")
@click.option("--solo", "seat", flag_value="solo", help="Flown alone.")
@click.option("--wind", default="", metavar="FROM/KNOTS", help="The wind, such as 240/12.")
@click.option("--full-stop", type=click.IntRange(0), metavar="N", help="Landings to a full stop.")
@click.option("--wheel", type=click.IntRange(0), metavar="N", help="Wheel landings.")
@click.option("--go-around", type=click.IntRange(0), metavar="N", help="Go-arounds.")
@click.option("--standard", type=click.Choice(["met", "prompted", "not-yet"]), help="The lesson's completion standard.")
@click.option("--error", "errors", multiple=True, metavar="ID", help="An error that was seen; may be repeated.")
@click.option("--note", default="", metavar="TEXT", help="Anything to remember.")
@click.pass_obj
def flown(
    options: "Options", /, lesson: str, on: date | None, seat: str | None, standard: str | None, **told: Any
) -> None:
    """Record a flying lesson and what was seen to go wrong.

    The topics behind each error come first in the next reviews; flying the lesson again with the instructor closes it.
    `stickback lesson LESSON` lists the errors by id. A student's own record and an instructor's are kept apart; who
    the instructor was is written down as it is said.
    """
    from stickback import clock
    from stickback.cli.terminal import show
    from stickback.services import flown as service
    from stickback.study.flown import Flown
    from stickback.words import flown as words

    desk = options.desk()
    day = desk.number if on is None else clock.day_number(on)
    _, recorded = service.flight(desk, Flown(lesson=lesson, day=day, seat=seat or "", standard=standard or "", **told))
    first, *behind = words.recorded(recorded)
    show.tell(first, *(f"  {one}" for one in behind))
