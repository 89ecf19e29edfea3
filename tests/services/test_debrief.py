from stickback.services import debrief


def test_the_debrief_of_a_new_student_is_empty(school):
    assert debrief.debrief(school.desk(), None) == debrief.Debrief([], [], [], [])


def test_the_debrief_puts_the_worst_first_with_what_went_wrong(school, hands):
    hands.finish(school.begin(topic="swing"), lambda name: (name != "way", "sure"))
    hands.finish(school.begin(topic="three-point"), lambda _: (True, "think"))
    school.flown(1, "1", "late-foot")
    found = debrief.debrief(school.desk(day=1), None)
    assert [question.id for question in found.misbeliefs] == ["way"]
    assert [error.error for error in found.errors] == ["late-foot"]
    assert found.weak[0].topic.id == "swing"
    values = [one.known for one in found.weak]
    assert values == sorted(values, key=lambda value: (value is not None, value))


def test_the_debrief_of_a_lesson_leaves_the_others_out(school, hands):
    hands.finish(school.begin(topic="swing"), lambda _: (False, "sure"))
    hands.finish(school.begin(topic="three-point"), lambda _: (False, "sure"))
    school.flown(0, "2", "late-foot")
    found = debrief.debrief(school.desk(day=1), "landing")
    assert {one.topic.id for one in found.weak} == {"three-point"}
    assert {question.topic for question in found.misbeliefs} == {"three-point"}
    assert found.errors == []


def test_as_plain_values_the_debrief_keeps_every_field_and_rounds_nothing(school, hands):
    hands.finish(school.begin(topic="swing"), lambda name: (name != "way", "sure"))
    school.flown(0, "2", "late-foot")
    desk = school.desk(day=40)
    found = debrief.debrief(desk, None)
    plain = debrief.as_json(desk, found)
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


def test_what_was_missed_names_the_aeroplane_it_was_about_where_another_is_flown_now(school, hands):
    hands.finish(school.begin(), lambda _: (False, "think"))
    asked = {one.question.id: one.aeroplane for one in debrief.debrief(school.desk(), None).missed}
    assert set(asked.values()) == {""}
    school.set(aircraft="bircham")
    now = {one.question.id: one.aeroplane for one in debrief.debrief(school.desk(), None).missed}
    assert now.keys() == asked.keys()
    assert (now["way"], now["callsign"]) == ("Aldwick", "")  # a callsign changes no answer
