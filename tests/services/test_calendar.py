"""The calendar's file, read back by the library that other programs use too."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from icalendar import Calendar

from stickback.services.calendar import calendar


@pytest.fixture
def events(school):
    """The events of `me` by their title, with some settings changed."""

    def read(at=time(19), **settings):
        desk = school.desk(0)
        made = calendar(replace(desk, student=replace(desk.student, **settings)), "Checkride", at)
        return desk.day, {str(event["summary"]): event for event in Calendar.from_ical(made).walk("VEVENT")}

    return read


def test_the_daily_minutes_stand_at_the_time_asked_for_without_a_zone(events):
    day, found = events(time(6, 30), minutes=15)
    begins = datetime.combine(day, time(6, 30))
    daily = found["stickback review"]
    assert (daily["dtstart"].dt, daily["dtend"].dt) == (begins, begins + timedelta(minutes=15))
    assert daily["rrule"]["freq"] == ["DAILY"]
    assert "until" not in daily["rrule"]


def test_the_daily_minutes_end_on_the_day_at_the_end_of_the_course(events):
    _, found = events(checkride=date(2026, 7, 1))
    assert found["stickback review"]["rrule"]["until"] == [datetime.combine(date(2026, 7, 1), time(19))]
    assert (found["Checkride"]["dtstart"].dt, found["Checkride"]["dtend"].dt) == (date(2026, 7, 1), date(2026, 7, 2))


def test_the_next_lesson_is_a_whole_day_with_its_title_and_its_brief(events):
    _, found = events(next_lesson="take-off", next_on=date(2026, 6, 4))
    event = found["Lesson 2: Take-off"]
    assert (event["dtstart"].dt, str(event["description"])) == (date(2026, 6, 4), "Before it: stickback brief take-off")


def test_what_has_passed_is_left_out(events):
    _, found = events(checkride=date(2026, 5, 1), next_lesson="take-off", next_on=date(2026, 5, 1))
    assert list(found) == ["stickback review"]


def test_an_event_keeps_its_identity_so_that_a_later_file_takes_its_place(events):
    (_, one), (_, other) = events(minutes=5), events(minutes=25)
    assert one["stickback review"]["uid"] == other["stickback review"]["uid"]


def test_the_same_settings_give_the_same_file(school):
    assert calendar(school.desk(0), "Checkride") == calendar(school.desk(0), "Checkride")
