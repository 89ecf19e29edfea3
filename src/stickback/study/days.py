"""The days to a date, lived through in advance: what a student who keeps to the plan asks, answers and remembers.

Several students are followed who differ in luck and in how far they answer better or worse than the memory model
expects. Axes: students (followed), questions. Days are day numbers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from stickback.formulas import draw
from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.study import ahead
from stickback.study.ahead import Bank, Goal


@dataclass(frozen=True)
class Start:
    """Where the first day stands.

    Args:
        day: its number.
        seconds: what is left of it.
        queue: places of what is still to come on it, in order.
        closed: what is not asked on it besides.
    """

    day: int
    seconds: float
    queue: Sequence[int]
    closed: Flags


@dataclass(frozen=True, kw_only=True)
class Evening:
    """After a day's study.

    Args:
        seconds, asked: what it took and how many askings it was, the repeated ones included; mean over the students.
        stability, moved_on: memory as in a bank; shape (students, questions).
        ever_wrong: whether an answer to the question was wrong, since the first day; same shape.
    """

    day: int
    seconds: float
    asked: float
    stability: Floats
    moved_on: Ints
    ever_wrong: Flags


def live(
    bank: Bank,
    goals: Sequence[Goal],
    start: Start,
    until: int,
    seconds: float,
    offsets: Floats,
    w: Parameters = curve.DEFAULTS,
) -> Iterator[Evening]:
    """The evenings of every day from the first one to the one before `until`.

    Args:
        seconds: of a whole study day.
        offsets: of each student followed, added to the logit of every chance of a right answer to a seen question.

    A wrong answer is asked once more on its day. The same arguments give the same evenings.
    """
    shape = (len(offsets), len(bank.moved_on))
    now, ever_wrong = _many(bank, len(offsets)), np.zeros(shape, dtype=np.bool_)
    goals = [replace(one, within=np.tile(one.within, len(offsets))) for one in goals]
    for day in range(start.day, until):
        first = day == start.day
        score = ahead.rank(now, day, goals, w).score
        score = _first_day(score.reshape(shape), start) if first else score.reshape(shape)
        right = _right(now, day, np.repeat(offsets, shape[1]), w)
        seconds_each = (now.seconds * (2 - right)).reshape(shape)
        asked = ahead.taken(score, seconds_each, start.seconds if first else seconds)
        now = _answered(now, np.flatnonzero(asked), right, day, w)
        times = np.where(asked, 2 - right.reshape(shape), 0)
        ever_wrong = ever_wrong | (times == 2)
        yield Evening(
            day=day,
            seconds=float(np.where(asked, seconds_each, 0.0).sum() / shape[0]),
            asked=float(times.sum() / shape[0]),
            stability=now.stability.reshape(shape),
            moved_on=now.moved_on.reshape(shape),
            ever_wrong=ever_wrong,
        )


def _many(bank: Bank, students: int) -> Bank:
    """The same bank for each student, one behind the other; their topics kept apart."""
    tiled = {field.name: np.tile(getattr(bank, field.name), students) for field in fields(bank)}
    topics = int(bank.topic.max(initial=0)) + 1
    tiled["topic"] += np.repeat(np.arange(students) * topics, len(bank.topic))
    return Bank(**tiled)


def _first_day(score: Floats, start: Start) -> Floats:
    """Scores by which today's queue comes first, as planned, and behind it what is not closed."""
    found = np.where(start.closed, 0.0, score)
    places = np.array(start.queue, dtype=np.int64)
    found[:, places] = found.max(initial=0.0) + np.arange(len(places), 0, -1)
    return found


def _right(bank: Bank, day: int, offsets: Floats, w: Parameters) -> Ints:
    """1 where an answer on a day would be right, 0 where not."""
    chance = ahead.right_now(bank, day, w)
    odds = chance / (1 - np.minimum(chance, 1 - 1e-9)) * np.exp(np.where(np.isnan(bank.stability), 0.0, offsets))
    luck = np.random.Generator(np.random.PCG64(draw.number("outlook", day))).random(len(chance))
    return np.where(luck < odds / (1 + odds), 1, 0)


def _answered(bank: Bank, at: Ints, right: Ints, day: int, w: Parameters) -> Bank:
    """The bank after answers on a day."""
    grades = np.where(right[at] == 1, curve.RIGHT, curve.WRONG)
    first = curve.first(grades, w)
    further = curve.step(bank.stability[at], bank.difficulty[at], grades, day - bank.moved_on[at], w)
    unseen = np.isnan(bank.stability[at])
    stability, difficulty, moved_on = bank.stability.copy(), bank.difficulty.copy(), bank.moved_on.copy()
    stability[at], difficulty[at] = (np.where(unseen, new, old) for new, old in zip(first, further, strict=True))
    moved_on[at] = day
    return replace(bank, stability=stability, difficulty=difficulty, moved_on=moved_on)
