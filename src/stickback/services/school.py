"""The schools of one database: each has its own students, answers and persons, and sees no other."""

from dataclasses import dataclass

from stickback.store import people, schools
from stickback.store.engine import Database


@dataclass(frozen=True)
class School:
    """A school, and how much is in it."""

    name: str
    students: int
    entries: int


def add(store: Database, name: str) -> None:
    """Makes a school, in which nobody is yet.

    Errors: Refused for a name that there is already, or that cannot stand in a URL.
    """
    schools.add(store, name)


def listed(store: Database) -> list[School]:
    """The schools of a database, the first one first."""
    counts = [(school.school, people.counts(school)) for school in schools.everyone(store)]
    return [School(name, len(each), sum(each.values())) for name, each in counts]
