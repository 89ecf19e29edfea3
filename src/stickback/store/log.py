"""The answer log: append, read, merge. Nothing else touches entries."""

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import astuple, dataclass, replace
from datetime import date
from hashlib import sha256
from typing import TYPE_CHECKING

import numpy as np

from stickback import clock
from stickback.memory import entry as entries
from stickback.memory.columns import Columns
from stickback.memory.curve import Ints
from stickback.memory.entry import FIELDS, Entry
from stickback.memory.past import History, Past, Row, past
from stickback.refused import Refused
from stickback.store import people
from stickback.store.database import Database

if TYPE_CHECKING:
    from sqlmodel import Session

_ROW = ", ".join(f'"{name}"' for name in Row._fields)
_ALL = ", ".join(f'e."{name}"' for name in FIELDS)
_PLACES = ", ".join(["?"] * (len(FIELDS) + 1))
_INSERT = f"INSERT INTO entries (student, {', '.join(f'{chr(34)}{n}{chr(34)}' for n in FIELDS)}) VALUES ({_PLACES})"  # noqa: S608

_STORED = f"SELECT {_ALL} FROM entries e WHERE e.student = ? AND e.id = ?"  # noqa: S608
_CHUNK = 100_000
# The grade as `curve.grade` and `past.worth` give it, worked out where the rows are.
_ANSWERS = """
    SELECT student, question, variant, day,
        CASE WHEN (student, id) IN (SELECT student, voids FROM entries WHERE what = 'void') THEN 0
            WHEN NOT "right" THEN 1 WHEN hinted OR confidence = 'guess' THEN 2 ELSE 3 END,
        confidence = 'sure'
    FROM entries WHERE what = 'answer' AND student >= ? AND student <= ? ORDER BY student, id"""


def read(database: Database, student: str) -> Past:
    """What happened to a student so far."""
    with database.reading() as connection:
        if connection is None:
            return Past(())
        query = f"SELECT {_ROW} FROM entries WHERE student = (SELECT key FROM students WHERE name = ?)"  # noqa: S608
        return past(map(Row._make, connection.execute(query, (student,))))


def append(database: Database, student: str, entry: Entry) -> Entry:
    """Stores an entry, on disk when this returns; an id that is there already changes nothing.

    Returns: the entry as stored, an answer one day behind the last with that day (a traveller).
    Errors: Refused when an answer lies further behind, naming what to undo; ValueError for what no log can hold.
    """
    entries.from_line(entries.as_line(student, entry))
    with database.writing() as session:
        row = people.row_of(session, student)
        driver = _driver(session)
        if stored := driver.execute(_STORED, (row.key, entry.id)).fetchone():
            return _entry(stored)
        if entry.what == "answer":
            entry = replace(entry, day=_study_day(driver, row.key, entry.day))
        driver.execute(_INSERT, _values(row.key, entry))
        row.entries += 1
        row.hidden = False  # whoever was removed and studies again is listed again
        session.add(row)
    return entry


def _study_day(driver: sqlite3.Connection, key: int | None, day: date) -> date:
    query = """
        SELECT max(day) FROM entries WHERE student = :key AND what = 'answer'
        AND id NOT IN (SELECT voids FROM entries WHERE student = :key AND what = 'void')"""
    (number,) = driver.execute(query, {"key": key}).fetchone()
    if number is None or clock.day_number(day) >= number:
        return day
    last = clock.day_date(number)
    if clock.day_number(day) == number - 1:
        return last
    raise Refused(
        f"The last answer is dated {last}, after today ({day}); if a wrong clock dated it, take it back with "
        "`stickback undo`, else answer again from that day on."
    )


def _driver(session: "Session") -> sqlite3.Connection:
    driver = session.connection().connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)  # noqa: S101 - the engine is SQLite's
    return driver


def _values(key: int | None, entry: Entry) -> tuple[object, ...]:
    return (key, *(clock.day_number(value) if isinstance(value, date) else value for value in astuple(entry)))


