import pytest

from stickback.refused import Refused
from stickback.services import brief


def test_the_brief_has_the_lessons_questions_and_how_well_each_is_known(school, hands):
    session = school.begin(topic="swing")
    _, marked = hands.answer(session)
    found = brief.brief(school.desk(day=1), "take-off")
    known = {f"tw/{question.id}": value for question, value in found.questions}
    assert known.keys() == {"tw/way", "tw/foot", "tw/why"}
    assert {name for name, value in known.items() if value is not None} == {marked.stored.question}
    assert 0.5 < known[marked.stored.question] < 1


def test_the_brief_has_the_numbers_of_the_students_aeroplane_and_none_that_are_derived(school):
    school.set(aircraft="bircham")
    numbers = dict(brief.brief(school.desk(), "1").numbers)
    assert (numbers["approach speed"], numbers["callsign"], numbers["propeller"]) == ("65", "G-QTWC", "anticlockwise")
    assert not {"swing", "rudder foot", "tail up yaw"} & set(numbers)


def test_the_brief_asks_nothing_that_the_aeroplane_does_not_have(school):
    asked = {question.id for question, _ in brief.brief(school.desk(), "1").questions}
    school.set(aircraft="bircham")
    assert asked - {question.id for question, _ in brief.brief(school.desk(), "1").questions} == {"heels"}


def test_a_brief_of_an_unknown_lesson_is_refused(school):
    with pytest.raises(Refused, match="no lesson 'swing'"):
        brief.brief(school.desk(), "swing")
