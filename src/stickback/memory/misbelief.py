"""Sure but wrong: what a student believed with confidence, open until it was put right on two different days."""

from dataclasses import dataclass

import numpy as np

from stickback.memory import fold
from stickback.memory.curve import Flags, Ints

DAYS_TO_MEND = 2


@dataclass(frozen=True)
class Misbelief:
    """A wrong answer given as `sure`.

    Args:
        history: question and variant.
        day: day number of the latest such answer.
        mended: on how many different days since it was right and not guessed.
    """

    history: tuple[str, str]
    day: int
    mended: int


def opened(history: Ints, day: Ints, grade: Ints, sure: Flags, histories: int) -> tuple[Ints, Ints]:
    """When each history was last answered wrong and sure, and on how many days since it was mended.

    Args:
        history, day, grade: answers as `fold.fold` takes them.
        sure: those given as `sure`.
    Returns: day numbers (-1 where that never happened) and counts of days; shape (histories,).

    Practice opens a misbelief as any answer does, and never mends one.
    """
    last = np.full(histories, -1, dtype=np.int64)
    wrong = sure & (grade == fold.WRONG)
    np.maximum.at(last, history[wrong], day[wrong])
    at = fold.first_of_day(history, day)
    mends = at[(grade[at] == fold.RIGHT) & (day[at] > last[history[at]]) & (last[history[at]] >= 0)]
    return last, np.bincount(history[mends], minlength=histories)
