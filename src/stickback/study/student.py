"""Student: who studies, and the settings that studying follows."""

from dataclasses import dataclass
from datetime import date

from stickback.course.course import PHRASEOLOGIES

LEAST_TARGET, MOST_TARGET = 0.70, 0.97  # the range in which the memory model's intervals make sense
MOST_MINUTES = 120
ME = "me"


@dataclass(frozen=True, kw_only=True)
class Student:
    """A student's name and settings; what was never set is None or the default.

    Args:
        aircraft: id of the sheet flown; None means the first of the course.
        checkride: date of the test or sign-off at the end.
        next_lesson, next_on: the next flying lesson and its date.
        minutes: a study day's budget.
        target: chance of knowing a question below which it counts as rusty.
        zone: time zone; None means the machine's.
    """

    name: str
    aircraft: str | None = None
    phraseology: str = PHRASEOLOGIES[1]
    checkride: date | None = None
    next_lesson: str | None = None
    next_on: date | None = None
    minutes: int = 10
    target: float = 0.9
    zone: str | None = None
