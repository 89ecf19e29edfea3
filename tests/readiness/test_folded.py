import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve, fold
from stickback.memory.columns import Columns
from stickback.readiness import folded

ROWS = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 9), st.integers(0, 3), st.booleans()), max_size=40
)
SLOW = tuple(value * 2 if at < 4 else value for at, value in enumerate(curve.DEFAULTS))


def columns(*rows):
    """From (student, history, day, grade, sure), in the order of their ids."""
    made = np.array(sorted(rows, key=lambda row: row[0]), dtype=np.int64).reshape(-1, 5).T
    return Columns({(f"c/{n}", ""): n for n in range(4)}, made[0], made[1], made[2], made[3], made[4].astype(bool))


def moving(rows, student):
    """The answers of a student that move the memory, by history, in the order of their days."""
    found = {}
    for who, history, day, grade, _ in rows:
        if who == student:
            found.setdefault(history, {}).setdefault(day, grade)
    return {at: [(day, worth) for day, worth in sorted(days.items()) if worth] for at, days in found.items()}


@given(ROWS)
def test_a_school_is_folded_as_each_of_its_students_alone(rows):
    school = folded.fold_all(columns(*rows), 3)
    for student in range(3):
        alone = folded.fold_all(columns(*((0, *row[1:]) for row in rows if row[0] == student)), 1)
        for name in ("stability", "day", "last", "misbelief", "first_grade", "last_grade", "missed", "answers"):
            assert np.array_equal(getattr(school, name)[student], getattr(alone, name)[0], equal_nan=True), name
        assert school.told[student][0].tolist() == alone.told[0][0].tolist()


@given(ROWS)
def test_the_memory_is_that_of_the_fold(rows):
    made = columns(*rows)
    state = fold.fold(made.student * 4 + made.history, made.day, made.grade, fold.nothing(12))
    found = folded.fold_all(made, 3)
    assert found.stability.ravel().tolist() == pytest.approx(state.stability.tolist(), rel=1e-12, nan_ok=True)
    assert found.day.ravel().tolist() == state.day.tolist()


@given(ROWS)
def test_first_and_last_grade_misses_and_numbers_are_those_of_the_answers_that_moved(rows):
    found = folded.fold_all(columns(*rows), 3)
    for student in range(3):
        for history in range(4):
            grades = [grade for _, grade in moving(rows, student).get(history, [])]
            at = student, history
            assert (found.first_grade[at], found.last_grade[at]) == ((grades or [0])[0], (grades or [0])[-1])
            assert (found.answers[at], found.missed[at]) == (len(grades), 1 in grades)


@given(ROWS)
def test_every_answer_that_moved_but_the_first_of_its_history_was_told_of(rows):
    found = folded.fold_all(columns(*rows), 3)
    for student in range(3):
        later = [grade for answers in moving(rows, student).values() for _, grade in answers[1:]]
        chance, right = found.told[student]
        assert len(chance) == len(later)
        assert right.sum() == sum(grade != 1 for grade in later)
        assert np.all((chance > 0) & (chance < 1))


def test_what_was_told_stands_in_the_order_of_the_answers():
    rows = [(0, 0, 1, 3, False), (0, 1, 1, 3, False), (0, 1, 5, 3, False), (0, 0, 9, 1, False)]
    chance, right = folded.fold_all(columns(*rows), 1).told[0]
    assert right.tolist() == [True, False]
    assert chance[0] > chance[1]


def test_students_with_the_same_parameters_and_with_others_each_follow_their_own():
    rows = [(who, 0, day, 3, False) for who in range(3) for day in (0, 9)]
    found = folded.fold_all(columns(*rows), 3, [SLOW, curve.DEFAULTS, SLOW])
    alone = [folded.fold_all(columns(*rows[:2]), 1, [w]) for w in (SLOW, curve.DEFAULTS, SLOW)]
    assert found.stability[:, 0].tolist() == [one.stability[0, 0] for one in alone]
    assert [float(chance[0]) for chance, _ in found.told] == [float(one.told[0][0][0]) for one in alone]
    assert found.parameters == (SLOW, curve.DEFAULTS, SLOW)


def test_a_school_without_an_answer_or_a_student_has_empty_figures():
    assert folded.fold_all(columns(), 2).answers.sum() == 0
    assert [len(chance) for chance, _ in folded.fold_all(columns(), 2).told] == [0, 0]
    assert folded.fold_all(columns(), 0).told == ()
