from fractions import Fraction
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.readiness import score
from stickback.readiness.score import Topics

NAN = float("nan")
MARKS = [(20, 0.8, 16), (12, 0.8, 10), (1, 0.5, 1), (3, 1.0, 3), (10, 0.01, 1), (40, 0.75, 30)]


def exactly(chance, questions, least):
    """The binomial in fractions: at least so many of them right."""
    p = Fraction(chance)
    return sum(comb(questions, k) * p**k * (1 - p) ** (questions - k) for k in range(least, questions + 1))


def one_by_one(chances, least):
    """At least so many of these right, each with a chance of its own: the distribution built question by question."""
    spread = [Fraction(1)]
    for p in map(Fraction, chances):
        spread = [a * (1 - p) + b * p for a, b in zip([*spread, 0], [0, *spread], strict=True)]
    return sum(spread[least:])


def passes(chance, questions, share):
    return float(score.pass_chance(np.array([chance]), questions, share)[0])


# the oral


@pytest.mark.parametrize(("questions", "share", "least"), MARKS)
@pytest.mark.parametrize("chance", [0.0, 1e-9, 0.1, 0.5, 0.8, 0.93, 1 - 1e-12, 1.0])
def test_the_chance_to_pass_is_the_binomial_in_exact_numbers(chance, questions, share, least):
    assert passes(chance, questions, share) == pytest.approx(float(exactly(chance, questions, least)), rel=1e-9)


@pytest.mark.parametrize(("questions", "share", "least"), MARKS)
def test_an_oral_of_equal_questions_is_passed_as_often_as_one_drawn_afresh(questions, share, least):
    assert passes(0.7, questions, share) == pytest.approx(float(one_by_one([0.7] * questions, least)), rel=1e-9)


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 200), st.floats(0.01, 1))
def test_the_chance_to_pass_is_a_chance_and_knowing_more_never_lowers_it(one, other, questions, share):
    low, high = sorted((one, other))
    found = score.pass_chance(np.array([low, high]), questions, share)
    assert 0 <= found[0] <= found[1] + 1e-12
    assert found[1] <= 1


def test_nothing_known_about_stays_nothing_said():
    found = score.pass_chance(np.array([NAN, 1.0, 0.0]), 20, 0.8)
    assert np.isnan(found[0])
    assert found[1:].tolist() == [1.0, 0.0]


@pytest.mark.parametrize(("questions", "share", "least"), MARKS)
def test_the_pass_mark_is_the_share_rounded_up(questions, share, least):
    assert score.needed(questions, share) == least


@given(st.integers(1, 200), st.integers(1, 100))
def test_the_pass_mark_of_whole_percents_is_never_off_by_a_rounding_error(questions, percent):
    assert score.needed(questions, percent / 100) == -(-questions * percent // 100)


# topics


def gathered(known, counted, topic, topics):
    return score.by_topic(np.array(known, dtype=float), np.array(counted), np.array(topic, dtype=np.int64), topics)


def test_a_topic_is_the_mean_of_its_questions_the_unseen_counted_as_not_known():
    found = gathered([[0.9, NAN, 0.5], [NAN, NAN, NAN]], [[True] * 3] * 2, [0, 0, 1], 2)
    assert found.questions.tolist() == [[2, 1], [2, 1]]
    assert found.seen.tolist() == [[1, 1], [0, 0]]
    assert found.known.tolist() == [[0.45, 0.5], [0.0, 0.0]]


def test_what_does_not_count_for_a_student_is_in_no_figure():
    found = gathered([[0.9, 0.3, NAN]], [[True, False, False]], [0, 0, 0], 1)
    assert (found.questions.tolist(), found.seen.tolist(), found.known.tolist()) == ([[1]], [[1]], [[0.9]])


def test_a_topic_without_questions_has_no_figure():
    found = gathered([[0.9]], [[True]], [1], 3)
    assert found.questions.tolist() == [[0, 1, 0]]
    assert np.isnan(found.known[0]).tolist() == [True, False, True]


@given(st.lists(st.tuples(st.integers(-1, 4), st.floats(0, 1)), max_size=20))
def test_each_topic_gets_the_sum_of_its_own_whatever_the_order(rows):
    topic, values = (
        np.array([row[0] for row in rows], dtype=np.int64),
        np.array([[row[1] for row in rows]], dtype=float),
    )
    found = score.per_topic(values, topic, 5)
    assert found[0].tolist() == pytest.approx([sum(value for at, value in rows if at == one) for one in range(5)])


def test_flags_are_counted():
    found = score.per_topic(np.array([[True, True, False]]), np.array([1, 1, 1]), 2)
    assert found.tolist() == [[0, 2]]


def whole(questions, known, weight):
    topics = Topics(np.array([questions]), np.array([questions]), np.array([known], dtype=float))
    return float(score.overall(topics, np.array(weight))[0])


def test_the_whole_is_the_mean_by_topic_weight_not_by_number_of_questions():
    assert whole([1, 100], [1.0, 0.0], [3, 1]) == 0.75


def test_a_topic_without_questions_takes_no_weight():
    assert whole([4, 0], [0.6, NAN], [1, 3]) == pytest.approx(0.6)


def test_without_any_question_there_is_no_figure():
    assert np.isnan(whole([0, 0], [NAN, NAN], [1, 3]))


@given(st.lists(st.tuples(st.integers(0, 9), st.floats(0, 1), st.integers(1, 3)), min_size=1, max_size=8))
def test_the_whole_lies_between_the_weakest_and_the_strongest_topic(rows):
    questions, _, weight = zip(*rows, strict=True)
    there = [mean for many, mean, _ in rows if many]
    found = whole(list(questions), [mean if many else NAN for many, mean, _ in rows], list(weight))
    assert np.isnan(found) if not there else min(there) - 1e-12 <= found <= max(there) + 1e-12
