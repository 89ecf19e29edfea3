import re

import pytest

import worlds
from worlds import Typist, exported


def asked(shown):
    """What was asked, in order, each with its options."""
    return re.findall(
        r"^(?:\d+ (?:min|questions) left|the last one) · .*\n((?:.*\n)+?)(?=Type |Say )", shown, re.MULTILINE
    )


def review(place, *options, typed=None, **env):
    return place.does("review", *options, typed=typed or Typist(), **env)


@pytest.fixture(scope="module")
def twenty(blank, tmp_path_factory):
    """A review of twenty questions through a pipe: what was shown, and the log after it."""
    place = blank.copied(tmp_path_factory.mktemp("twenty") / "new.db")
    return review(place, "--questions", 20), exported(place)


def test_twenty_questions_through_a_pipe_are_twenty_entries(twenty):
    shown, entries = twenty
    assert len(asked(shown)) == len(entries) == 20
    assert {entry["what"] for entry in entries} == {"answer"}
    assert {entry["confidence"] for entry in entries} == {"guess", "think", "sure"}
    assert {entry["right"] for entry in entries} == {True, False}
    right = sum(entry["right"] for entry in entries)
    assert f"\nThat is the number you asked for. 20 answers today, {right} right.\n" in shown


def test_lines_hold_no_control_codes(twenty):
    assert [char for char in twenty[0] if not char.isprintable() and char != "\n"] == []


def test_the_same_day_and_seed_on_a_copy_of_the_database_ask_the_same(school, tmp_path):
    copy = school.copied(tmp_path / "copy.db")
    one, other = (review(each, "--questions", 9, "--seed", 7) for each in (school, copy))
    assert len(asked(one)) == 9
    assert one == other
    kept = ("question", "variant", "seed", "given", "confidence", "right", "score", "day", "revision")
    one, other = ([[entry.get(key) for key in kept] for entry in exported(each)] for each in (school, copy))
    assert one == other


def test_another_seed_shuffles_otherwise(school, tmp_path):
    copy = school.copied(tmp_path / "copy.db")
    assert review(school, "--questions", 4, "--seed", 7) != review(copy, "--questions", 4, "--seed", 8)


def test_a_sitting_goes_on_where_it_was_left(place):
    # Under a seed: what is drawn decides which answers are wrong, and what was wrong may come back already.
    first, second = (review(place, "--questions", 2, "--seed", 4) for _ in range(2))
    assert [re.search(r"^\d+", each)[0] for each in (first, second)] == ["2", "2"]
    assert not set(asked(first)) & set(asked(second))


def test_minutes_bound_the_day_and_not_the_sitting(place):
    review(place, "--questions", 1)
    place.raw("DROP TRIGGER entries_are_never_changed", "UPDATE entries SET seconds = 119.0")
    assert "Your 1 minute" in place.does("review", "--minutes", 1, typed="")
    assert place.does("review", "--minutes", 2, typed="").startswith("1 min left")


@pytest.mark.parametrize(
    ("option", "topics"),
    [(("--topic", "swing"), {"Why the nose swings"}), (("--lesson", "1"), {"What the feet do", "Where to look"})],
)
def test_a_review_keeps_to_a_topic_or_a_lesson(place, option, topics):
    shown = review(place, *option, "--questions", 12)
    assert (
        set(re.findall(r"^\d+ (?:min|questions) left · Lesson \d · ([^·\n]+?)(?: · .*)?$", shown, re.MULTILINE))
        == topics
    )


@pytest.mark.parametrize("option", [("--topic", "wings"), ("--lesson", "9")])
def test_a_topic_or_lesson_that_the_plan_does_not_have_is_refused(place, option):
    assert option[1] in place.fails("review", *option)


def test_the_day_of_a_review_is_the_one_given_and_the_moment_agrees(place):
    review(place, "--questions", 1, today="2031-02-03")
    (entry,) = exported(place)
    assert entry["day"] == "2031-02-03"
    assert entry["at"][:10] in {"2031-02-02", "2031-02-03", "2031-02-04"}
    assert "WRONG" not in place.does("log", "verify")


def test_an_answer_long_before_the_last_is_refused_and_the_way_out_is_named(school):
    before = school.stored()
    result = school("review", typed=Typist(), today="2026-05-01")
    assert result.exit_code == 1
    assert "dated 2026-06-01, after today (2026-05-01)" in worlds.sentence(result)
    assert "stickback undo" in worlds.sentence(result)
    assert school.stored() == before


@pytest.mark.parametrize("name", ["question", "sheet"])
def test_a_course_with_a_very_long_id_can_be_studied_or_is_refused_by_the_check(place, tmp_path, name):
    files = {
        "question": {**worlds.COURSE, "swing.md": worlds.SWING.replace("{#way}", f"{{#{'way-' * 60}way}}")},
        "sheet": {each.replace("cawdale", "cawdale" * 15): text for each, text in worlds.COURSE.items()},
    }[name]
    course = worlds.write(tmp_path / "long", files)
    if place("check", course=course).exit_code == 0:
        review(place, "--topic", "swing", "--questions", 5, course=course)
