"""The answer log: append and read."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from hashlib import sha256
from typing import Any

import numpy as np
import sqlalchemy as sa

from stickback import acting, clock
from stickback.memory import curve
from stickback.memory import entry as entries
from stickback.memory.columns import Columns
from stickback.memory.curve import Ints, Parameters
from stickback.memory.entry import Entry
from stickback.memory.past import History, Past, Row, past
from stickback.refused import Refused
from stickback.store import chain, people
from stickback.store.dialect import tuples
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, STUDENTS

_ROW = [ENTRIES.c[name] for name in Row._fields]
# Entries read at once: few, since to look for garbage among many rows takes a third longer.
_BLOCK = 3_000
_LATER = sa.select(sa.func.max(ENTRIES.c.day)).where(
    ENTRIES.c.student == sa.bindparam("of"), ENTRIES.c.what == "answer", ENTRIES.c.day > sa.bindparam("day")
)


def read(database: Database, student: str) -> Past:
    """What happened to a student so far."""
    with database.reading() as connection:
        if connection is None:
            return Past(())
        key = sa.select(STUDENTS.c.key).where(STUDENTS.c.name == student).scalar_subquery()
        return past(map(Row._make, tuples(connection, sa.select(*_ROW).where(ENTRIES.c.student == key))))


def append(database: Database, student: str, entry: Entry, *, anew: bool = False) -> Entry:
    """Stores an entry, on disk when this returns; an id that is there already changes nothing.

    Args:
        anew: a student is added, perhaps one who was erased before.
    Returns: the entry as stored, an answer one day behind the last with that day (a traveller).
    Errors: Refused when an answer lies further behind, naming what to undo, and for a student who was erased meanwhile;
        ValueError for what no log can hold.
    """
    (stored,) = append_all(database, [(student, entry)], anew=anew)
    return stored


def append_all(database: Database, found: Iterable[tuple[str, Entry]], *, anew: bool = False) -> list[Entry]:
    """Stores entries of several students, all or none; see `append`."""
    # By way of their lines, which refuse what could not be read back: no log holds what it cannot export.
    lawful = [entries.from_line(entries.as_line(student, entry)) for student, entry in found]
    with database.writing() as connection:
        return [_append(connection, student, entry, anew=anew) for student, entry in lawful]


def _append(connection: sa.Connection, student: str, entry: Entry, *, anew: bool) -> Entry:
    row = people.row_or_new(connection, student, anew=anew)
    if there := chain.some(connection, row.key, [entry.id]):
        return there[entry.id]
    if entry.what == "answer":
        entry = replace(entry, day=_study_day(connection, row.key, entry.day))
    if entry.what == "settings":
        _refuse_older(connection, row.key, entry.day)
    # Whoever was removed and studies again is listed again.
    (stored,) = chain.add(connection, row, [entry], acting.now(), hidden=False)
    return stored


def _study_day(connection: sa.Connection, key: int, day: date) -> date:
    later = {"of": key, "day": clock.day_number(day)}
    if connection.scalar(_LATER, later) is None:  # as nearly always; what is voided need not be looked for then
        return day
    number = connection.scalar(_LATER.where(~people.voided([key])), later)
    if number is None:
        return day
    last = clock.day_date(number)
    if clock.day_number(day) == number - 1:
        return last
    raise Refused(
        f"The last answer is dated {last}, after today ({day}): answer again from that day on.",
        "`stickback undo` takes it back if a wrong clock dated it",
    )


def _refuse_older(connection: sa.Connection, key: int, day: date) -> None:
    query = sa.select(sa.func.max(ENTRIES.c.day)).where(ENTRIES.c.student == key, ENTRIES.c.what == "settings")
    number = connection.scalar(query)
    if number is not None and clock.day_number(day) < number:
        raise Refused(f"The settings were last changed on {clock.day_date(number)}, after today ({day}).")


def entries_of(database: Database, student: str | None = None, on: date | None = None) -> Iterator[tuple[str, Entry]]:
    """Every entry with its student's name, sorted by name, study day and id.

    Args:
        student, on: keep to the entries of one student, or of one study day.
    """
    of_day = sa.true() if on is None else ENTRIES.c.day == clock.day_number(on)
    with database.reading() as connection:
        if connection is None:
            return
        named = sa.true() if student is None else STUDENTS.c.name == student
        students = sa.select(STUDENTS.c.key, STUDENTS.c.name).where(named).order_by(STUDENTS.c.name)
        for key, name in connection.execute(students).all():
            query = sa.select(*chain.ALL).where(ENTRIES.c.student == key, of_day).order_by(ENTRIES.c.day, ENTRIES.c.id)
            yield from ((name, chain.entry_of(row)) for row in connection.execute(query).all())


def lines(database: Database, student: str | None = None) -> Iterator[str]:
    """The lines of the log, as `merge` takes them; the same log gives the same lines but for who sealed them."""
    for name, entry in entries_of(database, student):
        yield entries.as_line(name, entry)


def fingerprint(database: Database, until: date | None = None, student: str | None = None) -> str:
    """One short text over all canonical lines: two devices with the same log have the same.

    Args:
        until: leaves out what is dated later.
        student: keeps to the lines of one student.
    """
    return fingerprints(entries_of(database, student), until)[None]


def fingerprints(found: Iterable[tuple[str, Entry]], until: date | None = None) -> dict[str | None, str]:
    """The fingerprint of the lines of each student by name, and of all together by None."""
    digests: dict[str | None, Any] = {None: sha256()}
    for name, entry in found:
        if until is None or entry.day <= until:
            line = entries.canonical(entry, name).encode() + b"\n"
            digests[None].update(line)
            digests.setdefault(name, sha256()).update(line)
    return {name: _short(digest.hexdigest()) for name, digest in digests.items()}


def _short(text: str) -> str:
    return "-".join(text[at : at + 4] for at in range(0, 16, 4))


def last_keys(database: Database) -> list[tuple[str, str]]:
    """Of each question that each student answered, the key that stood when they last did, as (question, key).

    Answers taken back, those stored before keys were, and students who were removed are left out.
    """
    with database.reading() as connection:
        if connection is None:
            return []
        last = sa.func.max(ENTRIES.c.id)
        query = (
            sa.select(ENTRIES.c.student, ENTRIES.c.question, ENTRIES.c.key)
            .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
            .where(ENTRIES.c.what == "answer", ENTRIES.c.key.is_not(None), ~STUDENTS.c.hidden, ~people.voided())
            .group_by(ENTRIES.c.student, ENTRIES.c.question, ENTRIES.c.key)
            .order_by(last)
        )
        keys = {(student, question): key for student, question, key in connection.execute(query)}
        return [(question, key) for (_, question), key in keys.items()]


def columns(database: Database, students: Mapping[str, Parameters]) -> Columns:
    """All answers of some students, in one pass over the log and without an object a row.

    Args:
        students: by name, each with the parameters adopted; their order is that of the places in the columns.
    """
    histories: dict[History, int] = {}
    parts: list[Ints] = [np.zeros((6, 0), dtype=np.int64)]
    with database.reading() as connection:
        if connection is not None:
            wanted = {name: number for number, name in enumerate(students)}
            asked = sa.select(STUDENTS.c.key, STUDENTS.c.name, STUDENTS.c.entries)
            rows = [row for some in people.named(list(students)) for row in connection.execute(asked.where(some))]
            place = {key: wanted[name] for key, name, _ in rows}
            blocks = _blocks({key: entries for key, _, entries in rows})
            parts.extend(_arrays(tuples(connection, _answers(block)), place, histories) for block in blocks)
    found = np.concatenate(parts, axis=1)
    student, history, day, grade, sure, milliseconds = found[:, np.argsort(found[0], kind="stable")]
    return Columns(
        histories=histories,
        student=student,
        history=history,
        day=day,
        grade=grade,
        sure=sure.astype(np.bool_),
        parameters=tuple(students.values()),
        seconds=milliseconds / 1000,
    )


def _blocks(entries: dict[int, int]) -> Iterator[list[int]]:
    """The keys of students in blocks that hold about `_BLOCK` entries each, ascending."""
    block, many = [], 0
    for key in sorted(entries):
        block.append(key)
        many += entries[key]
        if many >= _BLOCK or len(block) >= people.MOST:
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
    """The rows as arrays of student, history, day, grade, sure and milliseconds; histories not met before are added."""
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
        if connection is None:
            return {}
        for some in people.named(names):
            query = (
                sa.select(STUDENTS.c.name, *_ROW)
                .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
                .where(some, ENTRIES.c.what != "answer")
            )
            for name, *row in connection.execute(query):
                found.setdefault(name, []).append(Row._make(row))
    return {name: past(rows) for name, rows in found.items()}


def self_marked(database: Database, names: Sequence[str], until: date) -> dict[str, tuple[int, int]]:
    """Of the answers up to a day that each of these students marked alone, how many were right, and how many there are.

    Those taken back are left out.
    """
    found: dict[str, tuple[int, int]] = {}
    with database.reading() as connection:
        if connection is None:
            return {}
        for some in people.named(names):
            right = sa.func.sum(sa.case((ENTRIES.c.right, 1), else_=0))
            voided = people.voided(sa.select(STUDENTS.c.key).where(some))
            query = (
                sa.select(STUDENTS.c.name, right, sa.func.count())
                .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
                .where(some, ENTRIES.c.marked_by == "self")
                .where(ENTRIES.c.what == "answer", ENTRIES.c.day <= clock.day_number(until), ~voided)
                .group_by(STUDENTS.c.name)
            )
            found |= {name: (int(good), int(every)) for name, good, every in connection.execute(query)}
    return found
