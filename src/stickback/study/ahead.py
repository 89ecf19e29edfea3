"""Choosing for a date: what asking a question today is worth on it, with one date ahead or two; arrays in, arrays out.

Axis: questions, or any number of students' questions one behind the other. Days are day numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters

# Before a lesson, what gains less is left to the date after it. Source: simulated in nine cases of days and budget, a
# floor of so much cost nothing in eight; in the ninth it saved 185 of 2,400 answers for 0.2 points of the score.
WORTH_ASKING = 0.02


@dataclass(frozen=True, kw_only=True)
class Bank:
    """The questions that can be asked, as arrays of one shape.

    Args:
        topic: a number for each topic; of the unseen questions of one topic, those that stand first are asked first.
        stability, difficulty: their memory; nan where unseen.
        moved_on: day of the answer that left it; -1 where unseen.
        guess: chance to guess each right.
        sight: chance to answer each right when it is seen for the first time.
        worth: what knowing it adds to the whole: its topic's weight over the number of the topic's questions; the
            sum over all questions of a student is 1.
        seconds: what asking it costs.
    """

    topic: Ints
    stability: Floats
    difficulty: Floats
    moved_on: Ints
    guess: Floats
    sight: Floats
    worth: Floats
    seconds: Floats


@dataclass(frozen=True)
class Goal:
    """A date on which something is to be known.

    Args:
        on: its day number.
        within: the questions it is about; shape as the bank's.
        least: the gain below which asking a question is not worth it for this date; what gains nothing never is.
    """

    on: int
    within: Flags
    least: float = 0.0


@dataclass(frozen=True)
class Ranking:
    """How much each question is worth asking today; shape as the bank's.

    Args:
        score: by which to choose, the highest first; 0 where asking gains nothing.
        gain: of `known` on its date from one answer today.
        goal: the place of that date among the goals; -1 where asking gains nothing.
    """

    score: Floats
    gain: Floats
    goal: Ints


def recall(bank: Bank, on: int, w: Parameters = curve.DEFAULTS) -> Floats:
    """Chance of a right answer on a day, at the soonest the day after the last one; nan where unseen."""
    return curve.recall(bank.stability, np.maximum(on - bank.moved_on, 1), w)


def right_now(bank: Bank, today: int, w: Parameters = curve.DEFAULTS) -> Floats:
    """Chance of a right answer today: what is recalled, or what is right at first sight."""
    return np.where(np.isnan(bank.stability), bank.sight, recall(bank, today, w))


def gains(bank: Bank, today: int, on: int, w: Parameters = curve.DEFAULTS) -> Floats:
    """Expected gain of `known` on a date from one answer today; may be negative.

    Args:
        on: the date, today or later.

    Right counts as right and not guessed: to tell the guessed ones apart changed the score on the date by less than
    0.04 points in simulation. An unseen question counts as not known: to take off what may be right at first sight
    leaves it unseen for weeks, and lost up to 15 points where that hope was false (tests/benchmarks/test_planning.py).
    """
    unseen = np.isnan(bank.stability)
    recalled = recall(bank, today, w)
    right = np.where(unseen, bank.sight, recalled)
    begun = (curve.first(np.array([grade]), w)[0] for grade in (curve.RIGHT, curve.WRONG))
    further = curve.both_ways(bank.stability, bank.difficulty, recalled, w)
    known = (
        _known(bank, np.where(unseen, first, again), today, on, w) for first, again in zip(begun, further, strict=True)
    )
    if_right, if_wrong = known
    without = np.nan_to_num(curve.known(recall(bank, on, w), bank.guess))
    return np.asarray(if_wrong + right * (if_right - if_wrong) - without)


def _known(bank: Bank, stability: Floats, today: int, on: int, w: Parameters) -> Floats:
    return curve.known(curve.recall(stability, np.full(1, max(on - today, 1)), w), bank.guess)


def rank(bank: Bank, today: int, goals: Sequence[Goal], w: Parameters = curve.DEFAULTS) -> Ranking:
    """The questions ranked for the dates ahead, what matters for the nearest one before all else.

    Args:
        goals: the nearest first; those before today are left out.

    Between topics only: the unseen questions of a topic all have its mean gain, so that they keep their order and those
    seen stay a fair sample of it.
    """
    score, best = np.zeros(bank.moved_on.shape), np.zeros(bank.moved_on.shape)
    goal = np.full(bank.moved_on.shape, -1, dtype=np.int64)
    for number, each in enumerate(goals):
        if each.on < today:
            continue
        found, seconds = _shared(bank, gains(bank, today, each.on, w))
        new = (goal < 0) & each.within & (found > 0) & (found >= each.least)
        # A score is at most 1, so a whole number puts all of one date before all of the next.
        score = np.where(new, len(goals) - 1 - number + found * bank.worth / seconds, score)
        best, goal = np.where(new, found, best), np.where(new, number, goal)
    return Ranking(score, best, goal)


def _shared(bank: Bank, gains: Floats) -> tuple[Floats, Floats]:
    """Gains and seconds, those of unseen questions replaced by the mean over the unseen ones of their topic."""
    unseen = np.flatnonzero(np.isnan(bank.stability))
    if not len(unseen):
        return gains, bank.seconds
    topic = bank.topic[unseen]
    many = np.bincount(topic)
    shared, seconds = gains.copy(), bank.seconds.copy()
    for values, whole in ((shared, gains), (seconds, bank.seconds)):
        values[unseen] = (np.bincount(topic, whole[unseen]) / np.maximum(many, 1))[topic]
    return shared, seconds


def order(score: Floats) -> Ints:
    """Places of what is worth asking, the best first; equal ones in the order they stand in."""
    found = np.argsort(-score, axis=-1, kind="stable")
    return np.asarray(found[: int(np.count_nonzero(score > 0))])


def taken(score: Floats, seconds: Floats, budget: float) -> Flags:
    """What a day's seconds are spent on, the best first, at least one of any; shape (students, questions) as both."""
    best = np.argsort(-score, axis=1, kind="stable")
    spent = np.cumsum(np.take_along_axis(seconds, best, 1), axis=1)
    fits = spent <= budget
    fits[:, 0] = budget > 0
    found = np.zeros(score.shape, dtype=np.bool_)
    np.put_along_axis(found, best, fits, 1)
    return found & (score > 0)
