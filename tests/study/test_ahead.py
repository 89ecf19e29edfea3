from dataclasses import fields, replace

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given, settings
from hypothesis import strategies as st

from stickback.memory import curve
from stickback.study import ahead
from stickback.study.ahead import WORTH_ASKING, Bank, Goal

TODAY = 20_600
UNSEEN = {"stability": np.nan, "difficulty": np.nan, "moved_on": -1}


def bank(*questions):
    plain = {"topic": 0, **UNSEEN, "guess": 0.0, "sight": 0.6, "worth": 0.1, "seconds": 20.0}
    rows = [{**plain, **one} for one in questions]
    return Bank(**{field.name: np.array([row[field.name] for row in rows]) for field in fields(Bank)})


def seen(stability=10.0, ago=5, **more):
    return {"stability": stability, "difficulty": 5.0, "moved_on": TODAY - ago, **more}


def goal(some, days=21, within=None, least=0.0):
    return Goal(TODAY + days, np.ones(len(some.moved_on), dtype=bool) if within is None else np.array(within), least)


def ordered(some, *goals):
    return ahead.order(ahead.rank(some, TODAY, goals or [goal(some)]).score).tolist()


@st.composite
def banks(draw, most=30):
    one = st.builds(
        lambda known, stability, ago, **more: {**(seen(stability, ago) if known else UNSEEN), **more},
        st.booleans(),
        st.floats(0.05, 400),
        st.integers(1, 300),
        topic=st.integers(0, 4),
        guess=st.sampled_from([0, 0.25, 0.5]),
        sight=st.floats(0.05, 0.95),
        worth=st.floats(0.01, 1),
        seconds=st.floats(1, 120),
    )
    return bank(*draw(st.lists(one, min_size=1, max_size=most)))


def test_with_one_unseen_and_one_strong_question_the_unseen_comes_first():
    assert ordered(bank(seen(stability=100), {})) == [1, 0]


def test_of_two_alike_the_one_of_more_worth_comes_first():
    assert ordered(bank(seen(worth=0.1), seen(worth=0.2))) == [1, 0]


def test_of_two_alike_the_one_that_takes_less_time_comes_first():
    assert ordered(bank(seen(seconds=30), seen(seconds=10))) == [1, 0]


@given(banks(), st.integers(0, 90))
def test_what_is_ranked_gains_something_on_its_date(some, days):
    found = ahead.rank(some, TODAY, [goal(some, days)])
    chosen = ahead.order(found.score)
    assert np.all(found.gain[chosen] > 0)
    assert np.all(found.goal[chosen] == 0)
    rest = np.setdiff1d(np.arange(len(some.moved_on)), chosen)
    assert np.all(found.goal[rest] == -1)


def test_a_question_that_would_only_lose_is_left_out():
    w = (*curve.DEFAULTS[:8], 0.0, *curve.DEFAULTS[9:])  # of a memory that answering hardly strengthens
    lost = bank({**seen(stability=3.0), "difficulty": 9.9})
    assert ahead.gains(lost, TODAY, TODAY + 100, w)[0] < 0
    found = ahead.rank(lost, TODAY, [goal(lost, days=100)], w)
    assert (ahead.order(found.score).tolist(), found.goal.tolist()) == ([], [-1])


@settings(max_examples=50)
@given(banks())
def test_the_unseen_questions_of_a_topic_keep_their_order(some):
    places = np.array(ordered(some), dtype=int)
    for topic in range(5):
        new = [at for at in places if some.topic[at] == topic and np.isnan(some.stability[at])]
        alike = {some.worth[at] for at in new}
        assert len(alike) > 1 or new == sorted(new)


def test_an_unseen_question_is_not_preferred_to_another_of_its_topic_for_being_easy_or_quick():
    quick = bank({"seconds": 90, "guess": 0.0}, {"seconds": 5, "guess": 0.5}, {"topic": 1, "seconds": 40})
    assert ordered(quick)[-2:] == [0, 1] or ordered(quick)[:2] == [0, 1]


def test_what_matters_for_the_nearest_date_comes_before_all_else():
    two = bank(seen(), {"worth": 0.9})
    lesson, end = goal(two, 3, within=[True, False]), goal(two, 40)
    assert ordered(two, end) == [1, 0]
    found = ahead.rank(two, TODAY, [lesson, end])
    assert (ahead.order(found.score).tolist(), found.goal.tolist()) == ([0, 1], [0, 1])


def test_what_hardly_gains_for_a_lesson_is_left_to_the_date_after_it():
    one = bank(seen(stability=120.0, ago=3))
    assert 0 < ahead.gains(one, TODAY, TODAY + 2)[0] < WORTH_ASKING
    found = ahead.rank(one, TODAY, [goal(one, 2, least=WORTH_ASKING), goal(one, 60)])
    assert found.goal.tolist() == [1]
    assert ordered(one, goal(one, 2, least=WORTH_ASKING)) == []


def test_a_date_that_has_passed_counts_no_more():
    one = bank({})
    assert ordered(one, goal(one, -1)) == []
    assert ordered(one, goal(one, 0)) == [0]


