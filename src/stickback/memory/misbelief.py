"""Sure but wrong: what a student believed with confidence, open until it was put right on two different days."""

from dataclasses import dataclass

import numpy as np

from stickback.memory import fold
from stickback.memory.curve import Flags, Ints
from stickback.memory.past import History, Past

DAYS_TO_MEND = 2


@dataclass(frozen=True)
class Misbelief:
    """A wrong answer given as `sure`.

    Args:
        day: day number of the latest such answer.
        mended: on how many different days since it was right and not guessed.
    """

    history: History
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


def still_open(past: Past) -> dict[History, Misbelief]:
    """The misbeliefs of one student that are still open, oldest first."""
    index = past.memory.index
    history, day, grade = past.columns
    sure = np.array([row.confidence == "sure" for row in past.answers], dtype=np.bool_)
    last, mended = opened(history, day, grade, sure, len(index))
    found = [
        Misbelief(each, int(last[at]), int(mended[at]))
        for each, at in index.items()
        if last[at] >= 0 and mended[at] < DAYS_TO_MEND
    ]
    return {one.history: one for one in sorted(found, key=lambda one: one.day)}
