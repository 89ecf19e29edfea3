"""What only the rows themselves show: rows that no append or merge has written, heads of chains, orphans.

Rows that cannot be read are found when something that reads them fails, and named. SQLite takes any value in any
column, so whoever writes into the file by other means, or a failing disk, can leave what the program cannot read.
Looking at every value on every reading would make each of them slower.
"""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from datetime import date
from typing import Any, get_args

import sqlalchemy as sa

from stickback.acting import Role
from stickback.memory import entry as entries
from stickback.refused import Refused
from stickback.store import chain, parameters
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, INSTALLATIONS, PARAMETERS, PERSONS, SEALS, STUDENTS, Students
from stickback.study.student import Student, settings_text, with_settings

_TABLES = STUDENTS.metadata.sorted_tables
_WIDE = 2**62  # half of what fits: what is counted can still be counted on
_SHOWN = 40  # characters of a value


def first(database: Database) -> str | None:
    """The first damaged row in a sentence; None where every row can be read.

    Errors: Refused when the database cannot be read at all.
    """
    return next(itertools.chain(_rows(database, _TABLES), _orphans(database)), None)


def behind(database: Database) -> str | None:
    """What may lie behind a failure: the first damaged row, or why nothing can be read; None where all is sound."""
    try:
        return first(database)
    except Refused as refused:
        return refused.message


def _orphans(database: Database) -> Iterator[str]:
    with database.reading() as connection:
        if connection is not None and database.dialect.orphans(connection):
            yield "The database holds rows without what they belong to; put back a copy of it."


def _rows(database: Database, tables: Sequence[sa.Table]) -> Iterator[str]:
    with database.reading() as connection:
        if connection is None:
            return
        _take_any_text(connection)
        names: dict[object, object] = {}
        for table in tables:
            rows = connection.execute(sa.select(*map(_as_stored, table.c))).all()
            if table is STUDENTS:
                names = {row.key: row.name for row in rows}
            if table is INSTALLATIONS and len(rows) != 1:
                yield f"The table installations holds {len(rows)} rows instead of one."
            for row in rows:
                if said := _wrong(table, row):
                    yield f"{_named(table, row, names)} is damaged: {said}."


def _as_stored(column: sa.Column[Any]) -> sa.ColumnElement[Any]:
    """The value as the driver gives it; days as text, since no driver has a day beyond all days."""
    is_date = isinstance(column.type, sa.Date)
    plain = sa.cast(column, sa.Text) if is_date else sa.type_coerce(column, sa.types.NullType())
    return plain.label(column.name)


def _take_any_text(connection: sa.Connection) -> None:
    """Text that is none comes as such, so that it can be named."""
    driver: Any = connection.connection.driver_connection
    if hasattr(driver, "text_factory"):
        driver.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")


def _named(table: sa.Table, row: sa.Row[Any], names: dict[object, object]) -> str:
    if table is STUDENTS:
        return f"The student {_short(row.name)}"
    if table is ENTRIES:
        return f"The entry {_short(row.id)} of {_short(names.get(row.student, row.student))}"
    return f"A row of the table {table.name} ({', '.join(map(_short, row[1:3]))})"


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= _SHOWN and text.isprintable() else ascii(text[:_SHOWN])


def _wrong(table: sa.Table, row: Sequence[Any]) -> str:
    """What is wrong with a row; empty when nothing is."""
    values = dict(zip(table.c.keys(), row, strict=True))
    for column in table.c:
        if not _can_be(column, values[column.name]):
            return f"its '{column.name}' cannot be {_short(repr(values[column.name]))}"
    try:
        if table is ENTRIES:
            found = chain.entry_of([values[name] for name in entries.FIELDS])
            return entries.unlawful(entries.from_line(entries.as_line("x", _typed(found)))[1])
        if table is STUDENTS:
            return _student(values)
        if table is PERSONS and values["role"] not in get_args(Role):
            return f"its 'role' cannot be {_short(repr(values['role']))}"
    except Refused:
        return "it has a day or moment that cannot be"
    except (ValueError, TypeError, OverflowError) as error:
        return str(error)
    return ""


