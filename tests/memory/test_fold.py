from collections import defaultdict
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve, fold
from stickback.memory.fold import VOIDED

HISTORIES = 4
OTHER_PARAMETERS = (*(1.0, 2.0, 3.0, 9.0), *curve.DEFAULTS[4:20], 0.3)
NOON = datetime(1970, 1, 1, 12, tzinfo=UTC)

answers = st.tuples(st.integers(0, HISTORIES - 1), st.integers(0, 30), st.integers(0, 3))
logs = st.lists(answers, max_size=40)
in_order = logs.map(lambda log: sorted(log, key=lambda answer: answer[1]))


def folded(log, start=None, w=curve.DEFAULTS):
    columns = np.array(log, dtype=np.int64).reshape(-1, 3).T
    return fold.fold(*columns, start or fold.nothing(HISTORIES), w)


def by_library(log, w=curve.DEFAULTS):
    """Stability, difficulty, last day and last day touched of each history: one answer at a time, day after day."""
    scheduler = Scheduler(w, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    cards, days, touched = defaultdict(lambda: Card(card_id=1)), defaultdict(lambda: -1), defaultdict(lambda: -1)
    for history, day, grade in sorted(log, key=lambda answer: answer[1]):
        if day > touched[history] and grade != VOIDED:
            cards[history], _ = scheduler.review_card(cards[history], Rating(grade), NOON + timedelta(days=day))
            days[history] = day
        touched[history] = day
    unseen = (np.nan, np.nan)
    states = [(cards[h].stability, cards[h].difficulty) if h in cards else unseen for h in range(HISTORIES)]
    return [(*states[h], days[h], touched[h]) for h in range(HISTORIES)]


def rows(state):
    return list(zip(state.stability, state.difficulty, state.moved_on, state.touched, strict=True))


def same(expected):
    return [pytest.approx(row, rel=1e-9, nan_ok=True) for row in expected]


@pytest.mark.parametrize("w", [curve.DEFAULTS, OTHER_PARAMETERS], ids=["defaults", "others"])
@given(log=logs)
def test_a_log_folds_as_the_library_does_answer_by_answer(w, log):
    assert rows(folded(log, w=w)) == same(by_library(log, w))


@given(in_order, st.data())
def test_a_log_folded_in_two_pieces_is_the_log_folded_at_once(log, data):
    cut = data.draw(st.integers(0, len(log)), "cut, also in the middle of a day")
    pieces = folded(log[cut:], folded(log[:cut]))
    assert rows(pieces) == same(rows(folded(log)))


@given(in_order)
def test_a_log_folded_answer_by_answer_is_the_log_folded_at_once(log):
    state = fold.nothing(HISTORIES)
    for answer in log:
        state = folded([answer], state)
    assert rows(state) == same(rows(folded(log)))


@given(logs, st.randoms(use_true_random=False))
def test_answers_of_different_days_or_histories_may_come_in_any_order(log, random):
    first_of_day = {(history, day): grade for history, day, grade in reversed(log)}
    shuffled = random.sample(log, len(log))
    shuffled.sort(key=lambda answer: answer[2] != first_of_day[answer[:2]])  # what was first on its day stays so
    assert rows(folded(shuffled)) == same(rows(folded(log)))


@given(logs)
def test_a_day_so_far_off_that_keys_cannot_be_packed_changes_no_other_history(log):
    far = (HISTORIES, 2**61, 3)
    state = folded([*log, far], fold.nothing(HISTORIES + 1))
    assert rows(state)[:HISTORIES] == same(rows(folded(log)))
    assert rows(state)[HISTORIES] == (2.3065, pytest.approx(2.118104, abs=1e-6), 2**61, 2**61)


@given(in_order)
def test_a_fold_leaves_what_it_started_from_alone(log):
    start = folded(log[:10])
    before = [array.copy() for array in vars(start).values()]
    folded(log[10:], start)
    assert [list(array) for array in vars(start).values()] == [
        pytest.approx(list(array), abs=0, rel=0, nan_ok=True) for array in before
    ]


@given(logs)
def test_a_replay_of_what_moves_the_memory_is_the_fold(log):
    moving = {(history, day): grade for history, day, grade in reversed(log)}
    clean = sorted((*key, grade) for key, grade in moving.items() if grade != VOIDED)
    replayed = fold.replay(*np.array(clean, dtype=np.int64).reshape(-1, 3).T, fold.nothing(HISTORIES))
    assert [row[:3] for row in rows(replayed)] == same([row[:3] for row in rows(folded(log))])


def test_nothing_answered_is_nothing_remembered():
    state = folded([])
    assert rows(state) == same([(np.nan, np.nan, -1, -1)] * HISTORIES)
    assert rows(folded([], folded([(1, 5, 3)]))) == same(rows(folded([(1, 5, 3)])))


@pytest.mark.parametrize("later", [0, 1, 2, 3])
@pytest.mark.parametrize("first", [1, 2, 3])
def test_only_the_first_answer_of_a_day_moves_the_memory(first, later):
    alone = folded([(0, 1, 3), (0, 4, first)])
    assert rows(folded([(0, 1, 3), (0, 4, first), (0, 4, later), (0, 4, later)])) == same(rows(alone))


def test_a_voided_answer_moves_nothing_and_leaves_its_day_to_practice():
    before = folded([(0, 1, 3)])
    after = folded([(0, 1, 3), (0, 4, VOIDED), (0, 4, 1)])
    assert rows(after)[0] == (*rows(before)[0][:3], 4)
    assert rows(folded([(0, 4, VOIDED), (0, 4, 3)]))[0] == pytest.approx((np.nan, np.nan, -1, 4), nan_ok=True)


def test_a_voided_last_answer_does_not_shorten_what_elapsed():
    assert rows(folded([(0, 1, 3), (0, 4, VOIDED), (0, 9, 3)])) == same(rows(folded([(0, 1, 3), (0, 9, 3)])))


def test_what_comes_on_a_day_that_a_piece_has_passed_is_practice():
    start = folded([(0, 1, 3), (0, 4, 3)])
    assert rows(folded([(0, 4, 1), (0, 3, 1)], start)) == same(rows(start))


def test_a_history_that_begins_beside_one_that_goes_on_gets_its_first_state():
    start = folded([(0, 1, 3), (2, 1, 1)])
    both = folded([(0, 3, 3), (1, 3, 2), (2, 3, 1), (3, 3, 3)], start)
    assert rows(both) == same(by_library([(0, 1, 3), (2, 1, 1), (0, 3, 3), (1, 3, 2), (2, 3, 1), (3, 3, 3)]))


# what was expected on the way


GAPS = st.lists(
    st.lists(st.tuples(st.integers(1, 400), st.integers(1, 3)), min_size=1, max_size=8), min_size=1, max_size=6
)


def as_columns(histories):
    """History, day and grade of histories that are given as (days since the last, grade)."""
    rows = [
        (2 * number, day, grade)
        for number, answers in enumerate(histories)
        for day, (_, grade) in zip(np.cumsum([gap for gap, _ in answers]).tolist(), answers, strict=True)
    ]
    return np.array(rows, dtype=np.int64).T


def followed_by_library(history, day, grade):
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


@given(GAPS)
def test_what_was_expected_before_each_answer_is_what_the_library_expected(histories):
    made = as_columns(histories)
    chances, stabilities = followed_by_library(*made)
    state, told = fold.follow(*made)
    assert told.tolist() == pytest.approx(chances, rel=1e-9, nan_ok=True)
    assert state.stability.tolist() == pytest.approx(stabilities, rel=1e-9)


@given(GAPS)
def test_the_memory_at_the_end_is_that_of_the_fold(histories):
    made = as_columns(histories)
    state, (found, _) = fold.replay(*made, fold.nothing(2 * len(histories))), fold.follow(*made)
    seen = np.flatnonzero(~np.isnan(state.stability))
    for name in ("stability", "difficulty", "moved_on"):
        assert getattr(found, name).tolist() == getattr(state, name)[seen].tolist()


def test_parameters_of_ones_own_are_followed():
    made = as_columns([[(1, 3), (30, 3)]])
    own = tuple(value * 2 if at < 4 else value for at, value in enumerate(curve.DEFAULTS))
    assert fold.follow(*made, own)[1][1] > fold.follow(*made)[1][1]


def test_without_answers_there_is_nothing():
    state, told = fold.follow(*np.zeros((3, 0), dtype=np.int64))
    assert (len(state.stability), len(told)) == (0, 0)
