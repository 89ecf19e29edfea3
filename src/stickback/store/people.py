"""Students and their settings on disk."""

import sqlite3
from dataclasses import asdict, fields
from datetime import date
from typing import TYPE_CHECKING, Any

from stickback import clock
from stickback.refused import Refused
from stickback.store import guards
from stickback.store.database import Database
from stickback.study.student import ME, Student

if TYPE_CHECKING:
    from sqlmodel import Session

    from stickback.store.tables import Students

_SETTINGS = tuple(field.name for field in fields(Student))
_COLUMNS = ", ".join(_SETTINGS)
_DATES = ("checkride", "next_on")


def everyone(database: Database, *, hidden: bool = False) -> dict[str, Student]:
    """The students by name, in the order of their names; those removed only on request."""
    with database.reading() as connection:
        if connection is None:
            return {}
        query = f"SELECT {_COLUMNS} FROM students WHERE hidden = ? ORDER BY name"  # noqa: S608 - column names of ours
        return {row[0]: _student(row) for row in connection.execute(query, (hidden,))}


def find(database: Database, name: str) -> Student:
    """The student of a name; `me` exists without asking.

    Errors: Refused when there is none, saying who there is.
    """
    there = everyone(database)
    if name in there:
        return there[name]
    if name == ME:
        return Student(ME)
    names = ", ".join(there) or "no one yet"
    raise Refused(f"There is no student '{name}' (there is: {names}); `stickback student add` adds one.")


def save(database: Database, student: Student) -> bool:
    """Stores a student's settings, adding or bringing back the student; True when one was brought back."""
    with database.writing() as session:
        row = row_of(session, student.name)
        back = row.hidden
        row.hidden = False
        for name, value in asdict(student).items():
            setattr(row, name, value)
        session.add(row)
        return back


def hide(database: Database, name: str) -> int:
    """Removes a student from every list, keeping the entries; gives their number."""
    with database.writing() as session:
        row = row_of(session, name)
        row.hidden = True
        session.add(row)
        return row.entries


def erase(database: Database, name: str) -> int:
    """Deletes a student with every entry in one transaction; gives the number of entries.

    The one exception to append-only, for a student's own request.
    """
    with database.writing() as session:
        key = row_of(session, name).key
        driver = session.connection().connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)  # noqa: S101 - the engine is SQLite's
        guards.remove(driver)
        gone = driver.execute("DELETE FROM entries WHERE student = ?", (key,)).rowcount
        driver.execute("DELETE FROM parameters WHERE student = ?", (key,))
        driver.execute("DELETE FROM students WHERE key = ?", (key,))
        guards.install(driver)
        return gone


def row_of(session: "Session", name: str) -> "Students":
    """The row of a student inside a transaction, made when there is none."""
    from sqlmodel import select

    from stickback.store.tables import Students

    row = session.exec(select(Students).where(Students.name == name)).first()
    if row is None:
        row = Students(name=name)
        session.add(row)
        session.flush()
    return row


def _student(row: tuple[object, ...]) -> Student:
    values = dict(zip(_SETTINGS, row, strict=True))
    for name in _DATES:
        if values[name] is not None:
            values[name] = date.fromisoformat(str(values[name]))
    return Student(**values)  # type: ignore[arg-type]


def counts(database: Database) -> dict[str, int]:
    """How many entries each student's log holds, by the counter that every append and merge moves."""
    return {name: int(number) for name, number in _pairs(database, "SELECT name, entries FROM students")}


def last_days(database: Database) -> dict[str, date]:
    """The study day of each student's last answer."""
    query = """
        SELECT s.name, max(e.day) FROM entries e JOIN students s ON s.key = e.student
        WHERE e.what = 'answer'
            AND (e.student, e.id) NOT IN (SELECT student, voids FROM entries WHERE what = 'void')
        GROUP BY s.name"""
    return {name: clock.day_date(int(number)) for name, number in _pairs(database, query)}


def _pairs(database: Database, query: str) -> list[tuple[str, Any]]:
    with database.reading() as connection:
        return [] if connection is None else connection.execute(query).fetchall()
