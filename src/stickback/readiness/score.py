"""From what is known of each question to topics, the whole, and the chance to pass the school's oral.

Axes: students, questions (those that apply to one aeroplane), topics (of the plan, in its order).
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from stickback.memory.curve import Floats, Ints

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Topics:
    """How each topic stands for each student; shape (students, topics).

    Args:
        questions: how many count for the student; 0 where the aeroplane has none.
        seen: how many of them were answered.
        known: mean chance that one is known, unseen ones counted as not known; nan without questions.
    """

    questions: Ints
    seen: Ints
    known: Floats


def by_topic(known: Floats, counted: Flags, topic: Ints, topics: int) -> Topics:
    """Questions gathered into their topics.

    Args:
        known: chance that each is known, nan where unseen; shape (students, questions).
        counted: whether a question counts for a student; same shape.
        topic: of each question; shape (questions,).
    """
    belongs = (topic[:, None] == np.arange(topics)).astype(np.int64)
    questions = counted @ belongs
    seen = (counted & ~np.isnan(known)) @ belongs
    total = np.where(counted, np.nan_to_num(known), 0.0) @ belongs
    with np.errstate(invalid="ignore"):
        return Topics(questions, seen, total / questions)


def overall(topics: Topics, weight: Ints) -> Floats:
    """Mean known of a question drawn by topic weight; topics without questions are left out; shape (students,)."""
    weights = np.where(topics.questions > 0, weight, 0)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.nansum(weights * topics.known, axis=1) / weights.sum(axis=1))


def pass_chance(known: Floats, questions: int, share: float) -> Floats:
    """Chance to answer at least a share of an oral right, each question drawn afresh; nan stays nan.

    Args:
        known: chance that a drawn question is known, 0 to 1.
        questions: of the oral; `share`: of them that must be right, 0 to 1.

    Source: the binomial distribution; with a bank of hundreds it is within 0.003 of drawing without replacement.
    """
    least = needed(questions, share)
    terms = [math.comb(questions, k) * known**k * (1 - known) ** (questions - k) for k in range(least, questions + 1)]
    return np.asarray(np.minimum(np.sum(terms, axis=0), 1.0))


def needed(questions: int, share: float) -> int:
    """How many of an oral's questions must be right: the share, rounded up."""
    return math.ceil(round(questions * share, 9))
