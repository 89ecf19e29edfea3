from fractions import Fraction
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.readiness import oral as exam
from stickback.readiness.oral import OralRules

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


def oral(questions, share, weight=(1,)):
    return OralRules(tuple(map(str, weight)), np.array(weight), np.zeros(len(weight), dtype=bool), questions, share)


def passes(chance, questions, share):
    return float(oral(questions, share).pass_chance(np.array([chance]))[0])


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
    found = oral(questions, share).pass_chance(np.array([low, high]))
    assert 0 <= found[0] <= found[1] + 1e-12
    assert found[1] <= 1


def test_nothing_known_about_stays_nothing_said():
    found = oral(20, 0.8).pass_chance(np.array([NAN, 1.0, 0.0]))
    assert np.isnan(found[0])
    assert found[1:].tolist() == [1.0, 0.0]


@pytest.mark.parametrize(("questions", "share", "least"), MARKS)
def test_the_pass_mark_is_the_share_rounded_up(questions, share, least):
    assert oral(questions, share).needed == least


@given(st.integers(1, 200), st.integers(1, 100))
def test_the_pass_mark_of_whole_percents_is_never_off_by_a_rounding_error(questions, percent):
    assert oral(questions, percent / 100).needed == -(-questions * percent // 100)


# topics


@given(st.lists(st.tuples(st.integers(-1, 4), st.floats(0, 1)), max_size=20))
def test_each_topic_gets_the_sum_of_its_own_whatever_the_order(rows):
    topic, values = (
        np.array([row[0] for row in rows], dtype=np.int64),
        np.array([[row[1] for row in rows]], dtype=float),
    )
    found = exam.per_topic(values, topic, 5)
    assert found[0].tolist() == pytest.approx([sum(value for at, value in rows if at == one) for one in range(5)])


def test_flags_are_counted():
    found = exam.per_topic(np.array([[True, True, False]]), np.array([1, 1, 1]), 2)
    assert found.tolist() == [[0, 2]]


def weighed(questions, weight):
    return oral(20, 0.8, weight).share_of_each(np.array([questions]))[0]


def test_a_question_weighs_its_topics_share_over_their_number():
    assert weighed([1, 100], [3, 1]).tolist() == [0.75, 0.0025]


def test_a_topic_without_questions_takes_no_weight():
    assert weighed([4, 0], [1, 3]).tolist() == [0.25, 0]


def test_without_any_question_nothing_has_a_weight():
    assert np.isnan(weighed([0, 0], [1, 3])).all()


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(1, 3)), min_size=1, max_size=8))
def test_all_questions_together_weigh_one(rows):
    questions, weight = zip(*rows, strict=True)
    found = weighed(list(questions), list(weight))
    assert not any(questions) or (found * questions).sum() == pytest.approx(1)


def test_the_oral_is_that_of_the_plan(course):
    plan = course().plan
    found = exam.rules_of(plan)
    assert (found.topics, found.questions, found.share) == (tuple(plan.topics), plan.exam_questions, plan.exam_pass)
    assert found.weight.tolist() == [topic.weight for topic in plan.topics.values()]
    assert found.must.tolist() == [topic.must for topic in plan.topics.values()]
