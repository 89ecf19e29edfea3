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
