from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.readiness import unseen

GRADES = st.lists(st.tuples(st.integers(0, 3), st.integers(-1, 2), st.sampled_from([0.0, 0.25, 0.5])), max_size=20)


def rates(rows):
    """The rates of one student over three topics, from (first grade, topic, chance to guess)."""
    grade, topic, guess = zip(*rows, strict=True) if rows else ((), (), ())
    made = np.array([grade], dtype=np.int64), np.array(guess), np.array(topic, dtype=np.int64)
    knew, missed = unseen.rates(*made, 3)
    return SimpleNamespace(knew=knew, missed=missed, mean=knew / (knew + missed))


def rate(logit):
    return 1 / (1 + np.exp(-logit))


def test_before_any_answer_a_topic_is_known_at_one_in_twenty():
    assert rates([]).mean.tolist() == [pytest.approx([0.05] * 3)]


def test_the_rate_over_all_topics_counts_as_six_answers_in_each():
    found = rates([(3, 0, 0.0), (2, 0, 0.0), (1, 1, 0.0)])
    pooled = (0.05 + 2) / (1 + 3)
    assert found.knew[0].tolist() == pytest.approx([6 * pooled + 2, 6 * pooled, 6 * pooled])
    assert found.missed[0].tolist() == pytest.approx([6 * (1 - pooled), 6 * (1 - pooled) + 1, 6 * (1 - pooled)])


def test_of_choices_answered_right_as_often_as_by_guessing_the_lucky_ones_are_taken_off():
    found = rates([(3, 0, 0.5), (1, 0, 0.5)])
    assert (found.knew[0, 0] - found.knew[0, 1], found.missed[0, 0] - found.missed[0, 1]) == pytest.approx((0.5, 1))


def test_bad_luck_never_takes_off_more_than_was_right():
    assert rates([(1, 0, 0.5)] * 9).knew[0, 0] > 0


@given(GRADES, st.integers(0, 2), st.sampled_from([0.0, 0.25, 0.5]))
def test_a_right_first_answer_lowers_the_rate_of_no_topic_and_a_wrong_one_raises_none(rows, topic, guess):
    before, right, wrong = (rates([*rows, *more]).mean for more in ([], [(3, topic, guess)], [(1, topic, guess)]))
    assert np.all(right >= before - 1e-12)
    assert np.all(wrong <= before + 1e-12)


@given(st.floats(0.001, 500), st.floats(0.001, 500))
def test_equally_likely_rates_are_chances_in_their_order_around_the_mean(knew, missed):
    made = rate(unseen.levels(np.array([knew]), np.array([missed]), 20)[0])
    assert np.all((made >= 0) & (made <= 1))
    assert np.all(np.diff(made) >= 0)
    assert made.mean() == pytest.approx(knew / (knew + missed), abs=0.01)


@given(st.floats(0.01, 100), st.floats(0.01, 100))
def test_knowing_and_missing_are_mirrors_of_each_other(knew, missed):
    made = rate(unseen.levels(np.array([knew, missed]), np.array([missed, knew]), 10))
    assert made[0].tolist() == pytest.approx((1 - made[1][::-1]).tolist(), abs=1e-9)


def test_a_rate_alone_is_the_rate_among_others():
    knew, missed = np.array([0.3, 6.0, 90.0]), np.array([5.7, 2.0, 40.0])
    together = unseen.levels(knew, missed, 20)
    alone = [unseen.levels(knew[[at]], missed[[at]], 20)[0].tolist() for at in range(3)]
    assert together.tolist() == alone


def test_the_error_of_all_rates_together_falls_with_answers_and_with_the_topics_they_are_in():
    few, more, wide = ([(3, topic, 0.0), (1, topic, 0.0)] * times for topic, times in ((0, 2), (0, 6), (0, 2)))
    wide += [(3, 1, 0.0), (1, 1, 0.0)] * 4
    errors = [unseen.shared_error(rates(rows).knew, rates(rows).missed)[0] for rows in (few, more, wide)]
    assert errors[0][2] > errors[1][2] > errors[2][2]


def test_a_topic_with_many_answers_of_its_own_hardly_follows_the_others():
    found = rates([(3, 0, 0.0), (1, 0, 0.0)] * 50)
    error = unseen.shared_error(found.knew, found.missed)[0]
    assert error[0] == pytest.approx(error[1] * 6 / 106)
