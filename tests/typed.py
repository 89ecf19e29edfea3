"""What is understood of something typed, and what an answer of the log was typed as."""

from pathlib import Path

from stickback.kinds.protocol import Kind
from stickback.kinds.shown import UNKNOWN, Unclear
from stickback.services import folder


def heard(body: Kind, text: str, **values: str) -> str | None:
    """The answer as it is stored; None where it is asked again."""
    found = body.understand(text, values)
    return None if isinstance(found, Unclear) else found


def in_letters(course: Path, question: str | None, seed: int, given: str) -> str:
    """An answer of the log by the letters that its options had."""
    asked = folder.load(course).questions.get((question or "").rpartition("/")[2])
    return given if asked is None or given == UNKNOWN else asked.body.from_log(seed, given)
