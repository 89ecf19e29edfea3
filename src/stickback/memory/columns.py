"""The answers of many students as arrays: what a forecast for a whole school starts from."""

from dataclasses import dataclass

from stickback.memory.curve import Flags, Ints
from stickback.memory.past import History


@dataclass(frozen=True)
class Columns:
    """The answers of several students as arrays, sorted by student and id.

    Args:
        histories: (question, variant) that occur, numbered by their place.
        student: place in the list of names asked for; `history`, `day` and `grade` as the fold takes them.
        sure: given as `sure`.
    """

    histories: dict[History, int]
    student: Ints
    history: Ints
    day: Ints
    grade: Ints
    sure: Flags
