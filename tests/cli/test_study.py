import json
import re

import pytest

import worlds
from worlds import Typist


def exported(place, **env):
    return [json.loads(line) for line in place.does("log", "export", **env).splitlines()]


def asked(shown):
    """What was asked, in order, each with its options."""
    return re.findall(r"^\d+ of .*\n((?:.*\n)+?)(?=Type |Say )", shown, re.MULTILINE)


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
    assert shown.endswith(f"That is the number you asked for. 20 answers today, {right} right.\n")


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
    first, second = review(place, "--questions", 2), review(place, "--questions", 2)
    assert [re.search(r"^\d+", each)[0] for each in (first, second)] == ["1", "3"]
    assert not set(asked(first)) & set(asked(second))


def test_minutes_bound_the_day_and_not_the_sitting(place):
    review(place, "--questions", 1)
    place.raw("DROP TRIGGER entries_are_never_changed", "UPDATE entries SET seconds = 119.0")
    assert "Your 1 minute" in place.does("review", "--minutes", 1, typed="")
    assert place.does("review", "--minutes", 2, typed="").startswith("2 of about")


@pytest.mark.parametrize(
    ("option", "topics"),
    [(("--topic", "swing"), {"Why the nose swings"}), (("--lesson", "1"), {"What the feet do", "Where to look"})],
)
def test_a_review_keeps_to_a_topic_or_a_lesson(place, option, topics):
    shown = review(place, *option, "--questions", 12)
    assert set(re.findall(r"^\d+ of .*? · Lesson \d · ([^·\n]+?)(?: · .*)?$", shown, re.MULTILINE)) == topics


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


def test_undo_takes_the_last_back_and_leaves_it_in_the_log(school):
    last = exported(school, student="me")[-1]
    shown = school.does("undo")
    assert f"'{last['question'].removeprefix('small/')}' of 2026-06-01" in shown
    (void,) = [entry for entry in exported(school) if entry["what"] == "void"]
    assert (void["student"], void["voids"]) == ("me", last["id"])
    assert last in exported(school)


def test_undo_goes_back_step_by_step_until_nothing_is_left(school):
    shown = "".join(school.does("undo") for _ in range(5))
    assert (shown.count("the answer to"), shown.count("the flown lesson")) == (4, 1)
    assert school.fails("undo") == "There is nothing to take back."
    assert len([entry for entry in exported(school) if entry["what"] == "void"]) == 5


def test_a_flown_lesson_is_recorded_with_what_is_behind_its_errors(place):
    shown = place.does(
        "flown", "ground", "--error", "late-foot", "--error", "blind", "--by", "instructor", "--note", "gusty"
    )
    assert "Lesson 1: The ground, 2026-06-01" in shown
    assert "Taxiing: the foot comes late: behind it What the feet do, Why the nose swings" in shown
    (entry,) = exported(place)
    assert (entry["what"], entry["question"], entry["marked_by"]) == ("flown", "small/ground", "instructor")
    assert json.loads(entry["given"]) == {"errors": ["late-foot", "blind"], "note": "gusty"}


def test_an_error_that_the_plan_does_not_have_is_refused_with_those_of_the_lesson(place):
    assert "late-foot, blind" in place.fails("flown", "1", "--error", "loop")
    assert place.fails("flown", "7").endswith("it has ground, landing, take-off.")
    assert place.stored() == []


@pytest.mark.parametrize("note", ["x" * 20_000, "\udcff"], ids=["long", "no text"])
def test_a_note_that_no_log_can_hold_is_refused_in_one_sentence(place, note):
    place.fails("flown", "1", "--note", note)
    assert place.stored() == []


def test_the_glance_says_how_long_it_takes_and_what_it_is_about(place):
    assert re.search(r"^8 minutes, about 22 questions, mostly the ground and landing\.$", place.does(), re.MULTILINE)


def test_the_glance_never_speaks_of_what_waits(school):
    assert not re.search(r"wait|overdue|\bdue\b|behind|backlog", school.does() + school.does(today="2029-06-01"))


def test_the_glance_welcomes_back_after_three_weeks_away(school):
    assert "Welcome back." not in school.does(today="2026-06-21")
    assert "Welcome back." in school.does(today="2026-06-22")


def test_the_glance_names_the_weakest_topics_with_where_to_read_them_up(school):
    weak = school.does(today="2026-07-01").partition("Weakest now")[2].partition("Ahead")[0].splitlines()
    assert 0 < len([line for line in weak if line.strip()]) <= 3
    assert re.search(r"Where to look +(?:\d+ %|seen in flight|sure but wrong)? *stickback lesson eyes", "\n".join(weak))


def test_the_glance_counts_the_days_ahead_and_calls_the_end_by_the_word_of_the_plan(place):
    assert "Differences  no date yet: stickback student set me --checkride DATE" in place.does()
    place.does("student", "set", "me", "--checkride", "2026-06-11", "--next", "2", "--on", "2026-06-02")
    shown = place.does()
    assert "Differences  11 June 2026 (in 10 days)" in shown
    assert "Next lesson  Lesson 2: Take-off, 2 June 2026 (tomorrow)" in shown


@pytest.mark.parametrize(
    ("day", "says"), [("2026-06-11", "(today)"), ("2026-06-12", "(yesterday)"), ("2026-06-14", "(3 days ago)")]
)
def test_a_day_that_has_come_is_said_as_people_do(place, day, says):
    place.does("student", "set", "me", "--checkride", "2026-06-11")
    assert f"11 June 2026 {says}" in place.does(today=day)


def test_a_next_lesson_that_left_the_course_is_still_named(place):
    place.does("student", "set", "me", "--next", "2")
    place.raw("UPDATE students SET next_lesson = 'aerobatics'")
    assert "Next lesson  aerobatics" in place.does()


def test_a_course_that_asks_nothing_on_this_aeroplane_says_so(place, tmp_path):
    files = {name: text for name, text in worlds.COURSE.items() if "/" in name or "lesson" in name or "sources" in name}
    course = worlds.write(tmp_path / "bare", files)
    assert "No question of this course can be asked on this aeroplane" in place.does(course=course)
    assert place.does("review", typed="", course=course).startswith("Nothing to review today")


@pytest.mark.parametrize("name", ["question", "sheet"])
def test_a_course_with_a_very_long_id_can_be_studied_or_is_refused_by_the_check(place, tmp_path, name):
    files = {
        "question": {**worlds.COURSE, "swing.md": worlds.SWING.replace("{#way}", f"{{#{'way-' * 60}way}}")},
        "sheet": {each.replace("cawdale", "cawdale" * 15): text for each, text in worlds.COURSE.items()},
    }[name]
    course = worlds.write(tmp_path / "long", files)
    if place("check", course=course).exit_code == 0:
        review(place, "--topic", "swing", "--questions", 5, course=course)
