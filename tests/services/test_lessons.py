import pytest

from stickback.course import course as courses
from stickback.refused import Refused
from stickback.services import lessons


@pytest.mark.parametrize(("name", "title"), [("2", "Lesson 2: Take-off"), ("take-off", "Lesson 2: Take-off")])
def test_a_lesson_is_found_by_number_or_id(taught, name, title):
    assert lessons.find(taught, name).title == title


def test_a_topic_is_found_by_id(taught):
    assert lessons.find(taught, "swing").title == "Why the nose swings"


@pytest.mark.parametrize("name", ["", "0", "4", "Take-off", "tw/take-off"])
def test_anything_else_is_refused(taught, name):
    with pytest.raises(Refused, match="`stickback lesson` lists them"):
        lessons.find(taught, name)


def test_sources_come_in_the_order_asked_for_and_unknown_ones_not_at_all():
    read = courses.read([("sources.md", b"[^a]: First.\n\n[^b]: Second.\n")])
    assert lessons.sources(read, ["b", "x", "a"]) == ["Second.", "First."]


def test_the_brief_has_the_lessons_questions_and_how_well_each_is_known(school, hands):
    session = school.begin(topic="swing")
    _, marked = hands.answer(session)
    found = lessons.brief(school.desk(day=1), "take-off")
    known = {f"tw/{question.id}": value for question, value in found.questions}
    assert known.keys() == {"tw/way", "tw/foot", "tw/why"}
    assert {name for name, value in known.items() if value is not None} == {marked.entry.question}
    assert 0.5 < known[marked.entry.question] < 1


def test_the_brief_has_the_numbers_of_the_students_aeroplane_and_none_that_are_derived(school):
    school.set(aircraft="bircham")
    numbers = dict(lessons.brief(school.desk(), "1").numbers)
    assert (numbers["approach speed"], numbers["callsign"], numbers["propeller"]) == ("65", "G-QTWC", "anticlockwise")
    assert not {"swing", "rudder foot", "tail up yaw"} & set(numbers)


def test_the_brief_asks_nothing_that_the_aeroplane_does_not_have(school):
    asked = {question.id for question, _ in lessons.brief(school.desk(), "1").questions}
    school.set(aircraft="bircham")
    assert asked - {question.id for question, _ in lessons.brief(school.desk(), "1").questions} == {"heels"}


def test_a_brief_of_an_unknown_lesson_is_refused(school):
    with pytest.raises(Refused, match="no lesson 'swing'"):
        lessons.brief(school.desk(), "swing")


def test_the_debrief_of_a_new_student_is_empty(school):
    assert lessons.debrief(school.desk(), None) == lessons.Debrief([], [], [])


def test_the_debrief_puts_the_worst_first_with_what_went_wrong(school, hands):
    hands.finish(school.begin(topic="swing"), lambda name: (name != "way", "sure"))
    hands.finish(school.begin(topic="three-point"), lambda _: (True, "think"))
    school.flown(1, "1", "late-foot")
    found = lessons.debrief(school.desk(day=1), None)
    assert [question.id for question in found.misbeliefs] == ["way"]
    assert [error.error for error in found.errors] == ["late-foot"]
    assert found.weak[0].topic.id == "swing"
    values = [one.known for one in found.weak]
    assert values == sorted(values, key=lambda value: (value is not None, value))


def test_the_debrief_of_a_lesson_leaves_the_others_out(school, hands):
    hands.finish(school.begin(topic="swing"), lambda _: (False, "sure"))
    hands.finish(school.begin(topic="three-point"), lambda _: (False, "sure"))
    school.flown(0, "2", "late-foot")
    found = lessons.debrief(school.desk(day=1), "landing")
    assert {one.topic.id for one in found.weak} == {"three-point"}
    assert {question.topic for question in found.misbeliefs} == {"three-point"}
    assert found.errors == []


def test_as_plain_values_the_debrief_keeps_every_field_and_rounds_nothing(school, hands):
    hands.finish(school.begin(topic="swing"), lambda name: (name != "way", "sure"))
    school.flown(0, "2", "late-foot")
    desk = school.desk(day=40)
    found = lessons.debrief(desk, None)
    plain = lessons.as_json(desk, found)
    assert {key: plain[key] for key in ("student", "date", "aircraft")} == {
        "student": "me",
        "date": "2026-07-11",
        "aircraft": "aldwick",
    }
    (weak,) = plain["weak"]
    assert weak == {
        "topic": "swing",
        "title": "Why the nose swings",
        "lesson": "take-off",
        "lesson_title": "Lesson 2: Take-off",
        "must": True,
        "known": found.weak[0].known,
        "seen": 3,
        "questions": 3,
        "rusty": found.weak[0].rusty,
        "sure_but_wrong": ["tw/way"],
        "errors": ["late-foot"],
        "read": "stickback lesson swing",
    }
    assert plain["sure_but_wrong"] == [
        {"question": "tw/way", "title": "Which way does it swing?", "topic": "swing"},
    ]
    assert plain["errors"] == [
        {
            "error": "late-foot",
            "text": "Take-off: the foot comes late",
            "lesson": "take-off",
            "day": "2026-06-01",
            "topics": ["swing"],
        }
    ]


@pytest.mark.parametrize(("key", "words"), [("approach_speed", "approach speed"), ("brakes", "brakes")])
def test_the_name_of_a_value_is_read_as_words(key, words):
    assert lessons.readable(key) == words
