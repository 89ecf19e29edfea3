"""What a server keeps of the statements it made: counted by the plans that are rehearsed, which is what takes long."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest

import behind
from stickback import clock
from stickback.memory.curve import DEFAULTS
from stickback.readiness import rehearsal
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import statements
from stickback.services.statements import Kept
from stickback.store import parameters, people, schools
from stickback.study.student import Student

NAMES = ("Ann", "Bob", "Cas")


@pytest.fixture
def rehearsed(monkeypatch):
    """How many plans were rehearsed."""
    counted, outcome = [], rehearsal.outcome
    monkeypatch.setattr(rehearsal, "outcome", lambda one: counted.append(one) or outcome(one))
    return counted


@pytest.fixture
def look(school, rehearsed):
    """Looks at everyone with what was kept; gives the statements by name, and how many plans were rehearsed."""
    kept = Kept()

    def looked(store=school.store, course=school.course, kept=kept, day=0, on=None):
        rehearsed.clear()
        today = clock.day_date(school.desk().number + day)
        cases = statements.cases_of(list(people.everyone(store).values()), on, today)
        made = statements.statements(store, course, cases, kept=kept)
        return {one.student.name: one for one in made}, len(rehearsed)

    return looked


@pytest.fixture(autouse=True)
def students(school):
    """Three students who each have a date ahead."""
    end = school.desk().day + timedelta(days=9)
    for name in NAMES:
        behind.put(school.store, Student(name=name, aircraft="aldwick", checkride=end, minutes=5))


def answered(school, name, store=None):
    """Lets a student answer a question."""
    desk = desks.desk(school.course, store or school.store, name, school.desk().day)
    (history, question), *_ = desk.questions.items()
    mark = {"given": "a", "confidence": "think", "hinted": False, "score": 1.0, "right": True, "marked_by": "program"}
    asked = {"question": history[0], "variant": history[1], "kind": question.kind, "revision": question.revision}
    entry = desk.entry("answer", **asked, **mark, seed=1, seconds=9.0, aircraft=desk.sheet.id)
    desk.append(entry)
    return desk, entry


def same(one, other):
    return (one.known, one.pass_chance, one.pass_today, one.if_kept, one.answers) == (
        *(other.known, other.pass_chance, other.pass_today, other.if_kept, other.answers),
    )


def test_a_second_look_at_what_did_not_change_rehearses_nothing(look):
    first, many = look()
    assert many == len(NAMES)
    assert look() == (first, 0)


def test_after_an_answer_and_after_it_was_taken_back_only_that_students_plan_is_rehearsed(look, school):
    first, _ = look()
    desk, entry = answered(school, "Bob")
    after, many = look()
    assert (many, after["Bob"].answers, after["Ann"] is first["Ann"]) == (1, 1, True)
    assert same(after["Bob"], look(kept=None)[0]["Bob"])
    desk.void(entry.id)
    back, many = look()
    assert (many, back["Bob"].answers) == (1, 0)
    assert look()[1] == 0


def test_settings_and_adopted_parameters_are_looked_at(look, school):
    first, _ = look()
    behind.put(school.store, replace(first["Ann"].student, minutes=30))
    slow = tuple(value * 2 if at < 4 else value for at, value in enumerate(DEFAULTS))
    parameters.adopt(school.store, "Cas", slow, 400, clock.clock_for("UTC", school.desk().day))
    assert look()[1] == 2
    behind.put(school.store, replace(first["Ann"].student, checkride=None))
    assert look()[0]["Ann"].if_kept is None


@pytest.mark.parametrize("other", [{"day": 1}, {"day": -1}])
def test_another_day_is_stated_anew_and_the_first_is_kept_beside_it(look, other):
    look()
    assert look(**other)[1] == len(NAMES)
    assert look()[1] == 0


def test_another_date_and_another_course_are_stated_anew(look, school):
    first, _ = look()
    another, _ = look(on=school.desk().day + timedelta(days=20))
    assert another["Ann"].date != first["Ann"].date
    assert look(course=replace(school.course, revision="another"))[1] == len(NAMES)


def test_students_of_the_same_name_in_two_schools_are_kept_apart(look, school):
    schools.add(school.store, "north-field")
    there = replace(school.store, school="north-field")
    for one in people.everyone(school.store).values():
        behind.put(there, one)
    look()
    assert look(store=there)[1] == len(NAMES)
    answered(school, "Ann", there)
    assert look()[1] == 0
    found, many = look(store=there)
    assert (many, found["Ann"].answers) == (1, 1)


def test_who_is_removed_is_not_looked_at_and_who_is_erased_and_comes_back_begins_anew(look, school):
    answered(school, "Ann")
    look()
    people.erase(school.store, "Ann")
    assert set(look()[0]) == {"Bob", "Cas"}
    behind.put(school.store, Student(name="Ann", aircraft="aldwick", checkride=school.desk().day, minutes=5))
    assert look()[0]["Ann"].answers == 0


def test_the_one_that_was_not_looked_at_for_longest_makes_room(school, look):
    kept = Kept(2)
    assert set(look(kept=kept)[0]) == set(NAMES)
    people.hide(school.store, "Ann")
    assert look(kept=kept)[1] == 0
    behind.put(school.store, replace(people.find(school.store, "Bob"), minutes=6))
    look(kept=kept)
    assert look(kept=kept)[1] == 0


def test_two_who_look_at_once_wait_for_one_and_the_same(school, rehearsed):
    cases = statements.cases_of(list(people.everyone(school.store).values()), None, school.desk().day)
    kept = Kept()
    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(lambda _: statements.statements(school.store, school.course, cases, kept=kept), range(4)))
    assert len(rehearsed) == len(NAMES)
    assert all(each is one for found in made for each, one in zip(found, made[0], strict=True))


def test_what_could_not_be_stated_is_asked_again(school, look):
    behind.put(school.store, Student(name="Ann", aircraft="spit"))
    for _ in range(2):
        with pytest.raises(Refused, match="no aircraft sheet 'spit'"):
            look()
    behind.put(school.store, Student(name="Ann", aircraft="bircham"))
    assert look()[0]["Ann"].sheet.id == "bircham"


def test_nothing_is_kept_for_who_keeps_nothing(look):
    assert [look(kept=None)[1] for _ in range(2)] == [len(NAMES)] * 2
