"""The school's oral: its topics by weight, sums by topic, and the chance to pass.

Axes: students, questions (those that apply to one aeroplane), topics (of the plan, in its order).
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.course.course import Plan
from stickback.memory.curve import Flags, Floats, Ints


@dataclass(frozen=True)
class OralRules:
    """The school's oral.

    Args:
        topics: their ids, in plan order; `weight`, their shares; `must`, those that are a matter of safety.
        questions: how many are drawn; `share`: of them that must be right, 0 to 1.
    """

    topics: tuple[str, ...]
    weight: Ints
    must: Flags
    questions: int
    share: float

    @property
    def needed(self) -> int:
        """How many of the questions must be right: the share, rounded up."""
        return math.ceil(round(self.questions * self.share, 9))

    def pass_chance(self, known: Floats) -> Floats:
        """Chance to answer at least the share right, each question drawn afresh; nan stays nan.

        Args:
            known: chance that a drawn question is known, 0 to 1.

        Source: the binomial distribution; with a bank of hundreds it is within 0.003 of drawing without replacement.
        """
        many = self.questions
        terms = [math.comb(many, k) * known**k * (1 - known) ** (many - k) for k in range(self.needed, many + 1)]
        return np.asarray(np.minimum(np.sum(terms, axis=0), 1.0))

    def share_of_each(self, questions: Ints) -> Floats:
        """What one question of each topic weighs in the whole; shape (students, topics).

        Args:
            questions: how many of each topic count; a topic without any has no weight.
        """
        weight = np.where(questions > 0, self.weight, 0)
        with np.errstate(invalid="ignore"):
            return np.asarray(weight / weight.sum(axis=1, keepdims=True) / np.maximum(questions, 1))

    def whole(self, by_topic: Floats, questions: Ints) -> Floats:
        """A figure of topics for a question drawn by topic weight; shape (students,)."""
        weight = np.where(questions > 0, self.weight, 0)
        with np.errstate(invalid="ignore"):
            return np.asarray(np.nansum(weight * by_topic, axis=1) / weight.sum(axis=1))


def rules_of(plan: Plan) -> OralRules:
    """The oral of a lesson plan."""
    topics = plan.topics.values()
    weight = np.array([topic.weight for topic in topics], dtype=np.int64)
    must = np.array([topic.must for topic in topics], dtype=np.bool_)
    return OralRules(tuple(plan.topics), weight, must, plan.exam_questions, plan.exam_pass)


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
