from dataclasses import fields, replace

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve
from stickback.study import gain
from stickback.study.gain import Bank

TODAY = 20_600


def bank(*questions):
    """A bank of questions, each given as what it has besides the defaults of an unseen open one."""
    plain = {"topic": 0, "stability": np.nan, "difficulty": np.nan, "last": -1, "guess": 0.0, "sight": 0.6}
    rows = [{**plain, "worth": 1.0, "seconds": 20.0, **one} for one in questions]
    return Bank(**{field.name: np.array([row[field.name] for row in rows]) for field in fields(Bank)})


def seen(stability=10.0, difficulty=5.0, ago=5, **more):
    return {"stability": stability, "difficulty": difficulty, "last": TODAY - ago, **more}


def known_by_library(question, answers, on):
    """What the memory library says is known on a day after answers: (grade, day)."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=1)
    for grade, day in answers:
        card, _ = scheduler.review_card(card, Rating(grade), curve.NOON + curve.timedelta(days=day))
    chance = scheduler.get_card_retrievability(card, curve.NOON + curve.timedelta(days=on))
    half = question.get("guess", 0.0) / 2
    return max(0.0, (chance - half) / (1 - half))


@pytest.mark.parametrize("guess", [0.0, 0.25, 0.5])
@pytest.mark.parametrize("ahead", [1, 7, 40])
def test_the_gain_of_a_seen_question_is_what_the_library_says_of_both_outcomes(guess, ahead):
    before = [(3, 0), (1, 4), (3, 6)]
    stability, difficulty = 0.0, 0.0
    scheduler, card = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False), Card(card_id=1)
    for grade, day in before:
        card, _ = scheduler.review_card(card, Rating(grade), curve.NOON + curve.timedelta(days=day))
    stability, difficulty = card.stability, card.difficulty
    question = {"stability": stability, "difficulty": difficulty, "last": 6, "guess": guess}
    today, on = 11, 11 + ahead
    right = scheduler.get_card_retrievability(card, curve.NOON + curve.timedelta(days=today))
    expected = right * known_by_library(question, [*before, (3, today)], on)
    expected += (1 - right) * known_by_library(question, [*before, (1, today)], on)
    expected -= known_by_library(question, before, on)
    assert gain.gains(bank(question), today, on) == pytest.approx([expected], abs=1e-9)


def test_the_gain_of_an_unseen_question_is_all_that_is_known_of_it_then():
    question = {"sight": 0.7}
    expected = 0.7 * known_by_library(question, [(3, 0)], 9) + 0.3 * known_by_library(question, [(1, 0)], 9)
    assert gain.gains(bank(question), 0, 9) == pytest.approx([expected], abs=1e-9)


def test_an_unseen_question_gains_more_than_a_strong_one():
    unseen, strong = gain.gains(bank({}, seen(stability=200)), TODAY, TODAY + 21)
    assert unseen > 0.4 > 0.02 > strong > 0


def test_on_the_date_itself_what_counts_is_the_day_after_an_answer():
    one = bank(seen())
    assert gain.gains(one, TODAY, TODAY) == pytest.approx(gain.gains(one, TODAY, TODAY + 1), abs=0.02)
    assert gain.recall(one, TODAY - 5) == gain.recall(one, TODAY - 4) < 1


def test_other_parameters_give_other_gains():
    slower = (*curve.DEFAULTS[:20], 0.3)
    assert gain.gains(bank(seen()), TODAY, TODAY + 9, slower) != gain.gains(bank(seen()), TODAY, TODAY + 9)


def test_the_chance_of_a_right_answer_now_is_recall_or_that_of_first_sight():
    found = gain.right_now(bank(seen(stability=5.0, ago=5), {"sight": 0.35}), TODAY)
    assert found == pytest.approx([0.9, 0.35])


@given(
    st.floats(0.01, 500), st.floats(1, 10), st.integers(1, 400), st.integers(0, 200), st.sampled_from([0, 0.25, 0.5])
)
def test_a_gain_is_no_more_than_what_was_not_known(stability, difficulty, ago, ahead, guess):
    one = bank(seen(stability, difficulty, ago, guess=guess))
    (without,) = curve.known(gain.recall(one, TODAY + ahead), one.guess)
    (found,) = gain.gains(one, TODAY, TODAY + ahead)
    assert -without <= found <= 1 - without + 1e-12


def test_the_arrays_of_the_bank_are_left_alone():
    one = bank(seen(), {})
    before = replace(one, **{field.name: getattr(one, field.name).copy() for field in fields(one)})
    gain.gains(one, TODAY, TODAY + 5)
    for field in fields(one):
        np.testing.assert_array_equal(getattr(one, field.name), getattr(before, field.name))
