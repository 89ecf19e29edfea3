import re

import pytest

import worlds
from worlds import squeezed


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
    assert "- Taxiing: the foot comes late late-foot → What the feet do, Why the nose swings" in shown
    assert "Topics feet What the feet do (must) eyes Where to look" in shown
    assert shown.endswith("Sources - A book on the subject, chapter 2.")


def test_a_topic_shows_its_section_its_weight_and_what_to_type_next(place):
    shown = place.does("lesson", "feet")
    assert shown.startswith(
        "\nWhat the feet do\nLesson 1 · counts twice in the oral · a must: a matter of safety\n\n  Short pushes.\n"
    )
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
