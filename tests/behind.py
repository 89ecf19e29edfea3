"""What tests write into a database behind its log, and see there past what is shown."""

from collections.abc import Iterable
from dataclasses import asdict

from stickback.store import people
from stickback.store.engine import Database
from stickback.study.student import Student


def put(store: Database, student: Student) -> None:
    """Puts a student there with settings that no entry says, or changes them."""
    with store.writing() as connection:
        row = people.row_or_new(connection, student.name, anew=True)
        people.change(connection, row.key, hidden=False, **asdict(student))


def erased(store: Database, names: Iterable[str]) -> set[str]:
    """Those of these names under which somebody was erased."""
    with store.reading() as connection:
        return set() if connection is None else people.under(people.stones(connection), names)
