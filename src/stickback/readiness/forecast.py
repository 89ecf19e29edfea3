"""The forecast: what is known on a date with its band, and the chance to pass the school's oral.

Two things are not known and are drawn: how far the memory model is off for a student (`offset`), and what is known of
the questions never asked (`unseen`). Twenty equally likely offsets meet twenty equally likely shares of each topic
in an order of the topic's own: 400 draws, the same ones for everyone on every day, so that a figure moves only when
what is known does. All draws are evened out, so no more of them are needed.

An unseen question is taken to be known at the topic's first-sight rate, but never better than the topic's seen ones on
that date: in every draw it is what they are known times a share, 0 to 1. So one unseen question more in a topic never
raises the chance to pass. That is a choice for caution. Of simulated students with much unseen, the band held the truth
in 81 to 95 of 100 cases; without the limit in 87 to 96, and the chance lay a month ahead 0.04 from the truth, not 0.07.

The plain figure of what is known takes an unseen question no better than one answered right, and not surely, on the
student's last day: so a right answer more never lowers it. For the band and the chance that would be far too low.

Axes: students, questions, topics, draws; of a figure with its band: middle, low, high.
"""

from dataclasses import dataclass, fields
from functools import cache
from typing import NamedTuple

import numpy as np

from stickback.formulas import draw
from stickback.memory import curve
from stickback.memory.curve import Floats, Ints
from stickback.readiness import offset, unseen
from stickback.readiness.exam import Exam, per_topic
from stickback.readiness.students import Students

LEVELS = 20  # of the offset, and of each topic's share
DIGITS = 6  # of every figure: the digits behind may differ from machine to machine
_CHUNK = 64  # students at a time: what they need then stays near the processor