def _entry(row: tuple[object, ...]) -> Entry:
    """The entry of a row.

    Errors: Refused for a row that no append or merge has written.
    """
    values = dict(zip(FIELDS, row, strict=True))
    try:
        values["day"] = clock.day_date(int(str(values["day"])))
        for name in ("hinted", "right"):
            if values[name] is not None:
                values[name] = bool(values[name])
        if not 0 <= int(str(values["at"])) < entries.LATEST:
            raise ValueError("no moment")
        return Entry(**values)  # type: ignore[arg-type]
    except (ValueError, TypeError, Refused):
        raise Refused(f"The entry {values['id']} is damaged: it has a day or moment that cannot be.") from None


def entries_of(database: Database, student: str | None = None) -> Iterator[tuple[str, Entry]]:
    """Every entry with its student's name, sorted by name, study day and id; of one student when that is given."""
    with database.reading() as connection:
        if connection is None:
            return
        query = f"""
            SELECT s.name, {_ALL} FROM entries e JOIN students s ON s.key = e.student
            WHERE :name IS NULL OR s.name = :name ORDER BY s.name, e.day, e.id"""  # noqa: S608
        for name, *row in connection.execute(query, {"name": student}):
            yield name, _entry(tuple(row))


def lines(database: Database, student: str | None = None) -> Iterator[str]:
    """The canonical lines of the log; the same log gives the same lines on every device."""
    for name, entry in entries_of(database, student):
        yield entries.as_line(name, entry)


def fingerprint(database: Database) -> str:
    """One short text over all canonical lines: two devices with the same log have the same."""
    digest = sha256()
    for line in lines(database):
        digest.update(line.encode() + b"\n")
    text = digest.hexdigest()[:16]
    return "-".join(text[at : at + 4] for at in range(0, 16, 4))


@dataclass(frozen=True)
class Merged:
    """How many entries of a file were new, and how many were there already."""

    new: int
    known: int


def merge(database: Database, found: Iterable[tuple[str, Entry]]) -> Merged:
    """Adds the entries that are not there yet, all or none: a set union, so order and repetition do not matter."""
    by_student: dict[str, dict[str, Entry]] = {}
    for student, entry in found:
        by_student.setdefault(student, {}).setdefault(entry.id, entry)
    new = 0
    with database.writing() as session:
        for student, wanted in by_student.items():
            row = people.row_of(session, student)
            driver = _driver(session)
            there = {name for (name,) in driver.execute("SELECT id FROM entries WHERE student = ?", (row.key,))}
            fresh = [each for name, each in wanted.items() if name not in there]
            driver.executemany(_INSERT, [_values(row.key, each) for each in fresh])
            row.entries += len(fresh)
            session.add(row)
            new += len(fresh)
    return Merged(new, sum(map(len, by_student.values())) - new)


def columns(database: Database, names: Sequence[str]) -> Columns:
    """All answers of these students, in one pass over the log and without an object a row."""
    histories: dict[History, int] = {}
    parts: list[Ints] = [np.zeros((5, 0), dtype=np.int64)]
    with database.reading() as connection:
        if connection is not None:
            keys = dict(connection.execute("SELECT key, name FROM students").fetchall())
            place = {key: names.index(name) for key, name in keys.items() if name in set(names)}
            cursor = connection.execute(_ANSWERS, (min(place, default=0), max(place, default=0)))
            while rows := cursor.fetchmany(_CHUNK):
                parts.append(_arrays(rows, place, histories))
    found = np.concatenate(parts, axis=1)
    found = found[:, found[0] >= 0]
    return Columns(histories, found[0], found[1], found[2], found[3], found[4].astype(np.bool_))


def _arrays(
    rows: list[tuple[int, str, str, int, int, int]], place: dict[int, int], histories: dict[History, int]
) -> Ints:
    student, question, variant, day, grade, sure = zip(*rows, strict=True)
    return np.array(
        [
            [place.get(key, -1) for key in student],
            [histories.setdefault(each, len(histories)) for each in zip(question, variant, strict=True)],
            day,
            grade,
            sure,
        ],
        dtype=np.int64,
    )
