"""A question flagged by a student, with a note for whoever wrote it."""

from dataclasses import replace

from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services.review import Session, Step

LONGEST_NOTE = 2000


def flag(session: Session, step: Step, note: str, name: str | None = None) -> Session:
    """The sitting after its question was flagged; it says nothing of what is known.

    Args:
        note: one line is made of it, and what is longer than `LONGEST_NOTE` characters is cut.
        name: id of its entry; a flag that is there already under it is not made again.
    Errors: Refused where no note is left, and when the database cannot take it.
    """
    said = one_line(note)
    if not said:
        raise Refused("A flag needs a note: say what is wrong with the question.")
    desk = session.desk
    if name is not None and any(row.id == name for row in desk.past.rows):
        return session
    entry = Entry(
        id=name or desk.clock.new_id(),
        what="flag",
        day=desk.day,
        at=desk.moment,
        zone=desk.clock.zone_name,
        question=step.history[0],
        variant=step.history[1],
        kind=step.question.kind,
        revision=step.question.revision,
        key=step.question.key,
        aircraft=desk.sheet.id,
        seed=step.seed,
        given=said,
    )
    return replace(session, desk=desk.append(entry))


def one_line(note: str) -> str:
    """A note as it is kept: one line of text, and no longer than a note may be."""
    return " ".join("".join(char if char.isprintable() else " " for char in note).split())[:LONGEST_NOTE]
