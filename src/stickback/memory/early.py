"""What was known before it was asked: how much longer a first right answer holds for a student than the model believes.

A licensed pilot answers much right at first sight out of old knowledge, which the library's parameters take for learnt
that minute. So the stability after a first right answer follows the student's own second answers: it is stretched by
e to the power of an amount that is spread around nothing by `SPREAD` over students. It is taken up only where telling
every second answer from those before it alone would have beaten the library's parameters; that sum of log losses is
what the evidence for a stretch is. A right second answer never shortens it.

A stretch cannot tell a slip from forgetting: to the model one wrong answer takes nearly all of what was well known for
years. So beside it stands, for each question that was right at first, the chance that it was known before: such a
question is right again in `KEEPS` of all cases, however long ago it was asked, and what was learnt here is right as the
model says. How many of a student's first right answers were old knowledge is not known: nothing at all is as likely as
all other shares together, and the answers that came after say which.

Source: simulated students who knew none, a third and two thirds beforehand, or learnt all here; with it what they know
a month later was told 2 to 3 points better where much was known, and as well where nothing was.
"""

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters

LEAST = 40  # second answers
SPREAD = 1.0
LONGEST = 100.0  # days; the library's bound of a first stability
AMOUNTS = np.arange(-2.0, 3.76, 0.25)  # few enough that students share them, and are folded together
KEEPS = 0.95  # of what was known before, the share that is right whenever it is asked; the rest are slips
SHARES = np.array([0.0, 0.2, 0.4, 0.6, 0.8, 0.95])  # of first right answers that may be old knowledge
_LIKELY = np.log([0.5, *[0.5 / (len(SHARES) - 1)] * (len(SHARES) - 1)])


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


def known_before(first: Ints, history: Ints, told: Floats, right: Flags) -> Floats:
    """The chance that each history was known before it was asked, 0 where that was not plainly right; shape as `first`.

    Args:
        first: grade of the first answer, 0 where there is none; shape (students, histories).
        history: the cell in `first` of every further answer, as one number; `told`, the model's chance; `right`.

    A right answer never lowers it: the model's chance counts as no more than `KEEPS`.
    """
    held = np.clip(told, 1 - KEEPS, KEEPS)
    ratio = np.where(right, np.log(KEEPS / held), np.log((1 - KEEPS) / (1 - held)))
    may = first.ravel() == curve.RIGHT
    for_it = np.exp(np.bincount(history, ratio, first.size)[may])
    student, students = np.flatnonzero(may) // max(first.shape[1], 1), len(first)
    evidence = [np.bincount(student, np.log1p(share * (for_it - 1)), students) for share in SHARES]
    belief = np.array(evidence) + _LIKELY[:, None]
    belief = np.exp(belief - belief.max(axis=0))
    belief /= belief.sum(axis=0)
    found = np.zeros(first.size)
    for share, weight in zip(SHARES, belief, strict=True):
        found[may] += weight[student] * share * for_it / (1 - share + share * for_it)
    return found.reshape(first.shape)


def with_old_knowledge(chance: Floats, known_before: Floats) -> Floats:
    """The chance of a right answer to what may have been known before; nan stays nan."""
    return np.asarray(chance + known_before * np.maximum(KEEPS - chance, 0.0))
