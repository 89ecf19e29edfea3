import re

import pytest

import worlds


def test_the_glance_says_how_long_it_takes_and_what_it_is_about(place):
    assert re.search(
        r"^8 minutes, about 22 questions, mostly “The ground” and “Landing”\.$", place.does(), re.MULTILINE
    )


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
    assert "Differences sign-off  no date yet; stickback student set me --sign-off DATE" in place.does()
    place.does("student", "set", "me", "--checkride", "2026-06-11", "--next", "2", "--on", "2026-06-02")
    shown = place.does()
    assert "Differences sign-off  11 June 2026 (in 10 days)" in shown
    assert "Next lesson           Lesson 2: Take-off, 2 June 2026 (tomorrow)" in shown


@pytest.mark.parametrize(
    ("day", "says"), [("2026-06-11", "(today)"), ("2026-06-12", "(yesterday)"), ("2026-06-14", "(3 days ago)")]
)
def test_a_day_that_has_come_is_said_as_people_do(place, day, says):
    place.does("student", "set", "me", "--checkride", "2026-06-11")
    assert f"11 June 2026 {says}" in place.does(today=day)


def test_a_next_lesson_that_left_the_course_is_still_named(place):
    place.does("student", "set", "me", "--next", "2")
    place.raw("UPDATE students SET next_lesson = 'aerobatics'")
    assert "Next lesson           aerobatics" in place.does()


def test_a_course_that_asks_nothing_on_this_aeroplane_says_so(place, tmp_path):
    files = {name: text for name, text in worlds.COURSE.items() if "/" in name or "lesson" in name or "sources" in name}
    course = worlds.write(tmp_path / "bare", files)
    assert "No question of this course can be asked on this aeroplane.\n`stickback check` says why.\n" in place.does(
        course=course
    )
    assert place.does("review", typed="", course=course).startswith("Nothing to review today")
