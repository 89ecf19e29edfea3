"""What is known of questions that were never asked: from how the student's other first answers went.

How good a student is at first sight differs from topic to topic; the rate of a topic is shared by its unseen questions.
It is a rate of *knowing*: of the right answers as many are taken off as are lucky. What was known before it was asked
is old knowledge, so the rate stands still: it does not fade as the memory model says of what was learnt here.

Source of method and numbers: 2,000 simulated students with six topics each; it told first answers better than the rate
over all topics alone, and far better than the chance to guess.
"""

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import WRONG, Floats, Ints
from stickback.readiness.oral import per_topic

FADES = 0.15  # how far an unseen question comes down; more told far too little where most is unseen
STRENGTH = 6  # the rate over all topics weighs as much as six first answers in one
NOTHING = 0.05  # what is known before any answer
NOTHING_STRENGTH = 1  # and how many first answers that weighs as much as
_SPREADS, _REACH, _POINTS = 8.0, 20.0, 129


def rates(first_grade: Ints, guess: Floats, topic: Ints, topics: int) -> tuple[Floats, Floats]:
    """The rate of each student and topic, Beta distributed: its two parameters; shape (students, topics).

    Args:
        first_grade: of each history's first answer, 0 where there is none; shape (students, histories).
        guess, topic: of each history's question, the topic -1 where it is no question of the course; (histories,).
    """
    right = per_topic((first_grade > WRONG).astype(np.float64), topic, topics)
    missed = per_topic((first_grade == WRONG).astype(np.float64), topic, topics)
    lucky = per_topic((first_grade > 0) * curve.lucky(guess), topic, topics)
    knew = np.maximum(right - lucky, 0.0)
    pooled = (NOTHING_STRENGTH * NOTHING + knew.sum(axis=1)) / (NOTHING_STRENGTH + (knew + missed).sum(axis=1))
    return STRENGTH * pooled[:, None] + knew, STRENGTH * (1 - pooled[:, None]) + missed


def mean(knew: Floats, missed: Floats) -> Floats:
    """The rate expected."""
    return np.asarray(knew / (knew + missed))


def on_the_date(rate: Floats, right_once: Floats) -> Floats:
    """What an unseen question is known on a date, by its topic's rate: where that is more than one answered right once.

    Three things cannot be true together: that a right answer never harms, that an unseen question stands at its rate,
    and that what was right at first sight fades. So what was never wrong is held up to the unseen ones, and wherever it
    fades below them they come down to it a part of the way.

    Args:
        right_once: chance of what was right at first sight on the last day; nan where there is none.
    """
    return np.asarray(np.fmin(rate, rate + FADES * (right_once - rate)))


def shared_error(knew: Floats, missed: Floats) -> Floats:
    """How far the rates of all topics may be off together, as a spread of their logit; shape (students, topics).

    The rate over all topics is not known for certain: by how many topics it was seen in, which differ as a Beta
    distribution of `STRENGTH` does, and by how many answers. It moves a topic the more, the fewer answers that has.
    Without answers it is 1: there is no estimate then.
    """
    answers = np.maximum(knew + missed - STRENGTH, 0.0)
    topics = np.maximum((answers > 0).sum(axis=1), 1)
    pooled = np.clip(mean(knew.sum(axis=1), missed.sum(axis=1)), NOTHING, 1 - NOTHING)
    spread = (1 / ((STRENGTH + 1) * topics) + 1 / np.maximum(answers.sum(axis=1), 1)) / (pooled * (1 - pooled))
    return np.asarray(np.sqrt(np.minimum(spread, 1))[:, None] * STRENGTH / (STRENGTH + answers))


def levels(knew: Floats, missed: Floats, many: int) -> Floats:
    """Logits of rates that are equally likely, ascending, of Beta distributions; shape (rates, many).

    The logit of a Beta distributed rate has a smooth density with tails that fall exponentially: it is added up and
    inverted on a grid.
    """
    spread = np.sqrt(1 / knew + 1 / missed + 0.5 / knew**2 + 0.5 / missed**2)
    reach = np.minimum(_SPREADS * spread, _REACH)
    logit = np.log(knew / missed)[:, None] + reach[:, None] * np.linspace(-1, 1, _POINTS)
    density = knew[:, None] * logit - (knew + missed)[:, None] * np.logaddexp(0, logit)
    density = np.exp(density - density.max(axis=1, keepdims=True))
    between = (density[:, 1:] + density[:, :-1]) * reach[:, None] / (_POINTS - 1)
    below = np.cumsum(np.concatenate([density[:, :1] / knew[:, None], between], axis=1), axis=1)
    below = below / (below[:, -1:] + density[:, -1:] / missed[:, None])
    return np.stack([_inverted(logit, below, (level + 0.5) / many) for level in range(many)], axis=1)


def _inverted(logit: Floats, below: Floats, wanted: float) -> Floats:
    """Where each row's share below reaches the one wanted; shape (rates,)."""
    rows = np.arange(len(logit))
    at = np.clip((below < wanted).sum(axis=1), 1, _POINTS - 1)
    low, high = below[rows, at - 1], below[rows, at]
    part = np.clip((wanted - low) / (high - low), 0.0, 1.0)
    return np.asarray(logit[rows, at - 1] + part * (logit[rows, at] - logit[rows, at - 1]))
