"""What was recorded and taken back, saved and put back."""

from pathlib import Path

from stickback import clock
from stickback.amount import many
from stickback.course.asking import titled
from stickback.memory.past import Row
from stickback.services.backup import Held
from stickback.services.desk import Desk
from stickback.services.log import Taken
from stickback.words import terms


def undone(desk: Desk, row: Row) -> str:
    """What was taken back, by its title."""
    name = (row.question or "").rpartition("/")[2]
    if row.what == "flown":
        what = f"the flown lesson “{terms.lesson(desk.course, name)}”"
    else:
        question = desk.course.questions.get(name)
        what = f"the answer to “{titled(question, desk.sheet) if question else name}”"
    return f"Taken back: {what} of {terms.day(clock.day_date(row.day))}."


def removed(name: str, entries: int, *, erased: bool) -> str:
    """A student taken off every list, or erased."""
    what = "erased" if erased else "removed (the log keeps them; `student add` brings them back)"
    return f"{name} and {many(entries, 'entry', 'entries')} {what}."


def taken(found: Taken, name: str | None, *, dry: bool) -> str:
    """What came of a file that was merged in."""
    would = "would be new" if dry else "new"
    parts = [f"{found.merged.new} {would}, {found.merged.known} there already"]
    if found.created:
        parts.append(f"new here: {', '.join(found.created)}")
    if found.conflicts:
        parts.append(f"{many(len(found.conflicts), 'entry', 'entries')} in conflict, not taken")
    return f"{f'{name}: ' if name else ''}{'; '.join(parts)}."


def saved(file: Path, held: Held) -> str:
    """What a backup holds."""
    return f"{file} holds {_what(held)}."


def restored(file: Path, held: Held, kept: str | None) -> str:
    """What is there now, and where it is that was there before."""
    before = f" What was there before is kept: {kept}." if kept else ""
    return f"Restored from {file}: {_what(held)}.{before}"


def _what(held: Held) -> str:
    entries, students = many(held.entries, "entry", "entries"), many(held.students, "student", "students")
    if held.schools == 1:
        return f"{entries} of {students}; fingerprint {held.fingerprint}"
    return f"{entries} of {students} in {held.schools} schools; fingerprint of this one {held.fingerprint}"
