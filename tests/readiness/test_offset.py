import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve
from stickback.readiness import offset

ANSWERS = st.lists(st.tuples(st.floats(0.01, 0.99), st.booleans()), max_size=40)


def told(answers, elapsed):
    chance, right = np.array(answers, dtype=float).reshape(-1, 2).T
    return chance, right.astype(bool), np.full(len(answers), elapsed)


def own(*answers, elapsed=offset.LONG):
    return offset.offsets([told(each, elapsed) for each in answers], [curve.DEFAULTS] * len(answers))


def found(*answers, elapsed=offset.LONG):
    mean, error, _ = own(*answers, elapsed=elapsed)
    return list(zip(mean.tolist(), error.tolist(), strict=True))


def steeper(chance):
    return float(curve.steeper(np.array([chance]), np.array([curve.DEFAULTS[curve.DECAY]]))[0])


def log_posterior(answers, shift):
    odds = [chance / (1 - chance) * math.exp(shift) for chance, _ in answers]
    return (
        sum(math.log((o if right else 1) / (1 + o)) for o, (_, right) in zip(odds, answers, strict=True)) - 2 * shift**2
    )


@given(ANSWERS)
def test_no_other_offset_is_likelier(answers):
    mean, _, steep = (each[0] for each in own(answers))
    answers = [(steeper(chance) if steep else chance, right) for chance, right in answers]
    answers = [(min(max(chance, 0.01), 0.99), right) for chance, right in answers]
    best = log_posterior(answers, mean)
    assert all(log_posterior(answers, mean + step) <= best + 1e-9 for step in (-1, -0.01, 0.01, 1))


def test_without_an_answer_the_offset_is_nothing_and_as_uncertain_as_over_students():
    assert found([]) == [(0, 0.5)]


@given(ANSWERS)
def test_a_right_answer_more_never_lowers_it_and_a_wrong_one_never_raises_it(answers):
    mean, _, steep = own(answers, [*answers, (0.8, True)], [*answers, (0.8, False)])
    if len(set(steep.tolist())) == 1:  # by one curve
        assert mean[2] < mean[0] < mean[1]


def test_the_next_morning_says_nothing_of_what_is_forgotten_in_weeks_and_more_days_say_more():
    answers = [(0.9, False)] * 20
    means = [found(answers, elapsed=days)[0][0] for days in (1, 3, offset.LONG, 40)]
    assert means[0] == 0 > means[1] > means[2] == means[3]


def students(curves, many=100, answers=250):
    """Students whose answers come as a curve has it, of what the model tells."""
    random = np.random.default_rng(3)
    chance = random.uniform(0.5, 0.97, (many, answers))
    right = random.random(chance.shape) < curves(chance)
    return list(zip(chance, right, np.full(chance.shape, 7), strict=True))


def test_the_steeper_curve_is_taken_where_it_tells_better_and_seldom_where_not():
    decay = np.array([[curve.DEFAULTS[curve.DECAY]]])
    w = [curve.DEFAULTS] * 100
    assert offset.offsets(students(lambda chance: curve.steeper(chance, decay)), w).steep.mean() > 0.9
    assert offset.offsets(students(lambda chance: chance), w).steep.mean() < 0.05


def test_a_shift_alone_is_no_sign_of_a_steeper_curve():
    worse = students(lambda chance: offset.shifted(offset.odds_of(chance), -0.5))
    assert offset.offsets(worse, [curve.DEFAULTS] * 100).steep.mean() < 0.05


def test_answers_against_all_expectation_find_an_end():
    low, high = found([(0.99, False)] * 300, [(0.01, True)] * 300)
    assert low[0] == pytest.approx(-high[0])
    assert -8 < low[0] < -5


def test_only_the_last_three_hundred_answers_count():
    late = [(0.7, True)] * 300
    assert found([(0.9, False)] * 50 + late) == found(late)


def test_nobody_moves_the_offset_of_another():
    ann, bob = [(0.9, False)] * 3, [(0.6, True)] * 200
    assert found(ann, bob) == [*found(ann), *found(bob)]


@given(st.floats(0, 1), st.floats(-5, 5))
def test_a_chance_is_shifted_by_its_logit_and_none_is_certain(chance, shift):
    moved = float(offset.shifted(offset.odds_of(np.array([chance])), np.array([shift]))[0])
    held = min(max(chance, 0.01), 0.99)
    assert moved == pytest.approx(1 / (1 + (1 - held) / held * math.exp(-shift)))


def test_what_was_never_seen_stays_so():
    assert np.isnan(offset.shifted(offset.odds_of(np.array([np.nan])), np.array([1.0])))[0]


def test_levels_are_equally_likely_on_the_day_and_spread_wider_than_the_error():
    made = offset.levels(np.array([0.3]), np.array([0.6]), 400)[0]
    assert made.mean() == pytest.approx(0.3)
    assert made.std() == pytest.approx(math.hypot(0.6, 0.25), rel=0.01)
    assert np.all(np.diff(made) > 0)
