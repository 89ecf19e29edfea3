"""Choosing for a date: what is best asked today, with one date ahead or two; arrays in, arrays out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.study import gain
from stickback.study.gain import Bank

# Before a lesson, what gains less is left to the date after it. Source: simulated in nine cases of days and budget, a
# floor of so much cost nothing in eight; in the ninth it saved 185 of 2,400 answers for 0.2 points of the score.
WORTH_ASKING = 0.02


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


def rank(bank: Bank, today: int, goals: Sequence[Goal], w: Parameters = curve.DEFAULTS) -> Ranking:
    """The questions ranked for the dates ahead, what matters for the nearest one before all else.

    Args:
        goals: the nearest first; those before today are left out.

    Between topics only: the unseen questions of a topic all have its mean gain, so that they keep their order and those
    seen stay a fair sample of it.
    """
    score, best = np.zeros(bank.last.shape), np.zeros(bank.last.shape)
    goal = np.full(bank.last.shape, -1, dtype=np.int64)
    for number, each in enumerate(goals):
        if each.on < today:
            continue
        found, seconds = _shared(bank, gain.gains(bank, today, each.on, w))
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
