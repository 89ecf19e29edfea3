"""What was known before it was asked: how much longer a first right answer holds for a student than the model believes.

A licensed pilot answers much right at first sight out of old knowledge, which the library's parameters take for learnt
that minute. So the stability after a first right answer follows the student's own second answers: it is stretched by
e to the power of an amount that is spread around nothing by `SPREAD` over students. It is taken up only where telling
every second answer from those before it alone would have beaten the library's parameters; that sum of log losses is
what the evidence for a stretch is. A right second answer never shortens it.
"""

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters

LEAST = 40  # second answers
SPREAD = 1.0
LONGEST = 100.0  # days; the library's bound of a first stability
AMOUNTS = np.arange(-2.0, 3.76, 0.25)  # few enough that students share them, and are folded together


def stretches(student: Ints, elapsed: Ints, first: Ints, right: Flags, students: int) -> Floats:
    """The amount for each student, 0 where nothing is taken up; shape (students,).

    Args:
        student, elapsed, first, right: of each second answer to a question first answered right: whose it is, the days
            since the first, the first one's grade, and whether it is right; shape (answers,).
    """
    belief = np.exp(-(AMOUNTS**2) / (2 * SPREAD**2))
    belief /= belief.sum()
    stability = np.array(curve.DEFAULTS)[first - 1]
    chance = [curve.recall(np.minimum(stability * np.exp(one), LONGEST), elapsed) for one in AMOUNTS]
    told = np.log(np.where(right, chance, 1 - np.array(chance).reshape(len(AMOUNTS), -1)))
    sums = np.stack([np.bincount(student, row, students) for row in told])
    against_none = sums - sums[np.flatnonzero(AMOUNTS == 0)]
    evidence = np.log((np.exp(against_none) * belief[:, None]).sum(axis=0))
    found = AMOUNTS[(against_none + np.log(belief)[:, None]).argmax(axis=0)]
    enough = np.bincount(student, minlength=students) >= LEAST
    return np.where(enough & (evidence > 0), found, 0.0)


def stretched(w: Parameters, amount: float) -> Parameters:
    """The parameters with what a first right answer leaves stretched."""
    if not amount:
        return w
    longer = (float(min(value * np.exp(amount), LONGEST)) for value in w[1:4])
    return (w[0], *longer, *w[4:])
