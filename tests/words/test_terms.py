from dataclasses import replace
from datetime import date

import pytest

from stickback.words import terms

TODAY = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("when", "says"),
    [
        (date(2026, 6, 1), "1 June 2026 (today)"),
        (date(2026, 6, 2), "2 June 2026 (tomorrow)"),
        (date(2026, 5, 31), "31 May 2026 (yesterday)"),
        (date(2026, 6, 11), "11 June 2026 (in 10 days)"),
        (date(2026, 5, 29), "29 May 2026 (3 days ago)"),
    ],
)
def test_a_day_is_said_with_how_far_off_it_is(when, says):
    assert terms.ahead(TODAY, when) == says


@pytest.mark.parametrize(
    ("ends_with", "says"),
    [("checkride", "checkride"), ("differences", "differences sign-off"), ("club check", "club check")],
)
def test_the_end_of_a_course_has_the_word_of_its_plan(session, ends_with, says):
    course = session().desk.course
    assert terms.end(replace(course, plan=replace(course.plan, ends_with=ends_with))) == says


def test_a_name_that_left_the_course_stands_for_itself(session):
    course = session().desk.course
    assert (terms.lesson(course, "aerobatics"), terms.topic(course, "loops")) == ("aerobatics", "loops")
    assert terms.topic(course, "eyes") == "Where to look"


def test_only_what_counts_more_than_most_is_said_to():
    assert [terms.counted(weight) for weight in (1, 2, 3)] == [
        "",
        "counts twice in the oral",
        "counts three times in the oral",
    ]
