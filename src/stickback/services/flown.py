"""A flying lesson recorded, with what was seen to go wrong."""

import re
from dataclasses import dataclass, replace
from datetime import date

from stickback import acting, clock
from stickback.course import named
from stickback.course.course import Seen
from stickback.reading import text as texts
from stickback.refused import Refused
from stickback.services.desk import Desk
from stickback.study import flown as flights
from stickback.study.flown import Flown

LONGEST_NOTE, LONGEST_NAME, MOST_LANDINGS = 2000, 80, 99
_WIND = re.compile(r"(\d{3}|VRB)/?\d{1,2}(G\d{1,2})?(KT)?|CALM", re.IGNORECASE)


@dataclass(frozen=True)
class Flight:
    """A lesson flown as it was recorded; each error with the titles of the topics behind it."""

    title: str
    day: date
    flown: Flown
    errors: tuple[tuple[str, tuple[str, ...]], ...]


def flight(desk: Desk, one: Flown, name: str | None = None) -> tuple[Desk, Flight]:
    """Records a lesson flown and what was seen to go wrong; gives the desk after it and what was recorded.

    Args:
        one: its lesson may be an id or a number; an aeroplane that is not named is the student's.
        name: id of its entry; a record that is there already under it is not made again.
    Errors: Refused for a lesson, error or aeroplane that the course does not have, a day to come, and for what no log
        can hold.
    """
    lesson = named.lesson(desk.course, one.lesson)
    one = replace(one, lesson=lesson.id, aircraft=one.aircraft or desk.sheet.id, by=_seen_by(one.by))
    named.sheet(desk.course, one.aircraft)
    _check(desk, one)
    known = desk.course.plan.errors
    for error in one.errors:
        if error not in known:
            there = ", ".join(seen.id for seen in lesson.errors)
            raise Refused(f"The plan has no error '{error}'; lesson '{lesson.id}' has {there or 'none'}.")
    errors = tuple(_behind(desk, known[error]) for error in one.errors)
    recorded = Flight(lesson.title, clock.day_date(one.day), one, errors)
    if name in desk.past.by_id:
        return desk, recorded
    entry = desk.entry(
        "flown",
        name,
        question=f"{desk.course.plan.id}/{lesson.id}",
        aircraft=one.aircraft,
        given=flights.note(one),
        marked_by=flights.SELF if one.own else flights.INSTRUCTOR,
    )
    return desk.append(replace(entry, day=recorded.day)), recorded


def _seen_by(said: str) -> str:
    """Whose record it is: an instructor's only where that instructor is signed in, or nobody signs in at all."""
    person = acting.now()
    if person is None:
        return said
    return person.name if person.role == "instructor" else flights.SELF


def _check(desk: Desk, one: Flown) -> None:
    """That a log can hold it, and that it can have been."""
    if not (len(one.note) <= LONGEST_NOTE and one.note.isprintable()):
        raise Refused(f"A note is one line of {LONGEST_NOTE} characters at the most.")
    if not (0 < len(one.by.strip()) <= LONGEST_NAME and one.by.isprintable()):
        raise Refused(f"Who saw it is a name of {LONGEST_NAME} characters at the most, `instructor` or `self`.")
    if one.wind and not _WIND.fullmatch(one.wind):
        raise Refused(f"'{one.wind}' is no wind; write 240/12, 240/12G20 or calm.")
    if one.day > desk.number:
        raise Refused(f"{clock.day_date(one.day)} is still to come; a lesson is recorded once it was flown.")
    if any((getattr(one, name) or 0) > MOST_LANDINGS for name in flights.COUNTS):
        raise Refused(f"A flight has {MOST_LANDINGS} landings or go-arounds at the most.")


def _behind(desk: Desk, seen: Seen) -> tuple[str, tuple[str, ...]]:
    """An error seen, in words, and the titles of the topics behind it."""
    topics = desk.course.plan.topics
    return texts.line(seen.text, desk.sheet.values), tuple(topics[each].title for each in seen.topics)
