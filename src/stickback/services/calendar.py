"""A student's dates as an iCalendar file, for whatever calendar the student keeps. Source: RFC 5545, by `icalendar`."""

from datetime import date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from stickback.services.desk import Desk

EVENING = time(19)


def calendar(desk: Desk, end: str, at: time = EVENING) -> bytes:
    """The daily minutes, the next lesson and the date at the end; those before today are left out.

    Args:
        end: what stands at the end of the course, in a word.
        at: when the daily review begins, on the student's own wall.

    The same settings on the same day give the same file, and a later file takes the place of an earlier one: every
    event keeps its identity.
    """
    made = Calendar()
    made.add("prodid", "-//stickback//EN")
    made.add("version", "2.0")
    made.add("x-wr-calname", f"stickback: {desk.student.name}")
    made.add_component(_daily(desk, at))
    student, plan = desk.student, desk.course.plan
    if student.next_on is not None and student.next_on >= desk.day:
        lesson = next((one.title for one in plan.lessons if one.id == student.next_lesson), student.next_lesson or "")
        brief = f"Before it: stickback brief {student.next_lesson}"
        made.add_component(_whole_day(desk, "next lesson", lesson, student.next_on, brief))
    if student.checkride is not None and student.checkride >= desk.day:
        made.add_component(_whole_day(desk, "end", end, student.checkride, plan.title))
    return bytes(made.to_ical())


def _daily(desk: Desk, at: time) -> Event:
    """Every day from today, until the date at the end where there is one."""
    event = _event(desk, "daily", "stickback review")
    begins = datetime.combine(desk.day, at)  # without a zone: that time wherever the student is
    event.add("dtstart", begins)
    event.add("dtend", begins + timedelta(minutes=desk.student.minutes))
    rule: dict[str, object] = {"freq": "daily"}
    if desk.student.checkride is not None and desk.student.checkride >= desk.day:
        rule["until"] = datetime.combine(desk.student.checkride, at)
    event.add("rrule", rule)
    return event


def _whole_day(desk: Desk, name: str, title: str, day: date, text: str) -> Event:
    event = _event(desk, name, title)
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("description", text)
    return event


def _event(desk: Desk, name: str, title: str) -> Event:
    event = Event()
    event.add("uid", str(uuid5(NAMESPACE_URL, f"stickback:{desk.course.plan.id}:{desk.student.name}:{name}")))
    event.add("dtstamp", datetime.combine(desk.day, time(), desk.clock.now.tzinfo))
    event.add("summary", title)
    return event
