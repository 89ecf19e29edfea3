import json
import re

import pytest

import worlds


def squeezed(shown):
    """Without the line breaks of the screen."""
    return " ".join(shown.split())


def test_the_plan_is_listed_with_the_ids_to_type(place):
    shown = place.does("lesson")
    assert [line for line in shown.splitlines() if line.strip()][:4] == [
        "A small conversion",
        "Lesson 1: The ground",
        "  feet  What the feet do (must)",
        "  eyes  Where to look",
    ]
    assert re.findall(r"^Lesson \d", shown, re.MULTILINE) == ["Lesson 1", "Lesson 2", "Lesson 3"]


def test_the_list_of_lessons_begins_with_the_front_page(place, tmp_path):
    plan = worlds.PLAN.replace("\n## ", "\n# A course\n\nNot for flight.\n\n## ", 1)
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "lesson-plan.md": plan})
    assert "Not for flight. Lesson 1" in squeezed(place.does("lesson", course=course))


@pytest.mark.parametrize("name", ["1", "ground"])
def test_a_lesson_is_found_by_number_or_id_and_shows_its_text_errors_topics_and_sources(place, name):
    shown = squeezed(place.does("lesson", name))
    assert "Lesson 1: The ground Feet and eyes. Approach at 50 kt. Errors seen" in shown
    assert "- Taxiing: the foot comes late late-foot → feet, swing" in shown
    assert "Topics feet What the feet do (must) eyes Where to look" in shown
    assert shown.endswith("Sources - A book on the subject, chapter 2.")


def test_a_topic_shows_its_section_its_weight_and_what_to_type_next(place):
    shown = place.does("lesson", "feet")
    assert shown.startswith("\nWhat the feet do\nLesson 1 · weight 2 · a must: a matter of safety\n\n  Short pushes.\n")
    assert shown.endswith("stickback review --topic feet   asks about it.\n")
    assert "must" not in place.does("lesson", "swing")


def test_the_plan_is_read_with_the_values_of_the_students_aeroplane(school):
    assert "The propeller turns clockwise." in school.does("lesson", "swing")
    assert "The propeller turns anticlockwise." in school.does("lesson", "swing", student="Bea")


def test_values_in_an_error_seen_are_those_of_the_aeroplane_too(place, tmp_path):
    plan = worlds.PLAN.replace("the foot comes late", "the nose goes {{ swing }}")
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "lesson-plan.md": plan})
    for command in ("lesson", "brief"):
        assert "Taxiing: the nose goes left" in place.does(command, "1", course=course), command


def test_a_name_that_is_no_lesson_or_topic_is_refused(place):
    assert place.fails("lesson", "wings") == "The plan has no lesson or topic 'wings'; `stickback lesson` lists them."


def test_the_brief_has_the_text_the_numbers_and_the_questions_of_the_lesson(school):
    shown = squeezed(school.does("brief", "1"))
    assert "Feet and eyes. Approach at 50 kt." in shown
    assert "This aeroplane: Cawdale name Cawdale callsign G-QTWD" in shown
    assert "The flight manual of the aeroplane you fly is the only source of its numbers." in shown
    assert re.search(r"What the feet do: 3 questions, \d seen, known \d+ %", shown)
    assert shown.endswith("stickback review --lesson ground asks them.")


def test_the_brief_does_not_give_the_answers_away(place):
    shown = place.does("brief", "2")
    assert "Cause 1" not in shown
    assert "Why the nose swings: 5 questions, 0 seen, known unseen" in shown


def test_a_brief_of_an_unknown_lesson_names_those_there_are(place):
    assert place.fails("brief", "9") == "The plan has no lesson '9'; it has ground, landing, take-off."


def test_the_debrief_of_someone_who_answered_nothing_says_where_to_begin(place):
    assert place.does("debrief") == "\nNothing was answered yet: `stickback review` begins.\n"


def test_the_debrief_of_someone_who_knows_it_all_says_so(place):
    place.does("review", "--topic", "eyes", typed="a sure\nb sure\nc sure\n" * 30)
    place.does("student", "set", "me", "--target", "0.7")
    place.raw("DROP TRIGGER entries_are_never_changed", 'UPDATE entries SET "right" = 1')
    assert place.does("debrief") == "\nNothing is weak today.\n"


def test_the_debrief_names_what_was_seen_in_flight_and_what_was_sure_but_wrong(school):
    shown = squeezed(school.does("debrief", today="2026-07-01"))
    assert "Seen in flight Taxiing: straight on without looking (2026-06-01): eyes" in shown
    assert "Sure, but wrong" in shown
    assert re.search(r"Where to look Lesson 1: The ground · .*· seen in flight.*? stickback lesson eyes", shown)


def test_the_debrief_as_json_has_the_same_in_fields(school):
    found = json.loads(school.does("debrief", "--json", today="2026-07-01"))
    assert {key: found[key] for key in ("student", "date", "aircraft")} == {
        "student": "me",
        "date": "2026-07-01",
        "aircraft": "cawdale",
    }
    (error,) = found["errors"]
    assert error["error"] == "blind"
    weak = {one["topic"]: one for one in found["weak"]}
    assert weak["eyes"]["errors"] == ["blind"]
    assert all(one["known"] is None or 0 <= one["known"] <= 1 for one in weak.values())
    assert {one["question"] for one in found["sure_but_wrong"]} == {
        each for one in weak.values() for each in one["sure_but_wrong"]
    }


def test_the_debrief_of_a_lesson_is_about_that_lesson(school):
    found = json.loads(school.does("debrief", "2", "--json", today="2026-07-01"))
    assert {one["lesson"] for one in found["weak"]} <= {"take-off"}
    assert found["errors"] == []
    assert "it has ground, landing, take-off" in school.fails("debrief", "9")


def test_the_debrief_goes_by_the_day(school):
    early, late = (json.loads(school.does("debrief", "--json", today=day)) for day in ("2026-06-02", "2027-06-02"))
    early, late = ({one["topic"]: one["known"] for one in each["weak"]} for each in (early, late))
    assert all(late[topic] < known for topic, known in early.items() if known)
    assert any(early.values())
