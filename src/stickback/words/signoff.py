"""What the rules ask for before the sign-off, and on which days it was flown: for the instructor, who decides.

Sources: 14 CFR 61.31(i)(1)(i) to (iii) for the United States; Part-FCL FCL.710 for Europe and the UK, as described in a
training organisation's note of 2017 (the reader is told to check the current text). As the lesson plan has it.
"""

from collections.abc import Iterator, Sequence

from stickback import clock
from stickback.export.document import Blanks, Grid, Heading, Part, Text
from stickback.study.flown import Flown

_US = (
    ("Normal and crosswind take-offs and landings", "full_stop"),
    ("Wheel landings, unless the maker has recommended against them", "wheel"),
    ("Go-arounds", "go_around"),
)
_RULES = {
    "faa": "14 CFR 61.31(i): training in a tailwheel aeroplane that covers at least what is listed, and an endorsement "
    "from an instructor who found the pilot proficient. No number of hours or landings is laid down.",
    "fcl": "Part-FCL, FCL.710: differences training with an instructor, who signs the logbook. No number of hours is "
    "laid down; the exercises listed are those that the lesson plan flies.",
}
CHECK = "Check the current text of your own state; the flight manual and the instructor decide."


def parts(end: str, phraseology: str, flights: Sequence[Flown]) -> Iterator[Part]:
    """What is asked for, the days on which it was recorded, and a place to sign."""
    yield Heading(f"For the {end}")
    yield Text(_RULES["faa" if phraseology == "faa" else "fcl"])
    rows = tuple((what, _days(flights, count, own=False), _days(flights, count, own=True)) for what, count in _US)
    yield Grid(("Exercise", "Recorded as the instructor's", "Student's own record"), rows)
    yield Text(CHECK, "small")
    yield Blanks(("Instructor's name and number", "Signature", "Date"))


def _days(flights: Sequence[Flown], count: str, *, own: bool) -> str:
    """The days with such landings, in one record or the other; a dash where there is none."""
    days = sorted({one.day for one in flights if one.own == own and getattr(one, count)})
    return ", ".join(clock.day_date(day).isoformat() for day in days) or "–"
