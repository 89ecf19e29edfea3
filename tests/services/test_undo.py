import pytest

from stickback.memory.past import Row
from stickback.refused import Refused
from stickback.services import review


def test_the_last_answer_is_voided_and_stays_in_the_log(school, hands):
    session = school.begin()
    session, first = hands.answer(session)
    session, last = hands.answer(session)
    _, row = session.desk.undo()
    assert row.id == last.stored.id
    assert [(each.what, each.voids) for each in school.log()] == [
        ("answer", None),
        ("answer", None),
        ("void", last.stored.id),
    ]
    assert Row.of_entry(school.log()[0]) == first.stored


def test_the_desk_after_it_knows(school, hands):
    session, marked = hands.answer(school.begin(), right=False, confidence="sure")
    assert session.desk.misbeliefs
    after, _ = session.desk.undo()
    assert after.past.voided == {marked.stored.id}
    assert after.misbeliefs == school.desk().misbeliefs == {}


def test_each_step_back_goes_one_further(school, hands):
    session = school.begin()
    for _ in range(3):
        session, _ = hands.answer(session)
    desk, taken = session.desk, []
    for _ in range(3):
        desk, row = desk.undo()
        taken.append(row.id)
    answers = [each.id for each in school.log() if each.what == "answer"]
    assert taken == answers[::-1]
    with pytest.raises(Refused, match="nothing to take back"):
        desk.undo()


def test_a_flown_lesson_is_taken_back_like_an_answer(school, hands):
    hands.answer(school.begin())
    school.flown(0, "2", "late-foot")
    _, row = school.desk().undo()
    assert (row.what, row.question) == ("flown", "tw/take-off")
    assert school.desk().flown_errors == []


def test_the_last_by_study_day_is_taken_back_even_where_the_clock_went_back(school, hands):
    _, late = hands.answer(school.begin(day=5))
    _, row = school.desk(day=0).undo()
    assert row.id == late.stored.id


def test_an_answer_of_a_sitting_is_taken_back_whatever_is_dated_after_it(school, hands):
    session, marked = hands.answer(school.begin(day=0))
    hands.answer(school.begin(day=5))
    after = review.take_back(session, marked.stored.id)
    assert after.desk.past.voided == {marked.stored.id}
    assert school.desk(day=5).past.voided == {marked.stored.id}
