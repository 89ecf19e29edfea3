"""From what is known of each question to topics, the whole, and the chance to pass the school's oral.

Axes: students, questions (those that apply to one aeroplane), topics (of the plan, in its order).
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.memory.curve import Flags, Floats, Ints


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


def per_topic(values: npt.NDArray[Any], topic: Ints, topics: int) -> npt.NDArray[Any]:
    """Sums over the questions of each topic; shape (students, topics).

    Args:
        values: shape (students, questions).
        topic: of each question, -1 where it belongs to none; shape (questions,).

    Added one after the other and not by a matrix product, whose last digit differs from machine to machine.
    """
    order = np.argsort(topic, kind="stable")
    order = order[topic[order] >= 0]
    there, begins = np.unique(topic[order], return_index=True)
    found = np.zeros((len(values), topics), dtype=np.int64 if values.dtype == np.bool_ else values.dtype)
    if len(there):
        found[:, there] = np.add.reduceat(values[:, order].astype(found.dtype), begins, axis=1)
    return found


def by_topic(known: Floats, counted: Flags, topic: Ints, topics: int) -> Topics:
    """Questions gathered into their topics.

    Args:
        known: chance that each is known, nan where unseen; shape (students, questions).
        counted: whether a question counts for a student; same shape.
        topic: of each question; shape (questions,).
    """
    questions = per_topic(counted, topic, topics)
    seen = per_topic(counted & ~np.isnan(known), topic, topics)
    total = per_topic(np.where(counted, np.nan_to_num(known), 0.0), topic, topics)
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
