"""Entries as rows: read back, sealed and added; the only place that inserts them."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

import sqlalchemy as sa

from stickback import clock
from stickback.acting import Person
from stickback.memory import seal
from stickback.memory.entry import FIELDS, Entry
from stickback.refused import Refused
from stickback.store import apart, people
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, INSTALLATIONS, STUDENTS, Students
from stickback.study.student import Student, with_settings

ALL = [ENTRIES.c[name] for name in FIELDS]
_SOME = 500  # ids that are asked for at once
_THOSE = sa.select(*ALL).where(
    ENTRIES.c.student == sa.bindparam("of"), ENTRIES.c.id.in_(sa.bindparam("ids", expanding=True))
)
_INSTALLATION = sa.select(sa.func.min(INSTALLATIONS.c.id))
_INSERTED = sa.insert(ENTRIES)


def installation(connection: sa.Connection) -> str:
    """The id of this installation."""
    return str(connection.scalar(_INSTALLATION))


def renew(database: Database) -> None:
    """Makes this a new installation: what it stores from now on begins new chains, as behind a copy it must.

    Every school of it is one of its own.
    """
    with database.writing("write all") as connection:
        for _ in apart.each(connection, database.dialect):
            connection.execute(sa.delete(INSTALLATIONS))
            install(connection)
            connection.execute(sa.update(STUDENTS).values(number=0, seal=""))


def install(connection: sa.Connection) -> None:
    """Gives the school of a transaction an installation of its own."""
    connection.execute(sa.insert(INSTALLATIONS), {"id": clock.uuid7(int(clock.machine_now().timestamp() * 1000))})


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry of a row.

    Errors: Refused for a row that no append or merge has written.
    """
    values = dict(zip(FIELDS, row, strict=True))
    try:
        values["day"] = clock.day_date(int(values["day"]))
        clock.iso_moment(int(values["at"]))
        return Entry(**values)
    except (ValueError, TypeError, OverflowError, OSError, Refused):
        raise Refused(f"The entry {values['id']} is damaged: it has a day or moment that cannot be.") from None


def some(connection: sa.Connection, key: int, ids: Sequence[str]) -> dict[str, Entry]:
    """Those of these entries of a student that are there, by id."""
    found: dict[str, Entry] = {}
    for start in range(0, len(ids), _SOME):
        rows = connection.execute(_THOSE, {"of": key, "ids": ids[start : start + _SOME]})
        found.update((row.id, entry_of(row)) for row in rows)
    return found


def add(
    connection: sa.Connection, row: Students, fresh: Iterable[Entry], by: Person | None = None, **changes: object
) -> list[Entry]:
    """Stores entries of a student, sealing those that bear no seal yet; gives them as stored.

    Args:
        by: who stores them, where somebody is signed in.
        changes: of the student's row, in the same breath.
    Errors: Refused for a void of a void, which would never have an effect.
    """
    fresh = list(fresh)
    _refuse_voided_voids(connection, row, fresh)
    device, number, last = installation(connection), row.number, row.seal
    stored = []
    for entry in sorted(fresh, key=lambda each: (each.number or 0, each.id)):
        if entry.seal is None:
            entry = seal.sealed(entry, device, number + 1, last)
            number, last = number + 1, entry.seal or ""
        elif seal.place(entry) == (device, number + 1) and seal.fits(entry, {(device, number): [last]}):
            number, last = number + 1, entry.seal
        stored.append(entry)
    if stored:
        connection.execute(_INSERTED, [_values(row.key, entry, by) for entry in stored])
        people.counted(connection, row.key, len(stored), number=number, seal=last, **changes)
    if any(entry.what == "settings" for entry in stored):
        _follow_settings(connection, row)
    return stored


def _refuse_voided_voids(connection: sa.Connection, row: Students, coming: list[Entry]) -> None:
    there = some(connection, row.key, [entry.voids for entry in coming if entry.voids])
    targets = {entry.voids for entry in coming}
    if any(entry.what == "void" for entry in coming):
        voids = sa.select(ENTRIES.c.voids).where(ENTRIES.c.student == row.key, ENTRIES.c.what == "void")
        targets |= set(connection.scalars(voids).all())
    wrong = [entry.id for entry in (*coming, *there.values()) if entry.what == "void" and entry.id in targets]
    if wrong:
        raise Refused(f"The entry {min(wrong)} of {row.name} is a void, which nothing can void.")


def newest_settings(connection: sa.Connection, row: Students) -> Student | None:
    """The student as the newest settings say; None where there are none.

    Errors: ValueError when they are no settings.
    """
    of = (ENTRIES.c.student == row.key, ENTRIES.c.what == "settings")
    given = connection.scalar(sa.select(ENTRIES.c.given).where(*of).order_by(*map(sa.desc, _NEWEST)).limit(1))
    return None if given is None else with_settings(row.name, str(given))


_NEWEST = (ENTRIES.c.day, ENTRIES.c.id)


def _follow_settings(connection: sa.Connection, row: Students) -> None:
    if (student := newest_settings(connection, row)) is not None:
        people.change(connection, row.key, **asdict(student))


def _values(key: int, entry: Entry, by: Person | None) -> dict[str, object]:
    values = {name: getattr(entry, name) for name in FIELDS}
    return {"student": key, **values, "day": clock.day_number(entry.day), "person": by.key if by else None}
