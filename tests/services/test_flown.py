import json
from datetime import date

import pytest

from stickback.refused import Refused
from stickback.services import flown, verify
from stickback.study.flown import Flown, flights


def record(school, lesson, *errors, day=0, back=0, **more):
    """Records a lesson flown so many days back from a day."""
    desk = school.desk(day=day)
    return flown.flight(desk, Flown(lesson=lesson, day=desk.number - back, errors=errors, **more))


def test_a_flown_lesson_is_stored_with_its_errors_its_note_and_who_saw_it(school):
    desk, found = record(school, "2", "late-foot", day=3, by="instructor", note="gusty, 12 kt")
    assert (found.title, found.day) == ("Lesson 2: Take-off", date(2026, 6, 4))
    assert found.errors == (("Take-off: the foot comes late", ("Why the nose swings",)),)
    (entry,) = school.log()
    assert [row.id for row in desk.past.rows] == [entry.id]
    assert (entry.what, entry.question, entry.aircraft, entry.marked_by) == (
        "flown",
        "tw/take-off",
        "aldwick",
        "instructor",
    )
    assert json.loads(entry.given) == {"errors": ["late-foot"], "note": "gusty, 12 kt"}


def test_an_error_may_be_seen_in_another_lesson_than_its_own(school):
    _, found = record(school, "landing", "late-foot")
    assert [text for text, _ in found.errors] == ["Take-off: the foot comes late"]
    assert [(error.error, error.topics) for error in school.desk(day=1).flown_errors] == [("late-foot", ("swing",))]


@pytest.mark.parametrize(
    ("lesson", "errors", "says"),
    [
        ("9", (), "no lesson '9'; it has aeroplane, landing, take-off"),
        ("2", ("late-foot", "loop"), "no error 'loop'; lesson 'take-off' has late-foot"),
        ("3", ("loop",), "no error 'loop'; lesson 'landing' has none"),
    ],
)
def test_what_the_plan_does_not_have_is_refused_and_nothing_stored(school, lesson, errors, says):
    with pytest.raises(Refused, match=says):
        record(school, lesson, *errors)
    assert school.log() == []


def test_a_lesson_may_be_recorded_days_after_it_was_flown(school):
    record(school, "2", day=9, back=5, seat="dual", wind="240/12", full_stop=4, wheel=0, standard="prompted")
    (entry,) = school.log()
    assert entry.day == date(2026, 6, 5)
    (one,) = flights(school.desk(day=9).past)
    assert (one.seat, one.wind, one.full_stop, one.wheel, one.go_around) == ("dual", "240/12", 4, 0, None)
    assert (one.standard, one.aircraft, one.own) == ("prompted", "aldwick", True)


def test_a_lesson_recorded_late_is_nothing_that_the_log_is_blamed_for(school):
    record(school, "2", day=9, back=5)
    assert [check.wrong for check in verify.verify(school.store, school.course) if check.wrong] == []


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"wind": "strong"}, "'strong' is no wind"),
        ({"back": -1}, "2026-06-02 is still to come"),
        ({"aircraft": "glider"}, "no aircraft sheet 'glider'"),
        ({"by": " "}, "a name of 80 characters"),
        ({"by": "a\nb"}, "a name of 80 characters"),
        ({"wheel": 100}, "99 landings or go-arounds"),
    ],
)
def test_what_no_flight_can_have_is_refused_and_nothing_stored(school, more, says):
    with pytest.raises(Refused, match=says):
        record(school, "2", **more)
    assert school.log() == []
