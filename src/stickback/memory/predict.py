"""What the memory model expected of every answer just before it was given."""

from dataclasses import dataclass

import numpy as np

from stickback.memory import curve, fold
from stickback.memory.curve import Floats, Ints, Parameters


@dataclass(frozen=True)
class Followed:
    """The fold from nothing over some answers.

    Args:
        history: those that occur, ascending; `stability`, in days, of each after its last answer.
        chance: of a right answer, 0 to 1, just before each answer; nan for the first of a history; shape (answers,).
    """

    history: Ints
    stability: Floats
    chance: Floats


def follow(history: Ints, day: Ints, grade: Ints, w: Parameters = curve.DEFAULTS) -> Followed:
    """The fold and what it expected on the way.

    Args:
        history, day, grade: answers that all move the memory, as `fold.replay` takes them.
    """
    heads, turns = fold.in_turn(history)
    elapsed = np.diff(day, prepend=0)
    before = np.full(len(history), np.nan)
    s, d = curve.first(grade[heads], w)
    for k, many in enumerate(turns[1:], 1):
        now = heads[:many] + k
        before[now] = s[:many]
        s[:many], d[:many] = curve.step(s[:many], d[:many], grade[now], elapsed[now], w)
    ascending = np.argsort(heads)
    return Followed(history[heads[ascending]], s[ascending], curve.recall(before, elapsed, w))
