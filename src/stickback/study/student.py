"""Student: who studies, and the settings that studying follows."""

import json
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any

from stickback.course.course import PHRASEOLOGIES

LEAST_TARGET, MOST_TARGET = 0.70, 0.97  # the range in which the memory model's intervals make sense
MOST_MINUTES = 120
ME = "me"


@dataclass(frozen=True, kw_only=True)
class Student:
    """A student's name and settings; what was never set is None or the default.

    Args:
        aircraft: id of the sheet flown; None means the first of the course.
        checkride: date of the test or sign-off at the end.
        next_lesson, next_on: the next flying lesson and its date.
        minutes: a study day's budget.
        target: chance of knowing a question below which it counts as rusty.
        zone: time zone; None means the machine's.
        abroad: whether the rules and phraseology of other states are asked too.
        listen: how transmissions are heard, as `sound.listening` reads it; `off` shows them.
    """

    name: str
    aircraft: str | None = None
    phraseology: str = PHRASEOLOGIES[1]
    checkride: date | None = None
    next_lesson: str | None = None
    next_on: date | None = None
    minutes: int = 10
    target: float = 0.9
    zone: str | None = None
    abroad: bool = False
    listen: str = "off"


_DATES = ("checkride", "next_on")


def settings_text(student: Student) -> str:
    """The settings as JSON, as an entry `settings` gives them."""
    row = {name: value for name, value in asdict(student).items() if name != "name" and value is not None}
    row |= {name: row[name].isoformat() for name in _DATES if name in row}
    return json.dumps(row, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def with_settings(name: str, text: str) -> Student:
    """A student with the settings of an entry; a setting that a later version knows is left out.

    Errors: ValueError for what gives no settings.
    """
    try:
        row = json.loads(text)
        known: dict[str, Any] = {key: row[key] for key in _TYPES if key in row}
        if any(type(value) not in _TYPES[key] for key, value in known.items()):
            raise TypeError("a setting of another type")
        known |= {key: date.fromisoformat(known[key]) for key in _DATES if key in known}
    except (ValueError, TypeError, RecursionError):
        raise ValueError("it gives no settings") from None
    if not 1 <= known.get("minutes", 1) <= MOST_MINUTES:
        raise ValueError("it gives minutes that cannot be")
    if not LEAST_TARGET <= known.get("target", LEAST_TARGET) <= MOST_TARGET:
        raise ValueError("it gives a target that cannot be")
    if known.get("listen", "off") != "off":
        from stickback.sound import listening  # most students see what is said

        listening.read(known["listen"])
    return replace(Student(name=name), **known)


_TYPES: dict[str, tuple[type, ...]] = {
    **dict.fromkeys(("aircraft", "phraseology", "checkride", "next_lesson", "next_on", "zone", "listen"), (str,)),
    "minutes": (int,),
    "abroad": (bool,),
    "target": (float, int),
}
