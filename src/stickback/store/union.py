"""Merging logs: a set union, so order and repetition do not matter; a person decides where two logs differ."""

from collections import defaultdict
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Literal

import sqlalchemy as sa

from stickback.memory import seal
from stickback.memory.entry import SEAL, Entry
from stickback.memory.seal import Place
from stickback.refused import Refused
from stickback.store import chain, people
from stickback.store.engine import Database
from stickback.store.people import Stone
from stickback.store.tables import ENTRIES, SEALS, Students

Keep = Literal["here", "there"]


@dataclass(frozen=True)
class Conflict:
    """One id with two contents.

    Args:
        here: as it is stored; None when both came in.
        there: as it came in: one or more.
    """

    student: str
    here: Entry | None
    there: tuple[Entry, ...]


@dataclass(frozen=True)
class Merged:
    """How many entries were new, how many were there already, and which are in conflict and were not taken."""

    new: int
    known: int
    conflicts: tuple[Conflict, ...] = ()


class _OnlyTried(Exception):  # noqa: N818 - it is no error
    """What came in is taken back, since it was only to be tried."""


def merge(
    database: Database,
    found: Iterable[tuple[str, Entry]],
    keep: Keep | None = None,
    *,
    dry: bool = False,
    back: bool = False,
) -> Merged:
    """Adds the entries that are not there yet, all or none.

    Args:
        keep: which of two contents to keep under one id; neither comes in without it.
        dry: only finds out what would happen.
        back: brings back students who were erased here.
    Errors: Refused for what is new of a student who was erased here, for a void that is voided, and for an entry that
        was changed after it was sealed.
    """
    by_student: dict[str, list[Entry]] = defaultdict(list)
    for student, entry in found:
        by_student[student].append(entry)
    new, known, conflicts = 0, 0, list[Conflict]()
    # Where a disk fills SQLite takes the whole back itself, and knows of no part that could be.
    with suppress(_OnlyTried), database.writing() as connection:
        stones = people.stones(connection)
        for student in sorted(by_student):
            row = people.row_or_new(connection, student, anew=True)
            there = chain.some(connection, row.key, list({entry.id for entry in by_student[student]}))
            parted = _parted(student, by_student[student], there, keep)
            if parted.fresh or parted.instead or not row.entries:  # none: nobody of that name is here
                _refuse_erased(connection, student, people.of_name(stones, student), back=back)
            _take(database, connection, row, parted)
            new, known = new + len(parted.fresh) + len(parted.instead), known + parted.known
            conflicts += parted.conflicts
        if dry:
            raise _OnlyTried
    return Merged(new, known, tuple(conflicts))


def _refuse_erased(connection: sa.Connection, student: str, stones: set[Stone], *, back: bool) -> None:
    """Lets nothing of a student who was erased come in again; or takes their tombstones away, in the same transaction.

    Also where somebody of that name began anew: what was erased would join their log.
    """
    if stones and not back:
        hint = "--bring-back takes in what the file holds, and nothing keeps the old log out from then on"
        raise Refused(f"{student} was erased here.", hint)
    people.take_away(connection, stones)


@dataclass
class _Parted:
    """What came in of one student.

    Args:
        fresh: what is new; `instead`: pairs of what is here and what is to stand in its place.
        given_up: of which only the seals are kept: known by another seal, or not kept in a conflict.
    """

    fresh: list[Entry] = field(default_factory=list)
    instead: list[tuple[Entry, Entry]] = field(default_factory=list)
    given_up: list[Entry] = field(default_factory=list)
    known: int = 0
    conflicts: list[Conflict] = field(default_factory=list)


def _parted(student: str, found: list[Entry], there: dict[str, Entry], keep: Keep | None) -> _Parted:
    parted = _Parted()
    by_id: dict[str, dict[Entry, Entry]] = defaultdict(dict)
    for entry in found:
        by_id[entry.id].setdefault(entry, entry)
    for name, contents in sorted(by_id.items()):
        here = there.get(name)
        same = contents.pop(here, None) if here else None
        if same:
            parted.known += 1
            parted.given_up += [same]
        others = tuple(contents.values())
        if not others:
            continue
        if here is None and len(others) == 1:
            parted.fresh += others
        elif here is None or keep is None or (keep == "there" and len(others) > 1):
            parted.conflicts.append(Conflict(student, here, others))
        elif keep == "there":
            parted.instead.append((here, others[0]))
        else:
            parted.given_up += others
    return parted


def _take(database: Database, connection: sa.Connection, row: Students, parted: _Parted) -> None:
    of_row = ENTRIES.c.student == row.key
    if parted.instead:
        # The one change of an entry that a person may ask for; the database is guarded again at once.
        database.dialect.remove(connection)
        for here, _ in parted.instead:
            connection.execute(sa.delete(ENTRIES).where(of_row, ENTRIES.c.id == here.id))
        database.dialect.install(connection)
        people.counted(connection, row.key, -len(parted.instead))
    coming = [*parted.fresh, *(entry for _, entry in parted.instead)]
    met: dict[Place, set[str]] = defaultdict(set)
    for table in (ENTRIES, SEALS):
        query = sa.select(table.c.device, table.c.number, table.c.seal).where(table.c.student == row.key)
        for device, number, each in connection.execute(query).all():
            met[device, number].add(each)
    spare = [entry for entry in (*parted.given_up, *(here for here, _ in parted.instead)) if entry.seal]
    spare = [entry for entry in spare if entry.seal not in met[seal.place(entry)]]
    for entry in (*coming, *spare):
        if entry.seal:
            met[seal.place(entry)].add(entry.seal)
    _refuse_changed(connection, row, coming, met)
    if spare:
        known = {(row.key, *seal.place(entry), entry.seal) for entry in spare}
        names = ("student", *SEAL)
        connection.execute(sa.insert(SEALS), [dict(zip(names, each, strict=True)) for each in sorted(known, key=str)])
    chain.add(connection, row, coming)


def _refuse_changed(connection: sa.Connection, row: Students, coming: list[Entry], met: dict[Place, set[str]]) -> None:
    """Neither what comes in nor what it comes before may be other than what was sealed."""
    places = {seal.place(entry) for entry in coming if entry.seal}
    query = sa.select(ENTRIES.c.id, ENTRIES.c.device, ENTRIES.c.number).where(ENTRIES.c.student == row.key)
    behind = [name for name, device, number in connection.execute(query).all() if (device, number - 1) in places]
    for entry in (*coming, *chain.some(connection, row.key, behind).values()):
        if entry.seal and seal.fits(entry, met) is False:
            raise Refused(f"The entry {entry.id} of {row.name} was changed after it was sealed.")
