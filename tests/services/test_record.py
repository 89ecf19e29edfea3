import json
from datetime import date

import pytest

from stickback.refused import Refused
from stickback.services import record


def test_the_last_answer_is_voided_and_stays_in_the_log(school, hands):
    session = school.begin()
    session, first = hands.answer(session)
    session, last = hands.answer(session)
    _, row = record.undo(session.desk)
    assert row.id == last.entry.id
    assert [(each.what, each.voids) for each in school.log()] == [
        ("answer", None),
        ("answer", None),
        ("void", last.entry.id),
    ]
    assert school.log()[0] == first.entry


def test_the_desk_after_it_knows(school, hands):
    session, marked = hands.answer(school.begin(), right=False, confidence="sure")
    assert session.desk.misbeliefs
    after, _ = record.undo(session.desk)
    assert after.past.voided == {marked.entry.id}
    assert after.misbeliefs == school.desk().misbeliefs == {}


def test_each_step_back_goes_one_further(school, hands):
    session = school.begin()
    for _ in range(3):
        session, _ = hands.answer(session)
    desk, taken = session.desk, []
    for _ in range(3):
        desk, row = record.undo(desk)
        taken.append(row.id)
    answers = [each.id for each in school.log() if each.what == "answer"]
    assert taken == answers[::-1]
    with pytest.raises(Refused, match="nothing to take back"):
        record.undo(desk)


def test_a_flown_lesson_is_taken_back_like_an_answer(school, hands):
    hands.answer(school.begin())
    school.flown(0, "2", "late-foot")
    _, row = record.undo(school.desk())
    assert (row.what, row.question) == ("flown", "tw/take-off")
    assert school.desk().flown_errors == []


def test_the_last_by_study_day_is_taken_back_even_where_the_clock_went_back(school, hands):
    _, late = hands.answer(school.begin(day=5))
    _, row = record.undo(school.desk(day=0))
    assert row.id == late.entry.id


def test_a_flown_lesson_is_stored_with_its_errors_its_note_and_who_saw_it(school):
    desk, found = record.flight(school.desk(day=3), "2", ("late-foot",), "instructor", "gusty, 12 kt")
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
    _, found = record.flight(school.desk(), "landing", ("late-foot",), "self", "")
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
        record.flight(school.desk(), lesson, errors, "self", "")
    assert school.log() == []