def _typed(found: entries.Entry) -> entries.Entry:
    """With truth as truth, where the driver gives numbers."""
    hinted, right = (None if each is None else bool(each) for each in (found.hinted, found.right))
    return replace(found, hinted=hinted, right=right)


def _student(values: dict[str, Any]) -> str:
    given = {name: values[name] for name in Student.__dataclass_fields__}
    for name in ("checkride", "next_on"):
        given[name] = date.fromisoformat(given[name]) if isinstance(given[name], str) else given[name]
    given["abroad"] = bool(given["abroad"])
    with_settings("x", settings_text(Student(**given)))
    if not given["name"].isprintable() or not given["name"].strip():
        return "its name cannot be shown"
    return ""


def _can_be(column: sa.Column[Any], value: object) -> bool:
    """Whether a column can hold a value."""
    kind = column.type.python_type
    if value is None:
        return bool(column.nullable)
    if kind is bool:
        return value in (0, 1)
    if kind is int:
        return isinstance(value, int) and not isinstance(value, bool) and -_WIDE <= value < _WIDE
    if kind is float:
        return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    if kind is date:
        return isinstance(value, date) or (isinstance(value, str) and _is_date(value))
    return isinstance(value, str) and not any("\ud800" <= each <= "\udfff" for each in value)


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).year >= 1
    except ValueError:
        return False


# What `log verify` looks at beside the entries


def own(database: Database) -> str:
    """The id of this installation; empty where nothing is stored yet."""
    with database.reading() as connection:
        return "" if connection is None else chain.installation(connection)


def seals(database: Database) -> dict[str, list[tuple[str, int, str]]]:
    """Installation, number and seal of what stands on no entry here, by student."""
    found: dict[str, list[tuple[str, int, str]]] = {}
    with database.reading() as connection:
        if connection is not None:
            columns = (STUDENTS.c.name, SEALS.c.device, SEALS.c.number, SEALS.c.seal)
            query = sa.select(*columns).join(STUDENTS, STUDENTS.c.key == SEALS.c.student)
            for name, *rest in connection.execute(query).all():
                found.setdefault(name, []).append((rest[0], rest[1], rest[2]))
    return found


def heads(database: Database, by_student: dict[str, list[entries.Entry]]) -> Iterator[str]:
    """Students of whom the last entries that this installation stored are not there."""
    with database.reading() as connection:
        if connection is None:
            return
        device = chain.installation(connection)
        for name, number, seal in connection.execute(sa.select(STUDENTS.c.name, STUDENTS.c.number, STUDENTS.c.seal)):
            of_ours = [each for each in by_student.get(name, []) if each.device == device]
            if number and not any((each.number, each.seal) == (number, seal) for each in of_ours):
                yield f"{name}: number {number} of this installation, its last, is missing"


def rows(database: Database) -> Iterator[str]:
    """Damaged rows beside the entries, rows without what they belong to, settings that the log does not give, sets that
    cannot be.
    """
    said = list(_rows(database, [table for table in _TABLES if table is not ENTRIES]))
    yield from said
    yield from list(_of_nobody(database)) or _orphans(database)
    with database.reading() as connection:
        if connection is None:
            return
        for found in [] if said else connection.execute(sa.select(STUDENTS)).all():
            yield from _settings(connection, Students(**found._mapping))
    for student in parameters.damaged(database):
        yield f"{student}: an adopted set of parameters cannot be read"


def _of_nobody(database: Database) -> Iterator[str]:
    with database.reading() as connection:
        if connection is None:
            return
        for table in (ENTRIES, PARAMETERS, SEALS):
            there = sa.select(STUDENTS.c.key)
            for key in connection.scalars(sa.select(table.c.student).where(table.c.student.not_in(there)).distinct()):
                yield f"{table.name}: rows of a student {key} who is not there"


def _settings(connection: sa.Connection, row: Students) -> Iterator[str]:
    try:
        said = chain.newest_settings(connection, row)
    except ValueError as error:
        yield f"{row.name}: {error}"
        return
    if said is not None:
        for name, value in asdict(said).items():
            if getattr(row, name) != value:
                yield f"{row.name}: {name} is {getattr(row, name)}, and the log says {value}"
