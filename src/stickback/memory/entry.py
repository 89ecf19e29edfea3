"""Entry: one thing that happened to a student, as stored and as a line of `log export`; the only truth there is."""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from datetime import UTC, date, datetime, timedelta
from typing import Literal
from uuid import UUID

from stickback import clock
from stickback.refused import Refused

What = Literal["answer", "void", "flown", "settings", "flag", "note", "oral"]
Confidence = Literal["guess", "think", "sure"]

CONFIDENCES: tuple[Confidence, ...] = ("guess", "think", "sure")
LATEST = 253_402_300_800_000  # milliseconds: the end of the year 9999, as far as moments are written
LONGEST = 10_000  # characters of anything typed
_NO_TEXT = re.compile("[\0\ud800-\udfff]")  # what neither UTF-8 nor the database can hold


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry; what does not apply is None. Two that say the same are equal, whoever sealed them.

    Args:
        id: UUIDv7 of the asking, its identity for life.
        what: an `answer`, a `void` of another entry, a `flown` lesson, the `settings` of the student from then on, a
            `flag` on a question, a `note` beside a topic, or an answer given in an `oral`.
        day: study day; what the memory sees.
        at: moment in milliseconds since 1970, UTC; `zone` is the student's zone then.
        question: `course-id/question-id`; of a flown lesson `course-id/lesson-id`, of a note `course-id/topic-id`.
        variant: digest of the sheet's values that the question used; empty when it used none.
        revision: digest of the question's text then.
        seed: of everything drawn or shuffled, below 2**53.
        given: the answer, as its kind keeps it (`to_log`); what was flown; settings as JSON; the words of a flag or a
            note.
        score: share that was right, 0 to 1.
        seconds: from shown to answered.
        voids: id of the entry that this one voids.
        key: digest of the question's right answer then.
        device, number, seal: the installation that stored the entry first, the entry's place in what it stored of the
            student, counted from 1, and a digest that binds both; see `memory.seal`.
    """

    id: str
    what: What
    day: date
    at: int
    zone: str
    question: str | None = None
    variant: str | None = None
    kind: str | None = None
    revision: str | None = None
    aircraft: str | None = None
    phraseology: str | None = None
    seed: int | None = None
    given: str | None = None
    confidence: Confidence | None = None
    hinted: bool | None = None
    score: float | None = None
    right: bool | None = None
    marked_by: str | None = None
    seconds: float | None = None
    voids: str | None = None
    key: str | None = None
    device: str | None = field(default=None, compare=False)
    number: int | None = field(default=None, compare=False)
    seal: str | None = field(default=None, compare=False)


FIELDS = tuple(field.name for field in fields(Entry))
SEAL = ("device", "number", "seal")
# The keys of a line, in their order.
KEYS = (
    *("id", "student", *SEAL, "what", "day", "at", "zone", "question", "variant", "kind", "revision", "key"),
    *("aircraft", "phraseology", "seed", "given", "confidence", "hinted", "score", "right", "marked_by", "seconds"),
    "voids",
)
_NEEDED: dict[str, tuple[str, ...]] = {
    "answer": (
        *("question", "variant", "kind", "revision", "seed", "given", "confidence", "score", "right", "seconds"),
    ),
    "void": ("voids",),
    "flown": ("question", "given"),
    "settings": ("given",),
    "flag": ("question", "given"),
    "note": ("question", "given"),
    "oral": ("question", "given", "score", "right", "marked_by"),
}


def as_line(student: str, entry: Entry) -> str:
    """The line of an entry: keys in fixed order, none that do not apply, no spaces."""
    return _line(entry, student)


def canonical(entry: Entry, student: str | None = None) -> str:
    """The line without its seal: what happened, the same on every device that holds it."""
    return _line(entry, student, bare=True)


def unlawful(entry: Entry) -> str:
    """What is wrong with an entry that is well formed; empty when nothing is."""
    if entry.question is not None and not re.fullmatch(r"[^/\s]+/[^/\s]+", entry.question):
        return "its question does not read course/question"
    try:
        by_clock = clock.study_day(datetime.fromtimestamp(entry.at / 1000, UTC), clock.zone(entry.zone))
    except (Refused, OverflowError):
        return f"there is no time zone {entry.zone[:40]!a} then"
    # A flight may be recorded long after its day.
    if (entry.day - by_clock).days > 1 or (entry.what == "answer" and (by_clock - entry.day).days > 1):
        return f"it is dated {entry.day}, at a moment of {by_clock}"
    return ""


def _line(entry: Entry, student: str | None = None, *, bare: bool = False) -> str:
    row: dict[str, object] = {}
    for name in KEYS:
        value = student if name == "student" else getattr(entry, name)
        if value is not None and not (bare and name in SEAL):
            row[name] = value
    row["day"], row["at"] = entry.day.isoformat(), clock.iso_moment(entry.at)
    return json.dumps(row, ensure_ascii=False, separators=(",", ":"))


def from_line(line: str) -> tuple[str, Entry]:
    """The student's name and the entry of a line.

    Errors: ValueError with a sentence that says what is wrong with it.
    """
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        raise ValueError("it is not JSON") from None
    if not isinstance(row, dict):
        raise ValueError("it is not a JSON object")
    if unknown := sorted(set(row) - set(KEYS)):
        raise ValueError(f"the key {unknown[0][:40]!a} is not known")
    if missing := [key for key in ("id", "student", "what", "day", "at", "zone") if key not in row]:
        raise ValueError(f"the key '{missing[0]}' is missing")
    for key, value in row.items():
        if not _CHECKS[key](value):
            raise ValueError(f"the value of '{key}' is not one it can have")
    _whole(row)
    student = row.pop("student")
    row["day"], row["at"] = date.fromisoformat(row["day"]), _milliseconds(row["at"])
    for key in {"score", "seconds"} & set(row):
        row[key] = float(row[key])  # 5 and 5.0 are one number, and must have one line
    return student, Entry(**row)


def _whole(row: dict[str, object]) -> None:
    what = str(row["what"])
    if missing := [key for key in _NEEDED[what] if key not in row]:
        raise ValueError(f"an entry '{what}' needs the key '{missing[0]}'")
    if what != "void" and "voids" in row:
        raise ValueError("the key 'voids' belongs to an entry 'void' only")
    if 0 < len(set(SEAL) & set(row)) < len(SEAL):
        raise ValueError("the keys 'device', 'number' and 'seal' stand together or not at all")


def _milliseconds(text: str) -> int:
    at = datetime.fromisoformat(text)
    if at.tzinfo is None:
        raise ValueError("the value of 'at' does not say its zone")
    return (at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1)


def _text(most: int, least: int = 1) -> Callable[[object], bool]:
    return lambda value: isinstance(value, str) and least <= len(value) <= most and not _NO_TEXT.search(value)


def _one_of(*words: str) -> Callable[[object], bool]:
    return lambda value: value in words


def _number(least: float, most: float) -> Callable[[object], bool]:
    return lambda value: isinstance(value, int | float) and not isinstance(value, bool) and least <= value <= most


def is_id(value: object) -> bool:
    """Whether it is the id of an asking or another entry: a UUIDv7 as it is written."""
    try:
        return isinstance(value, str) and UUID(value).version == 7 and str(UUID(value)) == value
    except ValueError:
        return False


def _day(value: object) -> bool:
    return isinstance(value, str) and bool(re.fullmatch(r"\d{4}-\d{2}-\d{2}", value)) and _parses(date, value)


def _moment(value: object) -> bool:
    if not isinstance(value, str) or not _parses(datetime, value):
        return False
    at = datetime.fromisoformat(value)
    return at.tzinfo is None or 0 <= _milliseconds(value) < LATEST


def _parses(kind: type[date], value: str) -> bool:
    try:
        return kind.fromisoformat(value).year >= 1970
    except ValueError:
        return False


_CHECKS: dict[str, Callable[[object], bool]] = {
    "id": is_id,
    "student": lambda value: _text(80)(value) and str(value).isprintable() and str(value) == str(value).strip(),
    "what": _one_of(*_NEEDED),
    "day": _day,
    "at": _moment,
    "zone": _text(64),
    "question": _text(200),
    "variant": _text(64, 0),
    "kind": _text(20),
    "revision": _text(64),
    "aircraft": _text(80),
    "phraseology": _text(20),
    "seed": lambda value: isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**53,
    "given": _text(LONGEST, 0),
    "confidence": _one_of(*CONFIDENCES),
    "hinted": lambda value: isinstance(value, bool),
    "score": _number(0, 1),
    "right": lambda value: isinstance(value, bool),
    "marked_by": _one_of("program", "self", "instructor"),
    "seconds": _number(0, 1e7),
    "voids": is_id,
    "key": _text(64),
    "device": is_id,
    "number": lambda value: isinstance(value, int) and not isinstance(value, bool) and 1 <= value < 2**31,
    "seal": lambda value: isinstance(value, str) and bool(re.fullmatch("[0-9a-f]{64}", value)),
}
