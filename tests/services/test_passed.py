from dataclasses import replace

import pytest

import behind
from stickback.services import review, today
from stickback.study.student import Student


@pytest.fixture(autouse=True)
def cache(monkeypatch, tmp_path):
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name: tmp_path / "cache" / name)
    return tmp_path / "cache"


def gone(school, day=0):
    """The first question of a day, passed over."""
    session = school.begin(day)
    step = review.ask(session)
    review.pass_over(session, step)
    return step.history


def coming(school, day=0):
    return school.begin(day).queue


def test_what_was_passed_over_does_not_come_back_in_another_sitting_of_the_day(school):
    before = coming(school)
    first = gone(school)
    assert coming(school) == [history for history in before if history != first]
    assert review.ask(school.begin(0)).history != first


def test_it_comes_back_the_next_day(school):
    first = gone(school)
    assert today.passed_over(school.desk(0)) == {first}
    assert today.passed_over(school.desk(1)) == frozenset()


def test_several_are_passed_over_one_after_the_other(school):
    assert len({gone(school), gone(school), gone(school)}) == 3
    assert len(today.passed_over(school.desk(0))) == 3


def test_the_day_at_a_glance_promises_what_is_left(school):
    before = today.glance(school.desk(0)).questions
    gone(school)
    assert today.glance(school.desk(0)).questions == before - 1


def test_nothing_of_it_is_in_the_log(school):
    gone(school)
    assert school.log() == []


def test_what_another_student_passed_over_is_asked(school):
    behind.put(school.store, Student(name="Ann"))
    gone(school)
    mine = school.desk(0)
    assert today.passed_over(replace(mine, student=replace(mine.student, name="Ann"))) == frozenset()


@pytest.mark.parametrize(
    "kept", [b"", b"{", b"[]", b'{"day":"2026-06-01"}', b'{"day":"2026-06-01","passed":[1]}', b"\xff"]
)
def test_a_file_that_cannot_be_read_passes_over_nothing(school, cache, kept):
    gone(school)
    (place,) = cache.rglob("*.json")
    place.write_bytes(kept)
    assert today.passed_over(school.desk(0)) == frozenset()


def test_where_nothing_can_be_kept_the_sitting_goes_on_without_the_question(school, cache):
    cache.write_text("no folder")
    session = school.begin(0)
    step = review.ask(session)
    assert review.ask(review.pass_over(session, step)).history != step.history
    assert today.passed_over(school.desk(0)) == frozenset()


def test_a_namesake_in_another_school_of_the_database_passes_over_for_themselves(school):
    desk = review.pass_over(session := school.begin(), review.ask(session)).desk
    assert today.passed_over(desk)
    elsewhere = replace(desk, database=replace(desk.database, school="Cobbler Field"))
    assert not today.passed_over(elsewhere)
