"""Who may do what: one table of role and action, asked by whatever does something; what it does not hold is refused."""

from typing import Literal

from stickback import acting
from stickback.acting import Person, Role
from stickback.refused import Refused
from stickback.store import people, persons
from stickback.store.engine import Database

Action = Literal[
    "read",  # a student's own pages: today, lessons, progress
    "study",  # answer, take back, note, pass over
    "set",  # a student's settings
    "fly",  # record a lesson flown
    "report",  # a student's readiness, to print
    "handover",  # a student on one page for a new instructor
    "examine",  # put an oral
    "board",  # who needs what next
    "export",  # take the board along
    "course",  # the course with its answers
    "figures",  # how questions behave in everyone's answers
    "hand in",  # take in files of other devices
    "persons",  # who may come in, and who did what
    "self",  # one's own sign-in and data
]
# Whose: that of the student of one's own name; of those given to one too; of everyone.
Whose = Literal["own", "given", "all"]

MAY: dict[Role, dict[Action, Whose]] = {
    "student": {"read": "own", "study": "own", "set": "own", "fly": "own", "report": "own", "self": "own"},
    "instructor": {
        "read": "given",
        "study": "own",
        "set": "given",
        "fly": "given",
        "report": "given",
        "handover": "given",
        "examine": "given",
        "board": "given",
        "export": "given",
        "course": "all",
        "figures": "all",
        "self": "own",
    },
    "school": {
        "read": "all",
        "study": "own",
        "set": "all",
        "report": "all",
        "handover": "all",
        "board": "all",
        "export": "all",
        "course": "all",
        "figures": "all",
        "hand in": "all",
        "persons": "all",
        "self": "own",
    },
}


class Hidden(Refused):
    """What is not there for whoever asks, which is said in the words for what is not there at all."""

    def __init__(self) -> None:
        super().__init__("There is no such page.")


def may(action: Action) -> bool:
    """Whether the person who acts may do something at all, to whomever; at a terminal everything may be done."""
    person = acting.now()
    return person is None or action in MAY[person.role]


def check(store: Database, action: Action, student: str | None = None) -> None:
    """Refuses what the person who acts may not do.

    Errors: Hidden, also for a student who is not there.
    """
    person = acting.now()
    if person is None:
        return
    whose = MAY[person.role].get(action)
    if whose is None or (student is not None and not _reaches(store, person, whose, student)):
        raise Hidden


def _reaches(store: Database, person: Person, whose: Whose, student: str) -> bool:
    mine = whose == "all" or student in _theirs(store, person, whose)
    return mine and people.there(store, student)


def among(store: Database, action: Action) -> set[str]:
    """The students to whom the person who acts may do something; at a terminal everyone."""
    person, there = acting.now(), set(people.everyone(store))
    whose = "all" if person is None else MAY[person.role].get(action)
    if whose == "all" or person is None:
        return there
    return there & _theirs(store, person, whose)


def _theirs(store: Database, person: Person, whose: Whose | None) -> set[str]:
    if whose is None:
        return set()
    with store.reading() as connection:
        theirs = persons.given(connection, person.key) if connection is not None and whose == "given" else set()
    return {person.name} | theirs