@settings(max_examples=50)
@given(banks(), st.floats(0, 900))
def test_a_day_takes_the_best_that_fit_its_seconds_and_one_at_least(some, seconds):
    score = ahead.rank(some, TODAY, [goal(some)]).score
    found = ahead.taken(score[None], some.seconds[None], seconds)[0]
    places = ahead.order(score)
    many = int(found.sum())
    assert sorted(np.flatnonzero(found)) == sorted(places[:many])
    assert many <= 1 or some.seconds[found].sum() <= seconds + 1e-9
    assert many >= 1 or seconds == 0 or not len(places)


def test_students_are_taken_care_of_each_alone():
    score, seconds = np.array([[0.2, 0.1, 0.3], [0.0, 0.0, 0.0]]), np.full((2, 3), 10.0)
    assert ahead.taken(score, seconds, 20).tolist() == [[True, False, True], [False] * 3]


@pytest.mark.parametrize("budget", [0.0, -1.0])
def test_a_day_that_is_used_up_takes_nothing(budget):
    assert not ahead.taken(np.ones((1, 2)), np.ones((1, 2)), budget).any()


# what a question gains


def known_by_library(question, answers, on):
    """What the memory library says is known on a day after answers: (grade, day)."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=1)
    for grade, day in answers:
        card, _ = scheduler.review_card(card, Rating(grade), curve.NOON + curve.timedelta(days=day))
    chance = scheduler.get_card_retrievability(card, curve.NOON + curve.timedelta(days=on))
    return float(curve.known(chance, question.get("guess", 0.0)))


@pytest.mark.parametrize("guess", [0.0, 0.25, 0.5])
@pytest.mark.parametrize("further", [1, 7, 40])
def test_the_gain_of_a_seen_question_is_what_the_library_says_of_both_outcomes(guess, further):
    before = [(3, 0), (1, 4), (3, 6)]
    stability, difficulty = 0.0, 0.0
    scheduler, card = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False), Card(card_id=1)
    for grade, day in before:
        card, _ = scheduler.review_card(card, Rating(grade), curve.NOON + curve.timedelta(days=day))
    stability, difficulty = card.stability, card.difficulty
    question = {"stability": stability, "difficulty": difficulty, "moved_on": 6, "guess": guess}
    today, on = 11, 11 + further
    right = scheduler.get_card_retrievability(card, curve.NOON + curve.timedelta(days=today))
    expected = right * known_by_library(question, [*before, (3, today)], on)
    expected += (1 - right) * known_by_library(question, [*before, (1, today)], on)
    expected -= known_by_library(question, before, on)
    assert ahead.gains(bank(question), today, on) == pytest.approx([expected], abs=1e-9)


def test_the_gain_of_an_unseen_question_is_all_that_is_known_of_it_then():
    question = {"sight": 0.7}
    expected = 0.7 * known_by_library(question, [(3, 0)], 9) + 0.3 * known_by_library(question, [(1, 0)], 9)
    assert ahead.gains(bank(question), 0, 9) == pytest.approx([expected], abs=1e-9)


def test_an_unseen_question_gains_more_than_a_strong_one():
    unseen, strong = ahead.gains(bank({}, seen(stability=200)), TODAY, TODAY + 21)
    assert unseen > 0.4 > 0.02 > strong > 0


def test_on_the_date_itself_what_counts_is_the_day_after_an_answer():
    one = bank(seen())
    assert ahead.gains(one, TODAY, TODAY) == pytest.approx(ahead.gains(one, TODAY, TODAY + 1), abs=0.02)
    assert ahead.recall(one, TODAY - 5) == ahead.recall(one, TODAY - 4) < 1


def test_other_parameters_give_other_gains():
    slower = (*curve.DEFAULTS[:20], 0.3)
    assert ahead.gains(bank(seen()), TODAY, TODAY + 9, slower) != ahead.gains(bank(seen()), TODAY, TODAY + 9)


def test_the_chance_of_a_right_answer_now_is_recall_or_that_of_first_sight():
    found = ahead.right_now(bank(seen(stability=5.0, ago=5), {"sight": 0.35}), TODAY)
    assert found == pytest.approx([0.9, 0.35])


@given(
    st.floats(0.01, 500), st.floats(1, 10), st.integers(1, 400), st.integers(0, 200), st.sampled_from([0, 0.25, 0.5])
)
def test_a_gain_is_no_more_than_what_was_not_known(stability, difficulty, ago, further, guess):
    one = bank({**seen(stability, ago, guess=guess), "difficulty": difficulty})
    (without,) = curve.known(ahead.recall(one, TODAY + further), one.guess)
    (found,) = ahead.gains(one, TODAY, TODAY + further)
    assert -without <= found <= 1 - without + 1e-12


def test_the_arrays_of_the_bank_are_left_alone():
    one = bank(seen(), {})
    before = replace(one, **{field.name: getattr(one, field.name).copy() for field in fields(one)})
    ahead.gains(one, TODAY, TODAY + 5)
    for field in fields(one):
        np.testing.assert_array_equal(getattr(one, field.name), getattr(before, field.name))
