"""The forecast: what is known on a date with its band, and the chance to pass the school's oral.

The figure is the best estimate: every seen question by the student's own memory and offset, every unseen one at its
topic's rate. Two laws hold by the way it is put together. One unseen question more never helps: it is taken to be known
no better than the seen ones of its topic on that date. A right answer more never harms: a question that was never
answered wrong is taken to be known no worse than an unseen one, for what was right at first sight was known before,
and that does not fade as the memory model has it.

Two things are not known and are drawn for the band: how far the memory model is off for a student (`offset`), and the
rates of knowing unseen questions (`unseen`). Twenty equally likely offsets meet twenty equally likely rates of each
topic in an order of the topic's own, and an error of all rates together: 400 draws, the same ones for everyone on every
day, so that a figure moves only when what is known does. All draws are evened out, so no more of them are needed.

Source: simulated students in worlds that differ from the model (tests/benchmarks/test_worlds.py prints how far the
figures were off, and how often the bands held).

Axes: students, questions, topics, draws; of a figure with its band: middle, low, high.
"""

from dataclasses import dataclass, fields, replace
from functools import cache
from typing import NamedTuple

import numpy as np

from stickback.formulas import draw
from stickback.memory import curve, early
from stickback.memory.curve import Flags, Floats, Ints
from stickback.readiness import offset, unseen
from stickback.readiness.oral import per_topic
from stickback.readiness.standings import Standings
from stickback.study.days import Evening

LEVELS = 20  # of the offset, and of each topic's share
DIGITS = 6  # of every figure: the digits behind may differ from machine to machine
_CHUNK = 64  # students at a time: what they need then stays near the processor


MIDDLE, LOW, HIGH = range(3)  # the places of a band along the last axis


