import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.readiness import offset

ANSWERS = st.lists(st.tuples(st.floats(0.01, 0.99), st.booleans()), max_size=40)


def told(answers):
    return np.array([chance for chance, _ in answers]), np.array([right for _, right in answers], dtype=bool)


def found(*answers):
    mean, error = offset.offsets([told(each) for each in answers])
    return list(zip(mean.tolist(), error.tolist(), strict=True))


def log_posterior(answers, shift):
    odds = [chance / (1 - chance) * math.exp(shift) for chance, _ in answers]
    return (
        sum(math.log((o if right else 1) / (1 + o)) for o, (_, right) in zip(odds, answers, strict=True)) - 2 * shift**2
    )


@given(ANSWERS)
def test_no_other_offset_is_likelier(answers):
    ((mean, _),) = found(answers)
    best = log_posterior(answers, mean)
    assert all(log_posterior(answers, mean + step) <= best + 1e-9 for step in (-1, -0.01, 0.01, 1))


def test_without_an_answer_the_offset_is_nothing_and_as_uncertain_as_over_students():
    assert found([]) == [(0, 0.5)]


@given(ANSWERS)
def test_a_right_answer_more_never_lowers_it_and_a_wrong_one_never_raises_it(answers):
    before, right, wrong = (each[0] for each in found(answers, [*answers, (0.8, True)], [*answers, (0.8, False)]))
    assert wrong < before < right


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
