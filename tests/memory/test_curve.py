from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler, State
from fsrs.scheduler import LOWER_BOUNDS_PARAMETERS, UPPER_BOUNDS_PARAMETERS
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve
from stickback.memory.curve import DEFAULTS, RIGHT, UNSURE, WRONG

NOON = datetime(2026, 1, 1, 12, tzinfo=UTC)

grades = st.integers(1, 4)
stabilities = st.floats(0.001, 2) | st.floats(0.001, 36_500)
difficulties = st.floats(1, 10)
elapsed_days = st.integers(0, 3_650)
chances = st.floats(0, 1)
guesses = st.sampled_from((0.0, 1 / 24, 1 / 9, 0.2, 0.25, 1 / 3, 0.5))
targets = st.floats(0.70, 0.97)
parameters = st.just(DEFAULTS) | st.tuples(
    *(st.floats(*bounds) for bounds in zip(LOWER_BOUNDS_PARAMETERS, UPPER_BOUNDS_PARAMETERS, strict=True))
)


def library(w=DEFAULTS, target=0.9):
    return Scheduler(w, target, learning_steps=(), relearning_steps=(), enable_fuzzing=False)


def card(stability, difficulty, elapsed):
    last = NOON - timedelta(days=elapsed)
    return Card(1, State.Review, None, stability, difficulty, last, last)


def close(expected):
    return pytest.approx(expected, rel=1e-9)


def arrays(*values):
    return [np.array([value]) for value in values]


@given(grades, parameters)
def test_the_first_state_is_that_of_the_library(grade, w):
    after, _ = library(w).review_card(Card(card_id=1), Rating(grade), NOON)
    stability, difficulty = curve.first(np.array([grade]), w)
    assert (stability[0], difficulty[0]) == (close(after.stability), close(after.difficulty))


@given(stabilities, difficulties, grades, elapsed_days, parameters)
def test_every_step_is_that_of_the_library_whatever_the_parameters(stability, difficulty, grade, elapsed, w):
    after, _ = library(w).review_card(card(stability, difficulty, elapsed), Rating(grade), NOON)
    found = curve.step(*arrays(stability, difficulty, grade, elapsed), w)
    assert (found[0][0], found[1][0]) == (close(after.stability), close(after.difficulty))


@given(stabilities, difficulties, st.integers(1, 3_650))
def test_a_wrong_answer_never_strengthens_and_a_right_one_never_weakens(stability, difficulty, elapsed):
    same = np.full(3, stability), np.full(3, difficulty), np.array([WRONG, UNSURE, RIGHT]), np.full(3, elapsed)
    wrong, unsure, right = curve.step(*same, DEFAULTS)[0]
    assert wrong <= stability <= unsure <= right


@given(stabilities, elapsed_days, parameters)
def test_recall_is_that_of_the_library(stability, elapsed, w):
    expected = library(w).get_card_retrievability(card(stability, 5.0, elapsed), NOON)
    assert curve.recall(*arrays(stability, elapsed), w)[0] == close(expected)


def test_a_step_over_many_answers_is_the_step_of_each():
    mixed = [(2.3, 2.1, WRONG, 3), (2.3, 2.1, RIGHT, 3), (2.3, 2.1, RIGHT, 0), (90.0, 9.0, UNSURE, 60)]
    together = curve.step(*(np.array(column) for column in zip(*mixed, strict=True)), DEFAULTS)
    apart = [curve.step(*arrays(*one), DEFAULTS) for one in mixed]
    assert [list(values) for values in together] == [[one[0] for one in values] for values in zip(*apart, strict=True)]


@given(stabilities, elapsed_days)
def test_recall_is_whole_at_first_and_falls_with_every_day(stability, elapsed):
    today, tomorrow = curve.recall(np.full(2, stability), np.array([elapsed, elapsed + 1]))
    assert 1 >= today > tomorrow > 0
    assert curve.recall(np.array(stability), np.array(0)) == 1


@given(stabilities, elapsed_days, st.floats(1.001, 10))
def test_recall_rises_with_stability(stability, elapsed, more):
    weak, strong = curve.recall(np.array([stability, stability * more]), np.full(2, elapsed))
    assert weak < strong or elapsed == 0


@given(stabilities)
def test_recall_has_fallen_to_nine_tenths_after_the_stability(stability):
    assert curve.recall(np.array(stability), np.array(stability)) == pytest.approx(0.9)