class Band(NamedTuple):
    """A figure, 0 to 1, and the ends between which eight draws of ten lie; nan where nothing can be said."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """How students will stand; every figure 0 to 1 with its band along the last axis, nan where there is no question.

    Args:
        questions, seen: how many count, and how many of them were answered; shape (students, topics).
        topics: what is known by topic, the unseen included; shape (students, topics, 3).
        known: of a question drawn by topic weight; shape (students, 3).
        topics_by_model, known_by_model: both by the memory model alone, without what is the student's own.
        pass_chance: of the oral; shape (students, 3).
    """

    questions: Ints
    seen: Ints
    topics: Floats
    known: Floats
    topics_by_model: Floats
    known_by_model: Floats
    pass_chance: Floats


def forecast(standings: Standings, on: Ints) -> Forecast:
    """The forecast of some students, each for a day; a student alone gets the same figures as among others."""
    many = max(len(on), 1)
    parts = [_of_chunk(standings.some(slice(at, at + _CHUNK)), on[at : at + _CHUNK]) for at in range(0, many, _CHUNK)]
    names = [each.name for each in fields(Forecast)]
    return Forecast(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})


def _of_chunk(standings: Standings, on: Ints) -> Forecast:
    """The forecast of no more students than `_CHUNK`."""
    seen_ones = standings.counted & ~np.isnan(standings.stability)
    topics = len(standings.oral.topics)
    questions = per_topic(standings.counted, standings.topic, topics)
    seen = per_topic(seen_ones, standings.topic, topics)
    odds, once = offset.odds_of(standings.chance(on)), _right_once(standings, on)
    at_sight = unseen.mean(standings.knew, standings.missed)
    rate = unseen.on_the_date(at_sight, once)
    total = _of_seen(standings, seen_ones, offset.shifted(odds, standings.offset[:, None]), rate)
    by_topic = _mean(_with_unseen(total, seen, questions - seen, rate), questions)
    shifts = offset.levels(standings.offset, standings.error, LEVELS)
    drawn = [_of_seen(standings, seen_ones, offset.shifted(odds, shift[:, None]), rate) for shift in shifts.T]
    ends, draws = _drawn(standings, np.stack(drawn, axis=2), questions, seen[:, :, None], once)
    by_model_alone = curve.known(standings.chance(on, plain=True), standings.guess)
    plain = per_topic(np.where(seen_ones, by_model_alone, 0.0), standings.topic, topics)
    by_model = _mean(_with_unseen(plain, seen, questions - seen, at_sight), questions)
    low, high = _ends(draws)
    passes = [standings.oral.pass_chance(values) for values in (draws, low, high)]
    return Forecast(
        questions=questions,
        seen=seen,
        topics=_banded(by_topic, *ends),
        known=_banded(standings.oral.whole(by_topic, questions), low, high),
        topics_by_model=_rounded(by_model),
        known_by_model=_rounded(standings.oral.whole(by_model, questions)),
        pass_chance=_banded(passes[0].mean(axis=1), *passes[1:]),
    )


def _of_seen(standings: Standings, seen: Flags, chance: Floats, rate: Floats) -> Floats:
    """How many of the seen questions of each topic are known, as a sum of chances; shape (students, topics).

    Args:
        rate: of knowing an unseen question of each topic: what was never wrong is known no worse.
    """
    known = curve.known(early.with_old_knowledge(chance, standings.known_before), standings.guess)
    least = np.where(standings.ever_wrong, 0.0, rate[:, standings.topic])
    return per_topic(np.where(seen, np.maximum(known, least), 0.0), standings.topic, rate.shape[1])


def _right_once(standings: Standings, on: Ints) -> Floats:
    """What is known of a question that was right once, on the last day; nan where nothing was; (students, 1)."""
    return offset.shifted(offset.odds_of(standings.right_once(on)), standings.offset)[:, None]


def _with_unseen(total: Floats, seen: Ints, left: Ints, rate: Floats) -> Floats:
    """How many questions of each topic are known, the unseen ones too, which are known no better than the seen.

    Args:
        total: how many of the seen ones are known; `seen`, how many there are; `left`, how many were never seen.
        rate: of knowing an unseen one.
    """
    return total + np.where(seen > 0, np.minimum(rate, total / np.maximum(seen, 1)), rate) * left


def lived(standings: Standings, evening: Evening, offsets: Floats, on: int) -> tuple[Floats, Floats, Floats]:
    """How one student will stand who is any of the `LEVELS` that were followed to an evening.

    Args:
        standings: of the one student, as before the days until then.
        evening: the memory of each who was followed; `offsets`, ascending, theirs on the day.
    Returns: what is known by topic, of all, and the chance to pass, each with its band; shape (topics, 3), (3,), (3,).
    """
    seen = ~np.isnan(evening.stability)
    once = _right_once(replace(standings, moved_on=evening.moved_on[:1]), np.array([on]))
    rate = unseen.on_the_date(unseen.mean(standings.knew, standings.missed), once)
    chance = curve.recall(evening.stability, np.maximum(on - evening.moved_on, 1), standings.fading[0])
    chance = offset.shifted(offset.odds_of(chance), offsets[:, None])
    rates = np.repeat(rate, LEVELS, axis=0)
    total = _of_seen(replace(standings, ever_wrong=standings.ever_wrong | evening.ever_wrong), seen, chance, rates)
    many = per_topic(seen, standings.topic, rate.shape[1])
    questions = per_topic(standings.counted, standings.topic, rate.shape[1])
    by_topic = _mean(_with_unseen(total, many, questions - many, rate).mean(axis=0), questions[0])
    (low, high), draws = _drawn(standings, total.T[None], questions, many.T[None], once)
    ends = _ends(draws)
    passes = [standings.oral.pass_chance(values) for values in (draws, *ends)]
    return (
        _banded(by_topic, low[0], high[0]),
        _banded(standings.oral.whole(by_topic[None], questions), *ends)[0],
        _banded(passes[0].mean(axis=1), *passes[1:])[0],
    )


def _drawn(
    standings: Standings, total: Floats, questions: Ints, seen: Ints, once: Floats
) -> tuple[tuple[Floats, Floats], Floats]:
    """The ends of the bands of the topics, and draws of what is known of a question drawn by topic weight.

    Args:
        total: of the seen questions at each level of the offset; shape (students, topics, levels).
        seen: how many they are; the same shape, or one level for all.
        once: what is known of a question that was right once; shape (students, 1).
    Returns: shape (students, topics) each, and (students, draws).
    """
    share = standings.oral.share_of_each(questions)
    low, high = np.full((2, *questions.shape), np.nan)
    whole = np.zeros((len(questions), LEVELS**2))
    together, *orders = _orders(("", *standings.oral.topics))
    error, left = unseen.shared_error(standings.knew, standings.missed), questions[:, :, None] - seen
    levels = _levels(standings, np.flatnonzero(left.any(axis=(0, 2))))
    for topic, order in enumerate(orders):
        of_topic = np.repeat(total[:, topic], LEVELS, axis=1)
        if topic in levels:
            logit = levels[topic][:, order]
            logit = logit + error[:, topic, None] * offset.normals(LEVELS)[together]
            many, new = (_each_draw(values[:, topic]) for values in (seen, left))
            of_topic = _with_unseen(of_topic, many, new, unseen.on_the_date(1 / (1 + np.exp(-logit)), once))
        whole += of_topic * share[:, topic, None]
        low[:, topic], high[:, topic] = _ends(_mean(of_topic, questions[:, topic, None]))
    return (low, high), whole


def _levels(standings: Standings, topics: Ints) -> dict[int, Floats]:
    """The logits at which unseen questions of some topics may be known, equally likely; shape (students, levels) each.

    All at once: it is the number of calls that takes the time.
    """
    knew, missed = standings.knew[:, topics].ravel(), standings.missed[:, topics].ravel()
    found = unseen.levels(knew, missed, LEVELS).reshape(len(standings.knew), len(topics), LEVELS)
    return {topic: found[:, at] for at, topic in enumerate(topics.tolist())}


def _each_draw(values: Ints) -> Ints:
    """Numbers at each level, or one for all, for each draw."""
    return values if values.shape[1] == 1 else np.repeat(values, LEVELS, axis=1)


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
    """A figure with its band, which holds it."""
    return _rounded(np.stack([middle, np.minimum(low, middle), np.maximum(high, middle)], axis=-1))


def _rounded(values: Floats) -> Floats:
    return np.asarray(np.round(np.clip(values, 0.0, 1.0), DIGITS), dtype=np.float64)
