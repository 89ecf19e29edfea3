"""Persons of a school, and who did what, in words."""

import json
from collections.abc import Sequence

from stickback import clock
from stickback.amount import many
from stickback.memory.entry import Entry
from stickback.services.person import Invited
from stickback.store.acts import Act
from stickback.store.persons import Known
from stickback.store.schools import School

HEAD = ("Name", "Role", "Instructs", "Comes in by", "Asks for")
LOG_HEAD = ("When (UTC)", "Who", "What", "Whose")
ENTRY_HEAD = ("Day", "What", "Of", "Said", "Sure", "Mark")
NOBODY = "No one may come in yet; `stickback person add NAME --role school` begins."
TERMINAL = "at a terminal"
ROLES = {
    "student": "a student: you see your own pages",
    "instructor": "an instructor: you see the students given to you",
    "school": "the school: you see everyone",
}
_MADE = {"student": "made a student", "instructor": "made an instructor", "school": "made the school"}
_WISHES = {"erase": "to be erased"}
_ACTS = {
    "invited": "invited",
    "instructs": "changed which students are given to them",
    "taken back": "took an invitation back",
    "accepted": "used the invitation, chose a password",
    "accepted by key": "used the invitation, keeps a key on a device",
    "signed in": "signed in",
    "signed in by key": "signed in by a key",
    "key added": "keeps a key on one more device",
    "key removed": "removed a key",
    "key refused": "was refused: a key counts as if there were two of it",
    "signed out": "signed out",
    "removed": "shut out",
    "hidden": "taken off the lists",
    "erased": "erased someone with everything kept",
    "wishes": "asked to be erased",
    "wishes no more": "wants to stay",
    "stays": "answered a wish to be erased: stays",
    "took along": "took their own data along",
    "exported": "took the board along",
    "school added": "made a school",
    "handed in": "took in files of devices",
    "log exported": "took the log along",
    "tuned": "fitted the memory model to the answers",
    "untuned": "took the memory model back to what it was",
    "saved": "saved the whole database in a file",
    "put back": "put a saved database back",
}
_ENTRIES = {
    "answer": "answered",
    "void": "took back an entry",
    "flown": "recorded a flight",
    "settings": "changed settings",
    "flag": "flagged a question",
    "note": "wrote a note",
    "oral": "marked a question of an oral",
}
_BY_NAME = {"settings", "flown", "oral"}


def when(at: int) -> str:
    """A moment, to the minute, in UTC."""
    return clock.iso_moment(at)[:16].replace("T", " ")


def row(known: Known) -> tuple[str, ...]:
    """A person in a list, under `HEAD`."""
    wish = _WISHES.get(known.wishes or "", "-")
    return (known.person.name, known.person.role, ", ".join(known.students) or "-", comes_by(known), wish)


def comes_by(known: Known) -> str:
    """By what a person comes in."""
    ways = [*(["password"] if known.password else []), *([many(known.keys, "key")] if known.keys else [])]
    return ", ".join(ways) or "invitation"


def about(known: Known) -> str:
    """A person in a line, behind the name."""
    what = f"{known.person.role} of {', '.join(known.students)}" if known.students else known.person.role
    return f"{what}, comes in by {comes_by(known)}"


def invitation(found: Invited, site: str) -> list[str]:
    """What a person is told who passes an invitation on."""
    person = found.known.person
    return [f"{person.name} ({person.role}) comes in once, within seven days, by:", address(found, site)]


def address(found: Invited, site: str) -> str:
    """The address of an invitation."""
    return f"{site.rstrip('/')}/invitation/{found.token}"


def act(one: Act) -> tuple[str, ...]:
    """What was done, under `LOG_HEAD`."""
    kind, _, what = one.what.partition(":")
    if kind == "person":
        said = _MADE.get(what, what)
    else:
        said = _ENTRIES.get(what, what) if kind == "entry" else _ACTS.get(one.what, one.what)
    who = one.who or (f"{TERMINAL}, said to be {one.said}" if one.said else TERMINAL)
    return (when(one.at), who, said, one.whom or "-")


def entry(one: Entry) -> tuple[str, ...]:
    """An entry of one's own log, under `ENTRY_HEAD`; the words are those of the log itself."""
    mark = "-" if one.right is None else "right" if one.right else "wrong"
    said = _said(one) or one.voids or "-"
    return (one.day.isoformat(), _ENTRIES[one.what], one.question or "-", said, one.confidence or "-", mark)


def _said(one: Entry) -> str:
    """What an entry gives; where that is several things by name, each behind its name: "minutes 20; target 0.9"."""
    text = one.given or ""
    try:
        things = json.loads(text) if one.what in _BY_NAME else None
    except ValueError:
        return text
    if not isinstance(things, dict):
        return text
    told = {name.replace("_", " "): _plain(thing) for name, thing in things.items()}
    return "; ".join(f"{name} {thing}" for name, thing in told.items() if thing)


def _plain(thing: object) -> str:
    if isinstance(thing, bool):
        return "yes" if thing else "no"
    return ", ".join(map(str, thing)) if isinstance(thing, list) else str(thing)


def acts(found: Sequence[Act]) -> list[tuple[str, ...]]:
    """Who did what, a row each, the newest first."""
    return [act(each) for each in reversed(found)]


SCHOOL_HEAD = ("School", "Students", "Entries")


def made(school: str) -> str:
    """That a school was made, and how to work in it."""
    return (
        f"Made the school {school}. To work in it, write ?school={school} behind the database: "
        f"--db DATABASE?school={school}"
    )


def school(row: School) -> tuple[str, ...]:
    """A school in a list, under `SCHOOL_HEAD`."""
    return (row.name, str(row.students), str(row.entries))
