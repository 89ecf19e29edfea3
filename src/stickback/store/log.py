"""The answer log: append, read, merge. Nothing else touches entries."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from hashlib import sha256
from typing import Any

import numpy as np
import sqlalchemy as sa

from stickback import clock
from stickback.memory import curve
from stickback.memory import entry as entries
from stickback.memory.columns import Columns
from stickback.memory.curve import Ints
from stickback.memory.entry import FIELDS, Entry
from stickback.memory.past import History, Past, Row, past
from stickback.refused import Refused
from stickback.store import people
from stickback.store.engine import Database, tuples
from stickback.store.tables import ENTRIES, STUDENTS

_ROW = [ENTRIES.c[name] for name in Row._fields]
_ALL = [ENTRIES.c[name] for name in FIELDS]
_BLOCK, _MOST = 100_000, 1_000  # entries and students that are read at once


def read(database: Database, student: str) -> Past:
    """What happened to a student so far."""
    with database.reading() as connection:
        if connection is None:
            return Past(())
        key = sa.select(STUDENTS.c.key).where(STUDENTS.c.name == student).scalar_subquery()
        return past(map(Row._make, tuples(connection, sa.select(*_ROW).where(ENTRIES.c.student == key))))


def append(database: Database, student: str, entry: Entry) -> Entry:
    """Stores an entry, on disk when this returns; an id that is there already changes nothing.

    Returns: the entry as stored, an answer one day behind the last with that day (a traveller).
    Errors: Refused when an answer lies further behind, naming what to undo; ValueError for what no log can hold.
    """
    entries.from_line(entries.as_line(student, entry))
    with database.writing() as connection:
        key = people.row_of(connection, student).key
        stored = connection.execute(sa.select(*_ALL).where(ENTRIES.c.student == key, ENTRIES.c.id == entry.id)).first()
        if stored is not None:
            return _entry(stored)
        if entry.what == "answer":
            entry = replace(entry, day=_study_day(connection, key, entry.day))
        connection.execute(sa.insert(ENTRIES), _values(key, entry))
        people.counted(connection, key, 1, hidden=False)  # whoever was removed and studies again is listed again
    return entry


def _study_day(connection: sa.Connection, key: int, day: date) -> date:
    query = sa.select(sa.func.max(ENTRIES.c.day)).where(
        ENTRIES.c.student == key, ENTRIES.c.what == "answer", ~people.voided([key])
    )
    number = connection.scalar(query)
    if number is None or clock.day_number(day) >= number:
        return day
    last = clock.day_date(number)
    if clock.day_number(day) == number - 1:
        return last
    raise Refused(
        f"The last answer is dated {last}, after today ({day}); if a wrong clock dated it, take it back with "
        "`stickback undo`, else answer again from that day on."
    )


def _values(key: int, entry: Entry) -> dict[str, object]:
    return {"student": key, **asdict(entry), "day": clock.day_number(entry.day)}


def _entry(row: Sequence[Any]) -> Entry:
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
        return Entry(**values)
    except (ValueError, TypeError, Refused):
        raise Refused(f"The entry {values['id']} is damaged: it has a day or moment that cannot be.") from None


def entries_of(database: Database, student: str | None = None) -> Iterator[tuple[str, Entry]]:
    """Every entry with its student's name, sorted by name, study day and id; of one student when that is given."""
    with database.reading() as connection:
        if connection is None:
            return
        students = sa.select(STUDENTS.c.key, STUDENTS.c.name).order_by(STUDENTS.c.name)
        for key, name in connection.execute(students).all():
            if student in {None, name}:
                query = sa.select(*_ALL).where(ENTRIES.c.student == key).order_by(ENTRIES.c.day, ENTRIES.c.id)
                yield from ((name, _entry(row)) for row in connection.execute(query).all())


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
    with database.writing() as connection:
        for student, wanted in by_student.items():
            key = people.row_of(connection, student).key
            there = set(connection.scalars(sa.select(ENTRIES.c.id).where(ENTRIES.c.student == key)))
            fresh = [_values(key, each) for name, each in wanted.items() if name not in there]
            if fresh:
                connection.execute(sa.insert(ENTRIES), fresh)
                people.counted(connection, key, len(fresh))
            new += len(fresh)
    return Merged(new, sum(map(len, by_student.values())) - new)


def columns(database: Database, names: Sequence[str]) -> Columns:
    """All answers of these students, in one pass over the log and without an object a row."""
    histories: dict[History, int] = {}
    parts: list[Ints] = [np.zeros((6, 0), dtype=np.int64)]
    with database.reading() as connection:
        if connection is not None:
            wanted = {name: number for number, name in enumerate(names)}
            students = connection.execute(sa.select(STUDENTS.c.key, STUDENTS.c.name, STUDENTS.c.entries)).all()
            place = {key: wanted[name] for key, name, _ in students if name in wanted}
            blocks = _blocks({key: entries for key, _, entries in students if key in place})
            parts.extend(_arrays(tuples(connection, _answers(block)), place, histories) for block in blocks)
    found = np.concatenate(parts, axis=1)
    found = found[:, np.argsort(found[0], kind="stable")]
    sure, seconds = found[4].astype(np.bool_), found[5] / 1000
    return Columns(
        histories=histories,
        student=found[0],
        history=found[1],
        day=found[2],
        grade=found[3],
        sure=sure,
        seconds=seconds,
    )


def _blocks(entries: dict[int, int]) -> Iterator[list[int]]:
    """The keys of students in blocks that hold about `_BLOCK` entries each, ascending."""
    block, many = [], 0
    for key in sorted(entries):
        block.append(key)
        many += entries[key]
        if many >= _BLOCK or len(block) >= _MOST:
            yield block
            block, many = [], 0
    if block:
        yield block


def _answers(students: Sequence[int]) -> sa.Select[Any]:
    names = ("student", "question", "variant", "day", "right", "hinted", "confidence", "seconds")
    return (
        sa.select(*(ENTRIES.c[name] for name in names), people.voided(students))
        .where(ENTRIES.c.what == "answer", ENTRIES.c.student.in_(students))
        .order_by(ENTRIES.c.student, ENTRIES.c.id)
    )


def _arrays(rows: Sequence[Sequence[Any]], place: dict[int, int], histories: dict[History, int]) -> Ints:
    if not rows:
        return np.zeros((6, 0), dtype=np.int64)
    student, question, variant, day, right, hinted, confidence, seconds, voided = zip(*rows, strict=True)
    said = np.array(confidence)
    return np.array(
        [
            [place[key] for key in student],
            [histories.setdefault(each, len(histories)) for each in zip(question, variant, strict=True)],
            day,
            curve.grade(right=right, hinted=hinted, confidence=said, voided=voided),
            said == "sure",
            [int(1000 * (each or 0)) for each in seconds],
        ],
        dtype=np.int64,
    )


def besides(database: Database, names: Sequence[str]) -> dict[str, Past]:
    """What happened to each of these students besides answers: lessons flown, orals, and what was taken back."""
    found: dict[str, list[Row]] = {}
    with database.reading() as connection:
        for at in range(0, len(names) if connection is not None else 0, _MOST):
            query = (
                sa.select(STUDENTS.c.name, *_ROW)
                .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
                .where(STUDENTS.c.name.in_(names[at : at + _MOST]), ENTRIES.c.what != "answer")
            )
            for name, *row in connection.execute(query) if connection is not None else ():
                found.setdefault(name, []).append(Row._make(row))
    return {name: past(rows) for name, rows in found.items()}
