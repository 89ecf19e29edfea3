"""How much faster the fold is than the library called one answer at a time, as ratios of the same run.

A million answers are folded. The library's loop is measured on a sample, the whole histories that hold the first
100,000 of them, and its time taken per answer; what it found there is what the fold must find.
"""

from datetime import UTC, datetime, timedelta
from statistics import median
from time import perf_counter

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler

from stickback.memory import fold

ANSWERS, SAMPLE, RUNS = 1_000_000, 100_000, 15
LEAST_REPLAY, LEAST_FOLD = 100, 30
NOON = datetime(2000, 1, 1, 12, tzinfo=UTC)

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def log():
    """History, day and grade of each answer, sorted by history and day, one answer a day."""
    random = np.random.default_rng(1)
    lengths = random.geometric(0.1, ANSWERS)  # ten answers a history, the longest above a hundred
    history = np.repeat(np.arange(ANSWERS), lengths)[:ANSWERS]
    passed = np.cumsum(1 + random.geometric(0.05, ANSWERS))
    begins = np.searchsorted(history, history)
    return history, passed - passed[begins], random.choice([1, 2, 3], ANSWERS, p=[0.12, 0.18, 0.7])


@pytest.fixture(scope="module")
def sample(log):
    """The same for the library: grade and moment of each answer, history by history."""
    history, day, grade = (column[:SAMPLE].tolist() for column in log)
    histories = [[] for _ in range(history[-1] + 1)]
    for who, when, worth in zip(history, day, grade, strict=True):
        histories[who].append((Rating(worth), NOON + timedelta(days=when)))
    return histories[:-1]  # the last one is cut off


def by_library(histories):
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    found = []
    for answers in histories:
        card = Card(card_id=1, due=NOON)
        for grade, moment in answers:
            card, _ = scheduler.review_card(card, grade, moment)
        found.append((card.stability, card.difficulty))
    return found


def timed(function, *arguments):
    start = perf_counter()
    result = function(*arguments)
    return perf_counter() - start, result


def ratios(histories, function, columns):
    """How many times as fast an answer is folded in each run; then the states found, and those of the library."""
    start, answers, found = fold.nothing(int(columns[0].max()) + 1), sum(map(len, histories)), []
    for _ in range(RUNS):
        library_seconds, expected = timed(by_library, histories)
        seconds, state = timed(function, *columns, start)
        found.append((library_seconds / answers) / (seconds / ANSWERS))
    return found, state, np.array(expected)


def told(name, found):
    print(f"\n{name}: {median(found):.0f} times as fast ({min(found):.0f} to {max(found):.0f} in {RUNS} runs)")
    return median(found)


def largest_error(state, expected):
    found = np.array([state.stability, state.difficulty]).T[: len(expected)]
    return np.max(np.abs(found / expected - 1))


def test_sorted_answers_are_replayed_a_hundred_times_as_fast_as_by_the_library(log, sample):
    found, state, expected = ratios(sample, fold.replay, log)
    assert largest_error(state, expected) < 1e-9
    assert told("replay", found) >= LEAST_REPLAY


def test_answers_in_any_order_are_folded_thirty_times_as_fast_as_by_the_library(log, sample):
    shuffled = np.random.default_rng(2).permutation(ANSWERS)
    found, state, expected = ratios(sample, fold.fold, [column[shuffled] for column in log])
    assert largest_error(state, expected) < 1e-9
    assert told("fold", found) >= LEAST_FOLD
