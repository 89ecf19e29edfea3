"""How much better or worse a student answers than the memory model expects: one offset for all questions.

The error of the model is shared by all questions of a student, so noise of each question's own would hide it. An
offset is a shift of the logit of the chance of a right answer.

Source of method and numbers: simulated students; the offset integrated brought the forecast nearer to the truth in
every group of them. The spread for the day itself is an assumption: other words, an examiner, a longer gap.
"""

from collections.abc import Sequence
from statistics import NormalDist

import numpy as np

from stickback.memory.curve import Flags, Floats

WINDOW = 300  # answers looked back on
PRIOR = 0.5  # spread of the offset over students, before any answer is looked at
ON_THE_DAY = 0.25  # spread added for the day itself
CERTAIN = 0.99  # nothing is told with more certainty than this
_STEPS, _STRIDE = 30, 1.0


def offsets(told: Sequence[tuple[Floats, Flags]]) -> tuple[Floats, Floats]:
    """The offset of each student and its standard error, without what the day adds; shape (students,).

    Args:
        told: of each student the chances told of answers, and what came of them, oldest first.

    The most likely offset, given that it is spread around nothing by `PRIOR`; the error from the curvature there.
    """
    odds, right, there = _rows(told)
    found = np.zeros(len(told))
    for _ in range(_STEPS):
        # A whole step can jump to and fro for ever where nearly everything told was wrong.
        found = found + np.clip(_slope(odds, right, there, found) / _curvature(odds, there, found), -_STRIDE, _STRIDE)
    return found, 1 / np.sqrt(_curvature(odds, there, found))


def _rows(told: Sequence[tuple[Floats, Flags]]) -> tuple[Floats, Floats, Floats]:
    """Odds told, what came, and whether there is such an answer: the last `WINDOW` of each student."""
    odds, right, there = np.ones((3, len(told), WINDOW))
    for row, (chance, came) in enumerate(told):
        many = min(len(chance), WINDOW)
        odds[row, :many] = odds_of(chance[-WINDOW:])
        right[row, :many] = came[-WINDOW:]
        there[row, many:] = 0
    return odds, right * there, there


def _slope(odds: Floats, right: Floats, there: Floats, offset: Floats) -> Floats:
    told = shifted(odds, offset[:, None])
    return np.asarray(((right - told) * there).sum(axis=1) - offset / PRIOR**2)


def _curvature(odds: Floats, there: Floats, offset: Floats) -> Floats:
    told = shifted(odds, offset[:, None])
    return np.asarray((told * (1 - told) * there).sum(axis=1) + 1 / PRIOR**2)


def odds_of(chance: Floats) -> Floats:
    """The odds of a chance, which is first held between 0.01 and 0.99; nan stays nan."""
    held = np.clip(chance, 1 - CERTAIN, CERTAIN)
    return np.asarray(held / (1 - held))


def shifted(odds: Floats, offset: Floats) -> Floats:
    """The chance of some odds after an offset."""
    moved = odds * np.exp(offset)
    return np.asarray(moved / (1 + moved))


def levels(mean: Floats, error: Floats, many: int) -> Floats:
    """Offsets on the day that are equally likely, ascending; shape (students, many)."""
    spread = np.sqrt(error**2 + ON_THE_DAY**2)
    return np.asarray(mean[:, None] + spread[:, None] * normals(many))


def normals(many: int) -> Floats:
    """Values of a normal distribution with spread 1 that are equally likely, ascending; shape (many,)."""
    return np.array([NormalDist().inv_cdf((at + 0.5) / many) for at in range(many)])