def test_what_was_never_answered_has_no_recall():
    assert np.isnan(curve.recall(*arrays(np.nan, 3)))
    assert np.isnan(curve.known(np.array(np.nan), 0.25))


@given(st.lists(chances, min_size=2), guesses)
def test_what_is_known_rises_with_recall_from_0_to_1(several, guess):
    known = curve.known(np.sort(np.array(several)), guess)
    assert np.all(np.diff(known) >= 0)
    assert known[0] >= 0
    assert known[-1] <= 1


@given(chances, guesses, guesses)
def test_the_easier_the_guess_the_less_is_known(chance, one, other):
    harder, easier = curve.known(np.full(2, chance), np.sort(np.array([one, other])))
    assert harder >= easier - 1e-15


@pytest.mark.parametrize(
    ("chance", "guess", "known"),
    [(0.9, 0, 0.9), (1, 0.5, 1), (0.25, 0.5, 0), (0.1, 0.5, 0), (0.7, 0.5, 0.6), (0.9, 0.2, 0.8 / 0.9)],
)
def test_half_the_guesses_are_taken_off_what_is_known(chance, guess, known):
    assert curve.known(np.array(chance), guess) == pytest.approx(known)


@given(targets, guesses)
def test_at_the_raised_target_just_the_target_is_known(target, guess):
    assert target <= curve.raised(target, guess) < 0.99
    assert curve.known(np.array(curve.raised(target, guess)), guess) == pytest.approx(target)


def test_the_raised_target_stays_below_certainty():
    assert curve.raised(0.99, 0.5) == 0.99


@given(stabilities, difficulties, grades, elapsed_days, targets, guesses, parameters)
def test_the_interval_is_that_of_the_library_for_the_raised_target(
    stability, difficulty, grade, elapsed, target, guess, w
):
    aim = curve.raised(target, guess)
    after, _ = library(w, aim).review_card(card(stability, difficulty, elapsed), Rating(grade), NOON)
    days = curve.interval((stability, difficulty), grade, elapsed, target, guess, w)
    assert days == (after.due - NOON).days >= 1


@given(grades, elapsed_days, targets, guesses)
def test_the_interval_after_a_first_answer_does_not_depend_on_what_elapsed(grade, elapsed, target, guess):
    aim = curve.raised(target, guess)
    after, _ = library(target=aim).review_card(Card(card_id=1), Rating(grade), NOON)
    assert curve.interval(None, grade, elapsed, target, guess) == (after.due - NOON).days


@given(st.floats(4, 900), difficulties, targets, guesses)
def test_what_is_known_crosses_the_target_at_the_interval(stability, difficulty, target, guess):
    days = curve.interval((stability, difficulty), RIGHT, 0, target, guess)
    early, late = curve.known(curve.recall(np.full(2, stability), np.array([days - 0.5, days + 0.5])), guess)
    assert late <= target + 1e-12
    assert early >= target - 1e-12 or days == 1


@given(parameters)
def test_parameters_within_the_librarys_bounds_can_be_used(w):
    assert curve.usable(w)


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), -1.0, 99.0])
@pytest.mark.parametrize("place", [4, 20])
def test_parameters_beyond_them_cannot(place, wrong):
    assert not curve.usable((*DEFAULTS[:place], wrong, *DEFAULTS[place + 1 :]))


@pytest.mark.parametrize("w", [(), DEFAULTS[:19], (*DEFAULTS, 0.5)])
def test_too_few_or_too_many_parameters_cannot_be_used(w):
    assert not curve.usable(w)


@pytest.mark.parametrize("hinted", [False, True])
@pytest.mark.parametrize("confidence", ["guess", "think", "sure"])
def test_a_right_answer_counts_less_with_a_hint_as_with_a_guess_and_a_wrong_one_never_counts(confidence, hinted):
    unsure = hinted or confidence == "guess"
    assert curve.grade(right=True, confidence=confidence, hinted=hinted) == (UNSURE if unsure else RIGHT)
    assert curve.grade(right=False, confidence=confidence, hinted=hinted) == WRONG


def test_the_steeper_curve_is_the_one_of_the_steepest_parameters_at_the_same_stability():
    w = (*curve.DEFAULTS[:20], 0.3)
    stability, elapsed = np.array([0.5, 2.0, 40.0]), np.array([1, 9, 200])
    decay = np.full(3, w[curve.DECAY])
    steeper = curve.steeper(curve.recall(stability, elapsed, w), decay)
    assert steeper == pytest.approx(curve.recall(stability, elapsed, curve.steepest(w)))
    assert curve.usable(curve.steepest(w))