class Band(NamedTuple):
    """A figure, 0 to 1, and the ends between which eight draws of ten lie; nan where nothing can be said."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True)
class Forecast:
    """How students will stand; every figure 0 to 1 with its band along the last axis, nan where there is no question.

    Args:
        questions, seen: how many count, and how many of them were answered; shape (students, topics).
        topics: what is known by topic, the unseen included; shape (students, topics, 3).
        known: of a question drawn by topic weight; shape (students, 3).
        pass_chance: of the oral; shape (students, 3).
    """

    questions: Ints
    seen: Ints
    topics: Floats
    known: Floats
    pass_chance: Floats


def forecast(students: Students, on: Ints) -> Forecast:
    """The forecast of some students, each for a day; a student alone gets the same figures as among others."""
    many = max(len(on), 1)
    parts = [_some(students.some(slice(at, at + _CHUNK)), on[at : at + _CHUNK]) for at in range(0, many, _CHUNK)]
    return Forecast(*(np.concatenate([getattr(part, each.name) for part in parts]) for each in fields(Forecast)))


def _some(students: Students, on: Ints) -> Forecast:
    exam, chance = students.exam, students.chance(on)
    questions = per_topic(students.counted, students.topic, len(exam.topics))
    seen = per_topic(students.counted & ~np.isnan(chance), students.topic, len(exam.topics))
    left, each = questions - seen, exam.share_of_each(questions)
    rate = students.knew / (students.knew + students.missed)
    total, mean = _of_seen(students, seen, chance)
    by_topic = _mean(total + left * np.minimum(rate, np.minimum(mean, _once(students, on))), questions)
    whole = _whole(by_topic, questions, exam)
    shares = _shares(students, rate, mean, left)
    total, mean = _drawn(students, seen, chance)
    ends = _topic_ends(total, mean, shares, left, questions)
    draws = _draws(total, mean, shares, left, each, exam.topics)
    low, high = _ends(draws)
    passes = [exam.pass_chance(values) for values in (draws, low, high)]
    return Forecast(
        questions,
        seen,
        _banded(by_topic, *ends),
        _banded(whole, low, high),
        _banded(passes[0].mean(axis=1), *passes[1:]),
    )


def _whole(by_topic: Floats, questions: Ints, exam: Exam) -> Floats:
    """Mean known of a question drawn by topic weight; topics without questions are left out; shape (students,)."""
    weight = np.where(questions > 0, exam.weight, 0)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.nansum(weight * by_topic, axis=1) / weight.sum(axis=1))


def _of_seen(students: Students, seen: Ints, chance: Floats) -> tuple[Floats, Floats]:
    """What is known of a topic's seen questions: their sum, and their mean, which is 1 without any.

    Returns: shape (students, topics).
    """
    known = np.where(students.counted & ~np.isnan(chance), curve.known(chance, students.guess), 0.0)
    total = per_topic(known, students.topic, seen.shape[1])
    return total, np.where(seen > 0, total / np.maximum(seen, 1), 1.0)


def _once(students: Students, on: Ints) -> Floats:
    """What a question of each topic would be known that was answered right, and not surely, on the last day alone.

    Returns: shape (students, topics).
    """
    grades = np.array([curve.UNSURE, curve.RIGHT])
    least = np.array([[curve.first(grades, w)[0].min()] for w in students.parameters]).reshape(-1, 1)
    elapsed = np.where(students.latest < 0, 1, on - students.latest)
    guess = np.zeros(len(students.exam.topics))
    np.maximum.at(guess, students.topic, students.guess)
    return curve.known(students.recall(least, elapsed[:, None]), guess)


def _drawn(students: Students, seen: Ints, chance: Floats) -> tuple[Floats, Floats]:
    """What is known of the seen questions at every level of the offset; shape (students, topics, levels)."""
    odds = offset.odds_of(chance)
    shifts = offset.levels(students.offset, students.error, LEVELS).T
    found = [_of_seen(students, seen, offset.shifted(odds, shift[:, None])) for shift in shifts]
    return np.stack([total for total, _ in found], axis=2), np.stack([mean for _, mean in found], axis=2)


def _shares(students: Students, rate: Floats, mean: Floats, left: Ints) -> Floats:
    """How well an unseen question is known, as a share of how well the seen ones are: equally likely shares.

    The share is Beta distributed like the rate, with fewer misses, so that its mean times the seen ones' is the rate's.

    Args:
        mean: what the seen ones are known, without an offset; `left`, how many are unseen.
    Returns: shape (students, topics, levels).
    """
    found = np.ones((*left.shape, LEVELS))
    below = (left > 0) & (rate < mean)
    knew, share = students.knew[below], rate[below] / mean[below]
    found[below] = unseen.levels(knew, knew * (1 - share) / share, LEVELS)
    return found


def _topic_ends(total: Floats, mean: Floats, shares: Floats, left: Ints, questions: Ints) -> tuple[Floats, Floats]:
    """The ends of the bands of topics: each level of the offset with each of the share."""
    low, high = _ends(_mean(total, questions[:, :, None]))
    some = left > 0
    each = shares[some][:, None, :] * mean[some][:, :, None]
    whole = each * left[some][:, None, None] + total[some][:, :, None]
    low[some], high[some] = _ends((whole / questions[some][:, None, None]).reshape(-1, LEVELS**2))
    return low, high


def _draws(total: Floats, mean: Floats, shares: Floats, left: Ints, each: Floats, topics: tuple[str, ...]) -> Floats:
    """What is known of a question drawn by topic weight; shape (students, draws).

    Args:
        each: what one question of each topic weighs in the whole.
    """
    found = np.repeat((total * each[:, :, None]).sum(axis=1), LEVELS, axis=1)
    for topic, order in enumerate(_orders(topics)):
        if np.any(left[:, topic]):
            known = shares[:, topic][:, order] * np.repeat(mean[:, topic], LEVELS, axis=1)
            found += known * (left[:, topic] * each[:, topic])[:, None]
    return found


@cache
def _orders(topics: tuple[str, ...]) -> Ints:
    """Which level of a topic's share each draw takes; shape (topics, draws)."""
    seeds = [[draw.number("first sight", topic, level) for level in range(LEVELS)] for topic in topics]
    made = [[place for seed in row for place in draw.order(LEVELS, seed)] for row in seeds]
    return np.array(made, dtype=np.int64).reshape(-1, LEVELS**2)


def _ends(values: Floats) -> tuple[Floats, Floats]:
    """Where the lowest and the highest tenth of equally likely values end; along the last axis."""
    many = values.shape[-1]
    tenth = many // 10
    ends = (tenth - 1, tenth, many - tenth - 1, many - tenth)
    ordered = np.partition(values, ends, axis=-1)[..., ends]
    return ordered[..., :2].mean(axis=-1), ordered[..., 2:].mean(axis=-1)


def _mean(total: Floats | Ints, questions: Ints) -> Floats:
    with np.errstate(invalid="ignore"):
        return np.asarray(total / questions)


def _banded(middle: Floats, low: Floats, high: Floats) -> Floats:
    return np.asarray(np.round(np.clip(np.stack([middle, low, high], axis=-1), 0.0, 1.0), DIGITS), dtype=np.float64)
