from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve, fold, predict

NOON = datetime(2020, 1, 1, 12, tzinfo=UTC)
HISTORIES = st.lists(
    st.lists(st.tuples(st.integers(1, 400), st.integers(1, 3)), min_size=1, max_size=8), min_size=1, max_size=6
)


def columns(histories):
    """History, day and grade of histories that are given as (days since the last, grade)."""
    rows = [
        (2 * number, day, grade)
        for number, answers in enumerate(histories)
        for day, (_, grade) in zip(np.cumsum([gap for gap, _ in answers]).tolist(), answers, strict=True)
    ]
    return np.array(rows, dtype=np.int64).T


def by_library(history, day, grade):
    """The chance just before each answer, and the stability after the last of each history."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    cards, chances = {}, []
    for who, when, worth in zip(history.tolist(), day.tolist(), grade.tolist(), strict=True):
        at = NOON + timedelta(days=when)
        known = who in cards
        card = cards.get(who, Card(card_id=1))
        chances.append(scheduler.get_card_retrievability(card, at) if known else float("nan"))
        cards[who], _ = scheduler.review_card(card, Rating(worth), at)
    return chances, [cards[who].stability for who in sorted(cards)]


@given(HISTORIES)
def test_what_was_expected_before_each_answer_is_what_the_library_expected(histories):
    made = columns(histories)
    chances, stabilities = by_library(*made)
    found = predict.follow(*made)
    assert found.chance.tolist() == pytest.approx(chances, rel=1e-9, nan_ok=True)
    assert found.stability.tolist() == pytest.approx(stabilities, rel=1e-9)


@given(HISTORIES)
def test_the_memory_at_the_end_is_that_of_the_fold(histories):
    made = columns(histories)
    state, found = fold.replay(*made, fold.nothing(2 * len(histories))), predict.follow(*made)
    assert found.history.tolist() == np.flatnonzero(~np.isnan(state.stability)).tolist()
    assert found.stability.tolist() == state.stability[found.history].tolist()


def test_parameters_of_ones_own_are_followed():
    made = columns([[(1, 3), (30, 3)]])
    own = tuple(value * 2 if at < 4 else value for at, value in enumerate(curve.DEFAULTS))
    assert predict.follow(*made, own).chance[1] > predict.follow(*made).chance[1]


def test_without_answers_there_is_nothing():
    found = predict.follow(*np.zeros((3, 0), dtype=np.int64))
    assert (len(found.history), len(found.stability), len(found.chance)) == (0, 0, 0)
