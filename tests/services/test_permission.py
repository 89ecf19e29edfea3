from dataclasses import replace
from typing import get_args

import pytest

from signing import DAY
from stickback import acting
from stickback.acting import Role
from stickback.refused import Refused
from stickback.services import permission, person
from stickback.services.permission import MAY, Action, Hidden
from stickback.store import people

STUDENTS = ("Ada", "Bea", "Cyd")


@pytest.fixture(scope="module")
def begun(open_school, tmp_path_factory):
    """A school with three students, an instructor who was given one of them, and the school itself."""
    school = open_school(tmp_path_factory.mktemp("staffed"))
    for name in STUDENTS:
        person.add(school.store, school.course, name, "student", [], DAY)
    person.add(school.store, school.course, "Ina", "instructor", ["Bea"], DAY)
    person.add(school.store, school.course, "Otto", "school", [], DAY)
    return school


@pytest.fixture
def staffed(begun, tmp_path):
    """A copy of that school."""
    return replace(begun, folder=tmp_path).copied("staffed")


def allowed(store, name, action):
    """To which of the students a person may do something."""
    with acting.acting(person.find(store, name).person):
        return {each for each in STUDENTS if not refused(store, action, each)}


def refused(store, action, student=None):
    try:
        permission.check(store, action, student)
    except Hidden as hidden:
        return hidden.message
    return ""


@pytest.mark.parametrize("action", get_args(Action))
def test_everyone_does_what_the_table_says_and_nothing_else(staffed, action):
    expected = {"own": {"Ada": {"Ada"}, "Ina": set(), "Otto": set()}, "given": {"Ina": {"Bea"}}}
    for name in ("Ada", "Ina", "Otto"):
        role = person.find(staffed.store, name).person.role
        whose = MAY[role].get(action)
        wanted = set(STUDENTS) if whose == "all" else expected.get(whose, {}).get(name, set())
        assert allowed(staffed.store, name, action) == wanted, name


def test_a_student_of_others_is_answered_like_one_who_is_not_there(staffed):
    with acting.acting(person.find(staffed.store, "Ada").person):
        assert refused(staffed.store, "read", "Bea") == refused(staffed.store, "read", "Nobody") != ""


def test_what_is_in_no_table_is_refused(staffed):
    with acting.acting(person.find(staffed.store, "Otto").person):
        assert refused(staffed.store, "fly to the moon")


def test_at_a_terminal_everything_may_be_done(staffed):
    assert not any(refused(staffed.store, action, "Ada") for action in get_args(Action))


@pytest.mark.parametrize("role", get_args(Role))
def test_nobody_answers_for_another(role):
    assert MAY[role].get("study") in {None, "own"}


def test_only_an_instructor_puts_an_oral():
    assert [role for role, may in MAY.items() if "examine" in may] == ["instructor"]


def test_a_student_who_was_taken_off_the_lists_is_hidden_from_all(staffed):
    people.hide(staffed.store, "Bea")
    assert allowed(staffed.store, "Ina", "read") == set()
    with acting.acting(person.find(staffed.store, "Otto").person), pytest.raises(Refused):
        permission.check(staffed.store, "read", "Bea")
