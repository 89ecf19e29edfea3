"""The forecast: what is known on a date with its band, and the chance to pass the school's oral.

Two things are not known and are drawn: how far the memory model is off for a student (`offset`), and what is known of
the questions never asked (`first_sight`). Twenty equally likely offsets meet twenty equally likely shares of each topic
in an order of the topic's own: 400 draws, the same ones for everyone on every day, so that a figure moves only when
what is known does. All draws are evened out, so no more of them are needed.

An unseen question is taken to be known at the topic's first-sight rate, but never better than the topic's seen ones on
that date: in every draw it is what they are known times a share, 0 to 1. So one unseen question more in a topic never
raises the chance to pass. That is a choice for caution. Of simulated students with much unseen, the band held the truth
in 81 to 95 of 100 cases; without the limit in 87 to 96, and the chance lay a month ahead 0.04 from the truth, not 0.07.

The plain figure of what is known takes an unseen question no better than one answered right, and not surely, on the
student's last day: so a right answer more never lowers it. For the band and the chance that would be far too low.

Axes: students, questions, topics, draws.
"""

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from stickback.formulas import draw
from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints
from stickback.readiness import first_sight, offset, score
from stickback.readiness.first_sight import Rates
from stickback.readiness.score import Topics

LEVELS = 20  # of the offset, and of each topic's share
DIGITS = 6  # of every figure: the digits behind may differ from machine to machine
_CHUNK = 64  # students at a time: what they need then stays near the processor


