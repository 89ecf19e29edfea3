"""Errors seen in flight: open until the topics behind them were answered right on two different days since."""

import json
from collections.abc import Mapping
from dataclasses import dataclass

from stickback.memory.past import Past, Row

DAYS = 2


@dataclass(frozen=True)
class FlownError:
    """An error seen on a flying lesson and not yet worked off.

    Args:
        lesson: name of the lesson flown, as in the log.
        day: day number of the flight.
        topics: those behind it that are still to be answered right.
    """

    error: str
    lesson: str
    day: int
    topics: tuple[str, ...]


def note(errors: tuple[str, ...], text: str) -> str:
    """What the log stores of a flown lesson: the errors seen and what was noted."""
    return json.dumps({"errors": list(errors), "note": text}, ensure_ascii=False)


def errors_of(row: Row) -> tuple[str, ...]:
    """The errors of a flown lesson; none where an import brought something else."""
    try:
        found = json.loads(row.given or "")["errors"]
        return tuple(str(error) for error in found)
    except (ValueError, KeyError, TypeError, RecursionError):
        return ()


def lessons(past: Past) -> list[tuple[str, int]]:
    """Lessons flown, by name in the log and day number, in order; voided ones left out."""
    return [(row.question or "", row.day) for row in past.rows if row.what == "flown" and row.id not in past.voided]


def still_open(
    past: Past, topics_behind: Mapping[str, tuple[str, ...]], topic_of: Mapping[str, str]
) -> list[FlownError]:
    """The errors still open, the latest flight of each.

    Args:
        topics_behind: topics by error id, of the course as it is now.
        topic_of: topic by the question's name in the log.
    """
    days_right: dict[str, set[int]] = {}
    for row in past.graded:
        if row.right and row.confidence != "guess" and not row.hinted and (topic := topic_of.get(row.question or "")):
            days_right.setdefault(topic, set()).add(row.day)
    found: dict[str, FlownError] = {}
    for row in past.rows:
        if row.what != "flown" or row.id in past.voided:
            continue
        for error in errors_of(row):
            topics = topics_behind.get(error, ())
            left = tuple(t for t in topics if sum(day > row.day for day in days_right.get(t, ())) < DAYS)
            found.pop(error, None)
            if left:
                found[error] = FlownError(error, row.question or "", row.day, left)
    return list(found.values())
