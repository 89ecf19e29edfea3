import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import standing
from stickback.memory import curve, fold

ROWS = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 9), st.integers(0, 3), st.booleans()), max_size=40
)
SHAPED = (
    *("stability", "difficulty", "moved_on", "plain", "answered_on", "misbelief", "first_grade", "last_grade"),
    *("ever_wrong", "answers", "known_before"),
)
ALMOST = (*curve.DEFAULTS[:-1], curve.DEFAULTS[-1] * (1 + 1e-9))  # as good as the library's, and not they
SLOW = tuple(value * 2 if at < 4 else value for at, value in enumerate(curve.DEFAULTS))


def columns(*rows, students=3, parameters=None):
    """From (student, history, day, grade, sure), in the order of their ids."""
    histories = {(f"c/{n}", ""): n for n in range(4)}
    in_order = sorted(rows, key=lambda row: row[0])
    return standing.columns(histories, in_order, parameters or [curve.DEFAULTS] * students)


def moving(rows, student):
    """The answers of a student that move the memory, by history, in the order of their days."""
    found = {}
    for who, history, day, grade, _ in rows:
        if who == student:
            found.setdefault(history, {}).setdefault(day, grade)
    return {at: [(day, worth) for day, worth in sorted(days.items()) if worth] for at, days in found.items()}


@given(ROWS)
def test_a_school_is_folded_as_each_of_its_students_alone(rows):
    school = columns(*rows).memory
    for student in range(3):
        alone = columns(*((0, *row[1:]) for row in rows if row[0] == student), students=1).memory
        for name in SHAPED:
            assert np.array_equal(getattr(school, name)[student], getattr(alone, name)[0], equal_nan=True), name
        assert school.foretold[student][0].tolist() == alone.foretold[0][0].tolist()


@given(ROWS)
def test_the_memory_is_that_of_the_fold(rows):
    made = columns(*rows)
    state = fold.fold(made.student * 4 + made.history, made.day, made.grade, fold.nothing(12))
    found = made.memory
    assert found.stability.ravel().tolist() == pytest.approx(state.stability.tolist(), rel=1e-12, nan_ok=True)
    assert found.moved_on.ravel().tolist() == state.moved_on.tolist()


@given(ROWS)
def test_first_and_last_grade_misses_and_numbers_are_those_of_the_answers_that_moved(rows):
    found = columns(*rows).memory
    for student in range(3):
        for history in range(4):
            grades = [grade for _, grade in moving(rows, student).get(history, [])]
            at = student, history
            assert (found.first_grade[at], found.last_grade[at]) == ((grades or [0])[0], (grades or [0])[-1])
            assert (found.answers[at], found.ever_wrong[at]) == (len(grades), 1 in grades)


@given(ROWS)
def test_every_answer_that_moved_but_the_first_of_its_history_was_told_of(rows):
    found = columns(*rows).memory
    for student in range(3):
        later = [grade for answers in moving(rows, student).values() for _, grade in answers[1:]]
        chance, right = found.foretold[student]
        assert len(chance) == len(later)
        assert right.sum() == sum(grade != 1 for grade in later)
        assert np.all((chance > 0) & (chance < 1))


def test_what_was_told_stands_in_the_order_of_the_answers():
    rows = [(0, 0, 1, 3, False), (0, 1, 1, 3, False), (0, 1, 5, 3, False), (0, 0, 9, 1, False)]
    chance, right = columns(*rows, students=1).memory.foretold[0]
    assert right.tolist() == [True, False]
    assert chance[0] > chance[1]


def test_what_was_expected_stands_beside_the_days_it_had_to_be_kept():
    rows = [(0, 0, 1, 3, False), (0, 1, 1, 3, False), (0, 1, 5, 3, False), (0, 0, 9, 1, False), (1, 0, 2, 1, False)]
    chance, right, elapsed = columns(*rows, students=2).memory.expected[0]
    assert (right.tolist(), elapsed.tolist()) == ([True, False], [4, 8])
    assert chance[0] > chance[1]


