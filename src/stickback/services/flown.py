"""A flying lesson recorded, with what was seen to go wrong."""

from dataclasses import dataclass
from datetime import date

from stickback.course.course import Seen
from stickback.memory.entry import Entry
from stickback.reading import text as texts
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services.desk import Desk
from stickback.study import flown as flights

LONGEST_NOTE = 2000


@dataclass(frozen=True)
class Flight:
    """A lesson flown as it was recorded; each error with the titles of the topics behind it."""

    title: str
    day: date
    errors: tuple[tuple[str, tuple[str, ...]], ...]


def flight(desk: Desk, name: str, errors: tuple[str, ...], by: str, text: str) -> tuple[Desk, Flight]:
    """Records a lesson flown today and what was seen to go wrong; gives the desk after it and what was recorded.

    Args:
        name: the lesson's id or number.
        errors: ids of errors seen; they may stand under any lesson.
        by: `self` or `instructor`.
    Errors: Refused for a lesson or error that the plan does not have, and for a note that no log can hold.
    """
    lesson = desks.lesson(desk.course, name)
    if not (len(text) <= LONGEST_NOTE and text.isprintable()):
        raise Refused(f"A note is one line of {LONGEST_NOTE} characters at the most.")
    known = {seen.id: seen for each in desk.course.plan.lessons for seen in each.errors}
    for error in errors:
        if error not in known:
            there = ", ".join(seen.id for seen in lesson.errors)
            raise Refused(f"The plan has no error '{error}'; lesson '{lesson.id}' has {there or 'none'}.")
    after = desk.append(
        Entry(
            desk.clock.new_id(),
            "flown",
            desk.day,
            desk.moment,
            desk.clock.zone_name,
            question=f"{desk.course.plan.id}/{lesson.id}",
            aircraft=desk.sheet.id,
            given=flights.note(errors, text),
            marked_by=by,
        )
    )
    return after, Flight(lesson.title, desk.day, tuple(_behind(desk, known[error]) for error in errors))


def _behind(desk: Desk, seen: Seen) -> tuple[str, tuple[str, ...]]:
    """An error seen, in words, and the titles of the topics behind it."""
    topics = desk.course.plan.topics
    return texts.line(seen.text, desk.sheet.values), tuple(topics[each].title for each in seen.topics)
