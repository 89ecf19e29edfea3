"""Memory parameters that were adopted for a student: the newest set is in force, and none is ever changed or deleted.

Going back is adopting an older set again. Sets are not merged between devices: each fits its own.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from stickback import clock
from stickback.clock import Clock
from stickback.memory import curve
from stickback.memory.curve import DEFAULTS
from stickback.memory.curve import Parameters as Set
from stickback.store import people
from stickback.store.engine import Database
from stickback.store.tables import PARAMETERS, STUDENTS


@dataclass(frozen=True)
class Adopted:
    """A set as it was adopted.

    Args:
        parameters: the set; the defaults where the student went back to them.
        answers: how many graded answers there were then.
        at: moment in milliseconds since 1970, UTC.
    """

    parameters: Set
    answers: int
    at: int


@dataclass(frozen=True)
class Sets:
    """All that was adopted for a student, oldest first."""

    adopted: tuple[Adopted, ...] = ()

    @property
    def in_force(self) -> Set:
        """The set that the memory follows."""
        return self.adopted[-1].parameters if self.adopted else DEFAULTS

    @property
    def tried(self) -> int:
        """At how many graded answers a set was last fitted or gone back from; 0 when none ever was."""
        return self.adopted[-1].answers if self.adopted else 0

    @property
    def before(self) -> Set | None:
        """The set to go back to from the one in force; None when nothing was adopted over the defaults.

        A set adopted once more, or the one before it, are no steps of their own: going back twice goes back two steps.
        """
        steps = [DEFAULTS]
        for each in self.adopted:
            if each.parameters in steps[-2:-1]:
                steps.pop()
            elif each.parameters != steps[-1]:
                steps.append(each.parameters)
        return steps[-2] if len(steps) > 1 else None


def adopt(database: Database, student: str, parameters: Set, answers: int, now: Clock) -> None:
    """Puts a set in force for a student, on disk when this returns.

    Args:
        answers: how many graded answers there are now.
    Errors: ValueError for a set that the memory library would not take.
    """
    if not curve.usable(parameters):
        raise ValueError("no set of parameters")
    at = int(now.now.timestamp() * 1000)
    with database.writing() as connection:
        key = people.row_or_new(connection, student).key
        last = connection.scalar(sa.select(sa.func.max(PARAMETERS.c.id)).where(PARAMETERS.c.student == key))
        row = {"student": key, "id": _after(last, at), "at": at, "answers": answers, "values": _text(parameters)}
        connection.execute(sa.insert(PARAMETERS), row)


def adopted(database: Database, names: Iterable[str]) -> dict[str, Set]:
    """The set in force of each of these students: the defaults of those who have adopted none."""
    wanted = dict.fromkeys(names, DEFAULTS)
    for name, _, _, text in _rows(database):
        if name in wanted and (found := _set(text)) is not None:
            wanted[name] = found
    return wanted


def sets(database: Database, student: str) -> Sets:
    """All that was adopted for a student."""
    rows = [(_set(text), answers, at) for _, answers, at, text in _rows(database, student)]
    return Sets(tuple(Adopted(found, answers, at) for found, answers, at in rows if found is not None))


def damaged(database: Database) -> list[str]:
    """Students of whom a set cannot be read; the memory goes on with the newest that can."""
    return sorted({name for name, _, _, text in _rows(database) if _set(text) is None})


def _rows(database: Database, student: str | None = None) -> Sequence[Sequence[Any]]:
    columns = (STUDENTS.c.name, PARAMETERS.c.answers, PARAMETERS.c.at, PARAMETERS.c["values"])
    query = sa.select(*columns).join(STUDENTS, STUDENTS.c.key == PARAMETERS.c.student)
    if student is not None:
        query = query.where(STUDENTS.c.name == student)
    with database.reading() as connection:
        if connection is None:
            return []
        return connection.execute(query.order_by(PARAMETERS.c.student, PARAMETERS.c.id)).all()


def _text(parameters: Set) -> str:
    # The defaults are stored as none at all: what has no set of its own follows those of the program.
    return json.dumps([] if parameters == DEFAULTS else parameters)


def _set(text: object) -> Set | None:
    try:
        values = json.loads(str(text))
        found = tuple(float(value) for value in values) or DEFAULTS
    except (ValueError, TypeError, OverflowError, RecursionError):
        return None
    return found if isinstance(values, list) and curve.usable(found) else None


def _after(last: str | None, at: int) -> str:
    """An id that sorts behind all others, also under a clock that was put back: the newest wins."""
    return clock.uuid7(at if last is None else max(at, (UUID(last).int >> 80) + 1))