def test_what_is_right_again_and_again_after_weeks_was_rather_known_before_than_what_was_wrong_then():
    found = of_many(*second_answers(60, 40, wrong=5)).memory.known_before[0]
    assert found[:5].max() < 0.7 < 0.8 < found[5:60].min()
    assert found[60:].max() == 0


def test_students_with_the_same_parameters_and_with_others_each_follow_their_own():
    rows = [(who, 0, day, 3, False) for who in range(3) for day in (0, 9)]
    found = columns(*rows, parameters=[SLOW, curve.DEFAULTS, SLOW]).memory
    alone = [columns(*rows[:2], parameters=[w]).memory for w in (SLOW, curve.DEFAULTS, SLOW)]
    assert found.stability[:, 0].tolist() == [one.stability[0, 0] for one in alone]
    assert [float(chance[0]) for chance, _ in found.foretold] == [float(one.foretold[0][0][0]) for one in alone]
    assert found.parameters == (SLOW, curve.DEFAULTS, SLOW)


def test_a_school_without_an_answer_or_a_student_has_empty_figures():
    assert columns(students=2).memory.answers.sum() == 0
    assert [len(chance) for chance, _ in columns(students=2).memory.foretold] == [0, 0]
    assert columns(students=0).memory.foretold == ()


def second_answers(many, gap, wrong=0, student=0):
    """Questions first answered right, and again after some days; some of them then wrong."""
    rows = [(student, at, 0, 3, False) for at in range(many)]
    return [*rows, *((student, at, gap, 1 if at < wrong else 3, False) for at in range(many))]


def of_many(*rows, students=1, parameters=None):
    histories = {(f"c/{n}", ""): n for n in range(200)}
    return standing.columns(histories, sorted(rows), parameters or [curve.DEFAULTS] * students)


def test_what_holds_longer_than_the_model_believes_is_followed_from_forty_second_answers_on():
    few, enough = (of_many(*second_answers(many, 20)) for many in (39, 40))
    assert few.own == (curve.DEFAULTS,)
    assert enough.own[0][1] > 2 * curve.DEFAULTS[1]
    assert enough.own[0][2] > 2 * curve.DEFAULTS[2]
    assert (enough.own[0][0], enough.own[0][4:]) == (curve.DEFAULTS[0], curve.DEFAULTS[4:])


def test_the_plain_memory_and_what_was_told_stay_those_of_the_library():
    found, library = (of_many(*second_answers(60, 20), parameters=[w]).memory for w in (curve.DEFAULTS, ALMOST))
    assert found.plain[0, :60] == pytest.approx(library.plain[0, :60], rel=1e-6)
    assert found.foretold[0][0] == pytest.approx(library.foretold[0][0], rel=1e-6)
    assert np.all(found.stability[0, :60] > 1.2 * found.plain[0, :60])
    assert np.all(found.expected[0][0] > found.foretold[0][0])


def test_nobody_moves_the_memory_of_another():
    found = of_many(*second_answers(60, 20), *second_answers(60, 2, student=1), students=2)
    alone = of_many(*second_answers(60, 20)).memory
    assert found.memory.stability[0].tolist() == pytest.approx(alone.stability[0].tolist(), nan_ok=True)
    assert found.own[0] == alone.parameters[0]


def test_parameters_that_were_adopted_are_left_as_they_are():
    assert of_many(*second_answers(60, 20), parameters=[SLOW]).own == (SLOW,)


def test_what_was_there_on_a_day_goes_by_a_day_of_each_students_own_and_by_no_other_number_of_days():
    found = columns((0, 0, 3, 3, False), (0, 1, 5, 3, False), (1, 0, 5, 3, False), students=2)
    kept = found.until(np.array([4, 5]))
    assert list(zip(kept.student.tolist(), kept.day.tolist(), strict=True)) == [(0, 3), (1, 5)]
    for days in ([5], [4, 5, 6]):
        with pytest.raises(ValueError, match="reshape"):
            found.until(np.array(days))
