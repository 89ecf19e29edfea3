"""What was saved, and what was put back."""

from pathlib import Path

from stickback.amount import many
from stickback.services.backup import Held


def saved(file: Path, held: Held) -> str:
    """What a backup holds."""
    return f"{file} holds {_what(held)}."


def restored(file: Path, held: Held, kept: str | None) -> str:
    """What is there now, and where it is that was there before."""
    before = f" What was there before is kept: {kept}." if kept else ""
    return f"Restored from {file}: {_what(held)}.{before}"


def _what(held: Held) -> str:
    entries, students = many(held.entries, "entry", "entries"), many(held.students, "student", "students")
    return f"{entries} of {students}; fingerprint {held.fingerprint}"
