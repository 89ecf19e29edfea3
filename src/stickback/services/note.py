"""What a student writes: a flag on a question, for whoever wrote it, and a note of one's own beside a topic."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from stickback import clock
from stickback.course import named
from stickback.course.course import Topic
from stickback.memory.entry import Entry
from stickback.memory.past import Row
from stickback.refused import Refused
from stickback.services.desk import Desk
from stickback.services.review import Session, Step

LONGEST_NOTE = 2000


@dataclass(frozen=True)
class Note:
    """A note of one's own, and when it was written."""

    topic: Topic
    day: date
    text: str


def flag(session: Session, step: Step, said: str, name: str | None = None) -> Session:
    """The session after its question was flagged; it says nothing of what is known.

    Args:
        said: what is wrong; one line is made of it, and what is longer than `LONGEST_NOTE` characters is cut.
        name: id of its entry; a flag that is there already under it is not made again.
    Errors: Refused where no note is left, and when the database cannot take it.
    """
    desk = session.desk
    entry = _entry(desk, step.history[0], said)
    if name in desk.past.by_id:
        return session
    entry = replace(
        entry,
        id=name or entry.id,
        what="flag",
        variant=step.history[1],
        kind=step.question.kind,
        revision=step.question.revision,
        key=step.question.key,
        aircraft=desk.sheet.id,
        seed=step.seed,
    )
    return replace(session, desk=desk.append(entry))


def write(desk: Desk, topic: str, said: str, name: str | None = None) -> Desk:
    """The desk after a note was put beside a topic.

    Args:
        said, name: as in `flag`.
    Errors: as in `flag`, and for a topic that the plan does not have.
    """
    entry = _entry(desk, _key(desk, named.topic(desk.course, topic)), said)
    return desk if name in desk.past.by_id else desk.append(replace(entry, id=name or entry.id))


def one_line(said: str) -> str:
    """A note as it is kept; empty where no word is in it."""
    text = " ".join("".join(char if char.isprintable() else " " for char in said).split())[:LONGEST_NOTE]
    return text if any(map(str.isalnum, text)) else ""


def _entry(desk: Desk, about: str, said: str) -> Entry:
    text = one_line(said)
    if not text:
        raise Refused("There is nothing to note: write some words.")
    return desk.entry("note", question=about, given=text)


def notes(desk: Desk, topics: Iterable[Topic] | None = None) -> list[Note]:
    """A student's notes that were not taken away: topic by topic, the newest of each first.

    Args:
        topics: those whose notes are wanted, in their order; None for all, in the order of the plan.
    """
    newest = _standing(desk)[::-1]
    return [
        Note(topic, clock.day_date(row.day), row.given or "")
        for topic in (desk.course.plan.topics.values() if topics is None else topics)
        for row in newest
        if row.question == _key(desk, topic)
    ]


def take_away(desk: Desk, topic: str) -> Note:
    """Takes the newest note beside a topic away; gives what it was.

    Errors: Refused where there is none.
    """
    found = named.topic(desk.course, topic)
    mine = [row for row in _standing(desk) if row.question == _key(desk, found)]
    if not mine:
        raise Refused(f"There is no note beside '{found.title}'.")
    desk.void(mine[-1].id)
    return Note(found, clock.day_date(mine[-1].day), mine[-1].given or "")


def _standing(desk: Desk) -> list[Row]:
    return [row for row in desk.past.rows if row.what == "note" and row.id not in desk.past.voided]


def _key(desk: Desk, topic: Topic) -> str:
    return f"{desk.course.plan.id}/{topic.id}"
