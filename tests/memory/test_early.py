import numpy as np
import pytest
from fsrs import Scheduler
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve, early

ANSWERS = st.lists(
    st.tuples(st.integers(1, 60), st.sampled_from([curve.UNSURE, curve.RIGHT]), st.booleans()), min_size=0, max_size=90
)


def amount(rows):
    """Of one student, from (days since the first answer, its grade, whether the second was right)."""
    elapsed, first, right = np.array(rows, dtype=np.int64).reshape(-1, 3).T
    return float(early.stretches(np.zeros_like(elapsed), elapsed, first, right.astype(bool), 1)[0])


def drawn(stretch, many, seed):
    """Second answers of a student whose first right answers hold longer by e to that power."""
    random = np.random.default_rng(seed)
    elapsed = random.integers(2, 25, many)
    chance = curve.recall(np.full(many, curve.DEFAULTS[2] * np.exp(stretch)), elapsed)
    return list(zip(elapsed, [curve.RIGHT] * many, random.random(many) < chance, strict=True))


def test_without_second_answers_nothing_is_stretched():
    assert amount([]) == 0
    assert early.stretches(*np.zeros((3, 0), dtype=np.int64), np.zeros(0, dtype=bool), 3).tolist() == [0, 0, 0]


@pytest.mark.parametrize("stretch", [-1.0, 1.0, 2.0])
def test_the_amount_is_found_again_and_lies_nearer_to_nothing_the_fewer_the_answers(stretch):
    few, many = (np.mean([amount(drawn(stretch, answers, seed)) for seed in range(40)]) for answers in (45, 600))
    assert many == pytest.approx(stretch, abs=0.2)
    assert abs(few) < abs(many) + 0.1


def test_for_those_whom_the_library_describes_nothing_is_taken_up_but_seldom():
    found = [amount(drawn(0, 100, seed)) for seed in range(100)]
    assert np.mean(np.array(found) != 0) < 0.3
    assert np.mean(np.abs(found)) < 0.25


@given(ANSWERS, st.integers(1, 60), st.sampled_from([curve.UNSURE, curve.RIGHT]))
def test_a_right_second_answer_more_never_shortens_and_a_wrong_one_never_stretches(rows, elapsed, first):
    if len(rows) != early.LEAST - 1:  # the fortieth answer is where anything is taken up at all
        before = amount(rows)
        assert amount([*rows, (elapsed, first, True)]) >= before
        assert amount([*rows, (elapsed, first, False)]) <= before


@pytest.mark.parametrize("stretch", [early.AMOUNTS[0], 0.0, 1.0, early.AMOUNTS[-1]])
def test_the_library_takes_stretched_parameters(stretch):
    made = early.stretched(curve.DEFAULTS, stretch)
    Scheduler(parameters=made)
    assert made[1] == pytest.approx(min(curve.DEFAULTS[1] * np.exp(stretch), 100))


# what was known before, question by question


def before(rows):
    """Of each history of one student, from (first grade, later answers as (chance told, right))."""
    first = np.array([[grade for grade, _ in rows]])
    flat = [(at, *answer) for at, (_, answers) in enumerate(rows) for answer in answers]
    place, chance, right = np.array(flat, dtype=float).reshape(-1, 3).T
    return early.known_before(first, place.astype(int), chance, right.astype(bool))[0]


RIGHT_ONCE = st.lists(st.tuples(st.floats(0.2, 0.99), st.booleans()), max_size=5)


def test_only_what_was_right_and_not_guessed_at_first_sight_may_have_been_known_before():
    later = [(0.7, True)] * 3
    found = before([(curve.RIGHT, later), (curve.UNSURE, later), (curve.WRONG, later), (0, [])])
    assert found[0] > 0
    assert found[1:].tolist() == [0, 0, 0]


def test_without_answers_there_is_no_history_that_was_known_before():
    nothing = np.zeros(0, dtype=int)
    assert early.known_before(np.zeros((3, 0), dtype=int), nothing, np.zeros(0), nothing.astype(bool)).shape == (3, 0)


def test_who_answers_right_whenever_it_is_asked_knew_it_before_and_who_forgets_as_the_model_says_learnt_it():
    random = np.random.default_rng(5)
    chances = random.uniform(0.5, 0.9, (100, 4))
    for true, low, high in ((np.full(chances.shape, 0.95), 0.6, 1.0), (chances, 0.0, 0.2)):
        right = random.random(chances.shape) < true
        found = before([(curve.RIGHT, list(zip(*each, strict=True))) for each in zip(chances, right, strict=True)])
        assert low < found.mean() < high


def test_a_slip_takes_less_from_what_a_student_knew_before_than_from_what_was_learnt():
    kept, lost = [(0.7, True)] * 4, [(0.7, False)] * 4
    slipped = [(0.7, True), (0.7, False), (0.4, True), (0.6, True)]
    among = [before([(curve.RIGHT, each)] * 60 + [(curve.RIGHT, slipped)])[-1] for each in (kept, lost)]
    assert among[0] > 0.2 > among[1]


@given(st.lists(RIGHT_ONCE, min_size=1, max_size=20), st.integers(0, 19), st.floats(0.2, 0.99))
def test_a_right_answer_more_never_lowers_the_chance_of_any_question(rows, at, chance):
    rows = [(curve.RIGHT, answers) for answers in rows]
    at %= len(rows)
    more = [*rows[:at], (curve.RIGHT, [*rows[at][1], (chance, True)]), *rows[at + 1 :]]
    assert np.all(before(more) >= before(rows) - 1e-9)


def test_nobody_is_judged_by_the_answers_of_another():
    first = np.full((2, 40), curve.RIGHT)
    place, right = np.arange(80), np.arange(80) < 40
    both = early.known_before(first, place, np.full(80, 0.7), right)
    alone = early.known_before(first[:1], place[:40], np.full(40, 0.7), right[:40])
    assert both[0] == pytest.approx(alone[0])
    assert both[0].min() > both[1].max()


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_what_was_known_before_never_counts_less_for_it(chance, before, more):
    least, most = (
        float(early.with_old_knowledge(np.array([chance]), np.array([each]))[0]) for each in sorted((before, more))
    )
    assert chance <= least <= most <= max(chance, early.KEEPS) + 1e-12
