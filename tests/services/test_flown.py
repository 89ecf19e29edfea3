import json
from datetime import date

import pytest

from stickback.refused import Refused
from stickback.services import flown


def test_a_flown_lesson_is_stored_with_its_errors_its_note_and_who_saw_it(school):
    desk, found = flown.flight(school.desk(day=3), "2", ("late-foot",), "instructor", "gusty, 12 kt")
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
    _, found = flown.flight(school.desk(), "landing", ("late-foot",), "self", "")
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
        flown.flight(school.desk(), lesson, errors, "self", "")
    assert school.log() == []
