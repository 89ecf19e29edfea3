"""Lessons flown: what is recorded of each, what was seen to go wrong, and which of it is still open.

A record is the student's own, or that of somebody who is said to be the instructor; the two are kept apart. An error is
closed by flying the lesson again with the instructor, who does not see it any more: answers never close it, and what
was flown says nothing of what is known.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from stickback.course.course import Seen
from stickback.memory.past import Past, Row

DAYS = 2  # on which a topic behind an error is to be answered right before the reviews stop asking it first
SELF, INSTRUCTOR = "self", "instructor"
SEATS = ("dual", "solo")
STANDARDS = ("met", "prompted", "not-yet")  # whether the lesson's completion standard was met, and how
COUNTS = ("full_stop", "wheel", "go_around")


@dataclass(frozen=True, kw_only=True)
class Flown:
    """A flying lesson as it was recorded.

    Args:
        lesson: its id; `day`, the day number of the flight.
        by: `self`, or who is said to have seen it: `instructor` or a name.
        aircraft: id of the sheet; empty where it is not known.
        errors: ids of errors seen; they may stand under any lesson.
        seat: `dual`, `solo` or empty; `standard`: one of `STANDARDS` or empty.
        wind: as it was said, such as `240/12`.
        full_stop, wheel, go_around: landings to a full stop, wheel landings and go-arounds; None where not recorded.
    """

    lesson: str
    day: int
    by: str = SELF
    aircraft: str = ""
    errors: tuple[str, ...] = ()
    note: str = ""
    seat: str = ""
    standard: str = ""
    wind: str = ""
    full_stop: int | None = None
    wheel: int | None = None
    go_around: int | None = None

    @property
    def own(self) -> bool:
        """Whether it is the student's own record."""
        return self.by == SELF

    @property
    def with_instructor(self) -> bool:
        """Whether the instructor records it as flown together."""
        return not self.own and self.seat != "solo"


_GIVEN = tuple(each.name for each in fields(Flown) if each.name not in {"lesson", "day", "aircraft"})
_ALWAYS = ("errors", "note")


@dataclass(frozen=True, kw_only=True)
class FlownError:
    """An error seen on a flying lesson and not yet flown away.

    Args:
        lesson: id of the lesson flown; `day`, the day number of the flight.
        topics: all behind it; `due`, those still to be answered right on two days since.
        own: whether only the student saw it.
    """

    error: str
    lesson: str
    day: int
    topics: tuple[str, ...]
    due: tuple[str, ...] = field(default=())
    own: bool = True


def note(one: Flown) -> str:
    """What the log stores of a flown lesson beside its name, day and aeroplane."""
    found = {name: getattr(one, name) for name in _GIVEN}
    if one.by in {SELF, INSTRUCTOR}:  # said by `marked_by` already
        del found["by"]
    return json.dumps({k: v for k, v in found.items() if k in _ALWAYS or v not in {"", None}}, ensure_ascii=False)


def flown(row: Row) -> Flown:
    """A flown lesson as the log has it; what an import brought in another form counts as not recorded."""
    found = _object(row.given)
    by = _text(found, "by") or (INSTRUCTOR if row.marked_by == INSTRUCTOR else SELF)
    return Flown(
        lesson=(row.question or "").rpartition("/")[2],
        day=row.day,
        by=by if row.marked_by == INSTRUCTOR else SELF,
        aircraft=row.aircraft or "",
        errors=_errors(found),
        note=_text(found, "note"),
        seat=_text(found, "seat", SEATS),
        standard=_text(found, "standard", STANDARDS),
        wind=_text(found, "wind"),
        **{name: _count(found, name) for name in COUNTS},
    )


def _object(given: str | None) -> dict[str, Any]:
    try:
        found = json.loads(given or "")
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _errors(found: Mapping[str, Any]) -> tuple[str, ...]:
    errors = found.get("errors")
    return tuple(map(str, errors)) if isinstance(errors, list) else ()


def _text(found: Mapping[str, Any], name: str, words: Sequence[str] | None = None) -> str:
    value = found.get(name)
    return value if isinstance(value, str) and (words is None or value in words) else ""


def _count(found: Mapping[str, Any], name: str) -> int | None:
    value = found.get(name)
    return value if isinstance(value, int) and not isinstance(value, bool) and value >= 0 else None


def flights(past: Past) -> list[Flown]:
    """Lessons flown, in the order of their days; voided ones left out."""
    return [flown(row) for row in past.rows if row.what == "flown" and row.id not in past.voided]


def still_open(past: Past, errors: Mapping[str, Seen], topic_of: Mapping[str, str]) -> list[FlownError]:
    """The errors still open, the latest flight of each; those that the course no longer has are left out.

    Args:
        errors: by id, of the course as it is now, with the topics behind each.
        topic_of: topic by the question's name in the log.
    """
    seen = list(opened(flights(past)))
    if not seen:
        return []
    days_right: dict[str, set[int]] = {}
    for row in past.graded:
        if row.right and row.confidence != "guess" and not row.hinted and (topic := topic_of.get(row.question or "")):
            days_right.setdefault(topic, set()).add(row.day)
    found = []
    for one in seen:
        if topics := errors[one.error].topics if one.error in errors else ():
            due = tuple(each for each in topics if sum(day > one.day for day in days_right.get(each, ())) < DAYS)
            found.append(
                FlownError(error=one.error, lesson=one.lesson, day=one.day, topics=topics, due=due, own=one.own)
            )
    return found


def opened(flown: Iterable[Flown]) -> Iterator[FlownError]:
    """The errors that no later flight of their lesson with the instructor has closed, without their topics."""
    found: dict[str, FlownError] = {}
    for flight in flown:
        if flight.with_instructor:
            closed = [one.error for one in found.values() if one.lesson == flight.lesson and one.day < flight.day]
            for error in closed:
                found.pop(error)
        for error in flight.errors:
            before = found.pop(error, None)
            own = flight.own and (before is None or before.own)
            found[error] = FlownError(error=error, lesson=flight.lesson, day=flight.day, topics=(), due=(), own=own)
    yield from found.values()


def last(flown: Iterable[Flown], what: str) -> int | None:
    """Day number of the last flight with such a landing or go-around; None where none was recorded.

    Args:
        what: one of `COUNTS`.
    """
    return max((one.day for one in flown if getattr(one, what)), default=None)