class Band(NamedTuple):
    """A figure, 0 to 1, and the ends between which eight draws of ten lie; nan where nothing can be said."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True)
class Basis:
    """What a forecast starts from.

    Args:
        chance: of a right answer to each question on the date, nan where unseen; shape (students, questions).
        counted: whether a question counts for a student; same shape.
        guess, topic: of each question; shape (questions,).
        rates: of knowing an unseen question; shape (students, topics).
        offset, error: of each student, as `offset.offsets` gives them; shape (students,).
        once: chance of a right answer on the date to what was first answered on the last day; shape (students,).
    """

    chance: Floats
    counted: Flags
    guess: Floats
    topic: Ints
    rates: Rates
    offset: Floats
    error: Floats
    once: Floats


@dataclass(frozen=True)
class Exam:
    """The school's oral.

    Args:
        topics: their ids, in plan order; `weight`: their shares.
        questions: how many are drawn; `share`: of them that must be right, 0 to 1.
    """

    topics: tuple[str, ...]
    weight: Ints
    questions: int
    share: float


@dataclass(frozen=True)
class Forecast:
    """How students will stand; every figure 0 to 1, nan where there is no question.

    Args:
        topics: by topic, what is known of the unseen included; `low`, `high`: the ends of their bands.
        known: of a question drawn by topic weight; `passes`: the oral.
    """

    topics: Topics
    low: Floats
    high: Floats
    known: tuple[Band, ...]
    passes: tuple[Band, ...]


def forecast(basis: Basis, exam: Exam) -> Forecast:
    """The forecast of some students; a student alone gets the same figures as among others."""
    parts = [_some(_rows(basis, slice(at, at + _CHUNK)), exam) for at in range(0, len(basis.chance), _CHUNK)]
    if not parts:
        parts = [_some(basis, exam)]
    topics = [part.topics for part in parts]
    return Forecast(
        Topics(
            np.concatenate([one.questions for one in topics]),
            np.concatenate([one.seen for one in topics]),
            np.concatenate([one.known for one in topics]),
        ),
        np.concatenate([part.low for part in parts]),
        np.concatenate([part.high for part in parts]),
        tuple(band for part in parts for band in part.known),
        tuple(band for part in parts for band in part.passes),
    )


def _rows(basis: Basis, rows: slice) -> Basis:
    return Basis(
        basis.chance[rows],
        basis.counted[rows],
        basis.guess,
        basis.topic,
        Rates(basis.rates.knew[rows], basis.rates.missed[rows]),
        basis.offset[rows],
        basis.error[rows],
        basis.once[rows],
    )


def _some(basis: Basis, exam: Exam) -> Forecast:
    counts = score.by_topic(basis.chance, basis.counted, basis.topic, len(exam.topics))
    unseen = counts.questions - counts.seen
    weight = np.where(counts.questions > 0, exam.weight, 0)
    each = _mean(weight, weight.sum(axis=1, keepdims=True)) / np.maximum(counts.questions, 1)
    total, seen = _of_seen(basis, counts.seen, basis.chance)
    at_most = np.minimum(seen, _once(basis, len(exam.topics)))
    known = _mean(total + unseen * np.minimum(basis.rates.mean, at_most), counts.questions)
    whole = score.overall(Topics(counts.questions, counts.seen, known), exam.weight)
    shares = _shares(basis.rates, seen, unseen)
    total, seen = _drawn(basis, counts.seen)
    low, high = _topic_ends(total, seen, shares, unseen, counts.questions)
    draws = _draws(total, seen, shares, unseen, each, exam.topics)
    ends = _ends(draws)
    passes = [score.pass_chance(values, exam.questions, exam.share) for values in (draws, *ends)]
    return Forecast(
        Topics(counts.questions, counts.seen, _rounded(known)),
        _rounded(low),
        _rounded(high),
        _bands(whole, *ends),
        _bands(passes[0].mean(axis=1), *passes[1:]),
    )


def _of_seen(basis: Basis, seen: Ints, chance: Floats) -> tuple[Floats, Floats]:
    """What is known of a topic's seen questions: their sum, and their mean, which is 1 without any.

    Returns: shape (students, topics).
    """
    known = np.where(basis.counted & ~np.isnan(chance), curve.known(chance, basis.guess), 0.0)
    total = score.per_topic(known, basis.topic, seen.shape[1])
    return total, np.where(seen > 0, total / np.maximum(seen, 1), 1.0)


def _once(basis: Basis, topics: int) -> Floats:
    """What a question of each topic that was answered once is known, whichever it is; shape (students, topics)."""
    guess = np.zeros(topics)
    np.maximum.at(guess, basis.topic, basis.guess)
    return curve.known(basis.once[:, None], guess)


def _drawn(basis: Basis, seen: Ints) -> tuple[Floats, Floats]:
    """The same at every level of the offset; shape (students, topics, levels)."""
    odds = offset.odds_of(basis.chance)
    shifts = offset.levels(basis.offset, basis.error, LEVELS).T
    found = [_of_seen(basis, seen, offset.shifted(odds, shift[:, None])) for shift in shifts]
    return np.stack([total for total, _ in found], axis=2), np.stack([mean for _, mean in found], axis=2)


def _shares(rates: Rates, seen: Floats, unseen: Ints) -> Floats:
    """How well an unseen question is known, as a share of how well the seen ones are: equally likely shares.

    The share is Beta distributed like the rate, with fewer misses, so that its mean times the seen ones' is the rate's.

    Args:
        seen: what the seen ones are known, without an offset.
    Returns: shape (students, topics, levels).
    """
    found = np.ones((*unseen.shape, LEVELS))
    below = (unseen > 0) & (rates.mean < seen)
    knew, share = rates.knew[below], rates.mean[below] / seen[below]
    found[below] = first_sight.levels(knew, knew * (1 - share) / share, LEVELS)
    return found


def _topic_ends(total: Floats, seen: Floats, shares: Floats, unseen: Ints, questions: Ints) -> tuple[Floats, Floats]:
    """The ends of the bands of topics: each level of the offset with each of the share."""
    low, high = _ends(_mean(total, questions[:, :, None]))
    some = unseen > 0
    each = shares[some][:, None, :] * seen[some][:, :, None]
    whole = each * unseen[some][:, None, None] + total[some][:, :, None]
    low[some], high[some] = _ends((whole / questions[some][:, None, None]).reshape(-1, LEVELS**2))
    return low, high


def _draws(total: Floats, seen: Floats, shares: Floats, unseen: Ints, each: Floats, topics: tuple[str, ...]) -> Floats:
    """What is known of a question drawn by topic weight; shape (students, draws).

    Args:
        each: what one question of each topic weighs in the whole.
    """
    found = np.repeat((total * each[:, :, None]).sum(axis=1), LEVELS, axis=1)
    for topic, order in enumerate(_orders(topics)):
        if np.any(unseen[:, topic]):
            known = shares[:, topic][:, order] * np.repeat(seen[:, topic], LEVELS, axis=1)
            found += known * (unseen[:, topic] * each[:, topic])[:, None]
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


def _rounded(values: Floats) -> Floats:
    return np.asarray(np.round(np.clip(values, 0.0, 1.0), DIGITS))


def _bands(middle: Floats, low: Floats, high: Floats) -> tuple[Band, ...]:
    rows = zip(_rounded(middle).tolist(), _rounded(low).tolist(), _rounded(high).tolist(), strict=True)
    return tuple(Band(*row) for row in rows)
