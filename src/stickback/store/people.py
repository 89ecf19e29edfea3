"""Students and their settings on disk."""

from collections.abc import Sequence
from dataclasses import asdict, fields
from datetime import date
from typing import Any

import sqlalchemy as sa

from stickback import clock
from stickback.refused import Refused
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, PARAMETERS, STUDENTS, Students
from stickback.study.student import ME, Student

_SETTINGS = [STUDENTS.c[field.name] for field in fields(Student)]


def everyone(database: Database, *, hidden: bool = False) -> dict[str, Student]:
    """The students by name, in the order of their names; those removed only on request."""
    with database.reading() as connection:
        if connection is None:
            return {}
        query = sa.select(*_SETTINGS).where(STUDENTS.c.hidden == hidden).order_by(STUDENTS.c.name)
        return {row.name: Student(**row._mapping) for row in connection.execute(query)}


def find(database: Database, name: str) -> Student:
    """The student of a name; `me` exists without asking.

    Errors: Refused when there is none, saying who there is.
    """
    there = everyone(database)
    if name in there:
        return there[name]
    if name == ME:
        return Student(name=ME)
    names = ", ".join(there) or "no one yet"
    raise Refused(f"There is no student '{name}' (there is: {names}); `stickback student add` adds one.")


def save(database: Database, student: Student) -> bool:
    """Stores a student's settings, adding or bringing back the student; True when one was brought back."""
    with database.writing() as connection:
        row = row_of(connection, student.name)
        _update(connection, row.key, hidden=False, **asdict(student))
        return row.hidden


def hide(database: Database, name: str) -> int:
    """Removes a student from every list, keeping the entries; gives their number."""
    with database.writing() as connection:
        row = row_of(connection, name)
        _update(connection, row.key, hidden=True)
        return row.entries


def erase(database: Database, name: str) -> int:
    """Deletes a student with every entry in one transaction; gives the number of entries.

    The one exception to append-only, for a student's own request.
    """
    with database.writing() as connection:
        key = row_of(connection, name).key
        database.dialect.remove(connection)
        gone = connection.execute(sa.delete(ENTRIES).where(ENTRIES.c.student == key)).rowcount
        connection.execute(sa.delete(PARAMETERS).where(PARAMETERS.c.student == key))
        connection.execute(sa.delete(STUDENTS).where(STUDENTS.c.key == key))
        database.dialect.install(connection)
        return gone


def row_of(connection: sa.Connection, name: str) -> Students:
    """The row of a student inside a transaction, made when there is none."""
    query = sa.select(STUDENTS).where(STUDENTS.c.name == name)
    found = connection.execute(query).first()
    if found is None:
        connection.execute(sa.insert(STUDENTS).values(Students(name=name).model_dump(exclude={"key"})))
        found = connection.execute(query).one()
    return Students(**found._mapping)


def counted(connection: sa.Connection, key: int, more: int, **changes: object) -> None:
    """Moves the counter of a student's entries, and settings with it."""
    _update(connection, key, entries=STUDENTS.c.entries + more, **changes)


def _update(connection: sa.Connection, key: int, **changes: object) -> None:
    connection.execute(sa.update(STUDENTS).where(STUDENTS.c.key == key).values(**changes))


def counts(database: Database) -> dict[str, int]:
    """How many entries each student's log holds, by the counter that every append and merge moves."""
    return _numbers(database, sa.select(STUDENTS.c.name, STUDENTS.c.entries))


def last_days(database: Database) -> dict[str, date]:
    """The study day of each student's last answer."""
    query = (
        sa.select(STUDENTS.c.name, sa.func.max(ENTRIES.c.day))
        .join(ENTRIES, ENTRIES.c.student == STUDENTS.c.key)
        .where(ENTRIES.c.what == "answer", ~voided())
        .group_by(STUDENTS.c.name)
    )
    return {name: clock.day_date(number) for name, number in _numbers(database, query).items()}


def voided(students: Sequence[int] | None = None) -> sa.ColumnElement[bool]:
    """Whether an entry, of one of these students, is voided by some other of the same."""
    void = sa.select(ENTRIES.c.student, ENTRIES.c.voids).where(ENTRIES.c.what == "void")
    if students is not None:
        void = void.where(ENTRIES.c.student.in_(students))
    return sa.tuple_(ENTRIES.c.student, ENTRIES.c.id).in_(void)


def _numbers(database: Database, query: sa.Select[Any]) -> dict[str, int]:
    with database.reading() as connection:
        return {} if connection is None else {name: int(number) for name, number in connection.execute(query).all()}
