"""What asking a question today is worth on a date: how much more of it will be known then.

Axis: questions, or any number of students' questions one behind the other. Days are day numbers.
"""

from dataclasses import dataclass

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Floats, Ints, Parameters


@dataclass(frozen=True)
class Bank:
    """The questions that can be asked, as arrays of one shape.

    Args:
        topic: a number for each topic; of the unseen questions of one topic, those that stand first are asked first.
        stability, difficulty: their memory; nan where unseen.
        last: day of the answer that left it; -1 where unseen.
        guess: chance to guess each right.
        sight: chance to answer each right when it is seen for the first time.
        worth: what knowing it adds to the whole: its topic's weight over the number of the topic's questions; the
            sum over all questions of a student is 1.
        seconds: what asking it costs.
    """

    topic: Ints
    stability: Floats
    difficulty: Floats
    last: Ints
    guess: Floats
    sight: Floats
    worth: Floats
    seconds: Floats


def recall(bank: Bank, on: int, w: Parameters = curve.DEFAULTS) -> Floats:
    """Chance of a right answer on a day, at the soonest the day after the last one; nan where unseen."""
    return curve.recall(bank.stability, np.maximum(on - bank.last, 1), w)


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
    right = right_now(bank, today, w)
    after = right * _known(bank, _after(bank, curve.RIGHT, today, w), today, on, w)
    after += (1 - right) * _known(bank, _after(bank, curve.WRONG, today, w), today, on, w)
    without = np.nan_to_num(curve.known(recall(bank, on, w), bank.guess))
    return np.asarray(after - without)


def _after(bank: Bank, grade: int, today: int, w: Parameters) -> Floats:
    """Stability after an answer today."""
    grades = np.full(bank.last.shape, grade)
    further, _ = curve.step(bank.stability, bank.difficulty, grades, today - bank.last, w)
    return np.where(np.isnan(bank.stability), curve.first(grades[:1], w)[0], further)


def _known(bank: Bank, stability: Floats, today: int, on: int, w: Parameters) -> Floats:
    return curve.known(curve.recall(stability, np.full(1, max(on - today, 1)), w), bank.guess)
