"""How much better or worse a student answers than the memory model expects: one offset for all questions.

The error of the model is shared by all questions of a student, so noise of each question's own would hide it. An
offset is a shift of the logit of the chance of a right answer. An answer of the next morning says nothing of what is
forgotten in weeks, so answers weigh the more the longer they had to be kept, those after `LONG` days in full.

Beside it: whether what a student knows fades as the model has it, or as steeply as the library allows. The model's tail
is fat, and a shift cannot mend that: near and far errors differ. The steeper curve is taken only where it told the
student's answers better by `CLEARLY`.

Source of method and numbers: simulated students; the offset integrated brought the forecast nearer to the truth in
every group of them, and so did the weights where forgetting follows another law. The steeper curve was taken by 9 of 10
who forget exponentially, and by 1 of 100 whom the model describes. The spread for the day itself is an assumption:
other words, an examiner, a longer gap.
"""

from collections.abc import Sequence
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from stickback.memory import curve
from stickback.memory.columns import Expected
from stickback.memory.curve import Flags, Floats, Parameters

WINDOW = 300  # answers looked back on
PRIOR = 0.5  # spread of the offset over students, before any answer is looked at
ON_THE_DAY = 0.25  # spread added for the day itself
CERTAIN = 0.99  # nothing is told with more certainty than this
LONG = 5  # days after which an answer weighs in full
CLEARLY = 1.0  # in logs of likelihood: e times as likely
_STEPS, _STRIDE = 30, 1.0


class Offsets(NamedTuple):
    """What is a student's own; shape (students,) each.

    Args:
        mean: the offset; `error`, its standard error, without what the day adds.
        steep: whether what is known fades more steeply than the model has it.
    """

    mean: Floats
    error: Floats
    steep: Flags


class _Answers(NamedTuple):
    """The last `WINDOW` answers of each student: chance told, what came, and days since the one before; 0 for none."""

    chance: Floats
    right: Floats
    elapsed: Floats


def offsets(expected: Sequence[Expected], parameters: Sequence[Parameters]) -> Offsets:
    """The most likely offset of each student, given that it is spread around nothing by `PRIOR`.

    Args:
        expected: of each student the chances told of answers, what came of them, and the days they had to be kept,
            oldest first.
        parameters: by which they were told.
    """
    told = _rows(expected)
    decay = np.array([[w[curve.DECAY]] for w in parameters]).reshape(-1, 1)
    plain, steeper = odds_of(told.chance), odds_of(curve.steeper(told.chance, decay))
    every = np.where(told.elapsed > 0, 1.0, 0.0)
    steep = _evidence(steeper, told.right, every) > _evidence(plain, told.right, every) + CLEARLY
    weight = np.clip((told.elapsed - 1) / (LONG - 1), 0.0, 1.0)
    mean, error = _fitted(np.where(steep[:, None], steeper, plain), told.right, weight)
    return Offsets(mean, error, steep)


def _rows(expected: Sequence[Expected]) -> _Answers:
    found = _Answers(*np.zeros((3, len(expected), WINDOW)))
    found.chance[:] = 0.5
    for row, columns in enumerate(expected):
        for values, column in zip(found, columns, strict=True):
            last = column[-WINDOW:]
            values[row, : len(last)] = last
    return found


def _fitted(odds: Floats, right: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """The offset and, from the curvature there, its error."""
    found = np.zeros(len(odds))
    for _ in range(_STEPS):
        told = shifted(odds, found[:, None])
        slope = ((right - told) * weight).sum(axis=1) - found / PRIOR**2
        curvature = (told * (1 - told) * weight).sum(axis=1) + 1 / PRIOR**2
        # A whole step can jump to and fro for ever where nearly everything told was wrong.
        found = found + np.clip(slope / curvature, -_STRIDE, _STRIDE)
    told = shifted(odds, found[:, None])
    return found, 1 / np.sqrt((told * (1 - told) * weight).sum(axis=1) + 1 / PRIOR**2)


def _evidence(odds: Floats, right: Floats, weight: Floats) -> Floats:
    """How likely the answers are with any offset, in logs, by Laplace's approximation; without what all have alike."""
    found, error = _fitted(odds, right, weight)
    told = shifted(odds, found[:, None])
    likely = (np.log(np.where(right > 0, told, 1 - told)) * weight).sum(axis=1)
    return np.asarray(likely - found**2 / (2 * PRIOR**2) + np.log(error))


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
