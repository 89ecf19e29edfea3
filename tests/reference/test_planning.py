"""Choosing for a date, held to published findings and to figures worked out for this project.

Sources: Cepeda, Vul, Rohrer, Wixted and Pashler 2008, *Psychological Science*: the best gap between two studies grows
with the delay until the test, and shrinks as a share of it, from 20 to 40 % at a week to 5 to 10 % at a year. FSRS-6 as
published in py-fsrs 6.3.2 reproduces that; the figures below were worked out with it for this project, to three digits.
"""

import numpy as np
import pytest

from stickback.memory import curve
from stickback.study import ahead
from stickback.study.ahead import Bank


def once_right():
    """An open question that was answered right on day 0."""
    stability, difficulty = curve.first(np.array([curve.RIGHT]))
    one, none = np.ones(1), np.zeros(1)
    zero = np.zeros(1, dtype=int)
    return Bank(
        topic=zero,
        stability=stability,
        difficulty=difficulty,
        moved_on=zero,
        guess=none,
        sight=one,
        worth=one,
        seconds=one,
    )


def known(today, on):
    """What is expected to be known on a day after one more answer."""
    question = once_right()
    return (ahead.gains(question, today, on) + ahead.recall(question, on))[0]


@pytest.mark.parametrize(("today", "expected"), [(20, 0.964), (4, 0.855)])
def test_what_one_more_answer_leaves_known_three_weeks_on(today, expected):
    assert known(today, 21) == pytest.approx(expected, abs=0.0005)
    assert ahead.recall(once_right(), 21) == pytest.approx(0.702, abs=0.0005)


@pytest.mark.parametrize("on", [7, 21, 60])
def test_a_single_answer_before_a_fixed_date_is_best_on_the_eve(on):
    assert max(range(1, on), key=lambda today: known(today, on)) == on - 1


@pytest.mark.parametrize(("delay", "gap"), [(7, 4), (35, 8), (70, 11), (350, 17)])
def test_the_best_gap_before_a_fixed_delay_is_the_one_worked_out(delay, gap):
    assert max(range(1, delay + 1), key=lambda today: known(today, today + delay)) == pytest.approx(gap, abs=1)


def test_the_best_gap_shrinks_as_a_share_of_the_delay():
    best = [
        max(range(1, delay + 1), key=lambda day, delay=delay: known(day, day + delay)) for delay in (7, 35, 70, 350)
    ]
    shares = [gap / delay for gap, delay in zip(best, (7, 35, 70, 350), strict=True)]
    assert best == sorted(best)
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] == pytest.approx(0.05, abs=0.01)
