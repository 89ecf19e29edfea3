"""A whole database in one file, and back: the file is a database of its own, whichever engine it was saved from."""

import tempfile
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import sqlalchemy as sa

from stickback import clock
from stickback.refused import Refused
from stickback.store import apart, chain, files, people, persons, sessions
from stickback.store.dialect import Dialect
from stickback.store.engine import Database
from stickback.store.people import Stone
from stickback.store.sqlite import SQLite
from stickback.store.tables import PERSONS, SCHOOLS, STUDENTS

_ROWS = 5_000  # that are carried over at once
_TABLES = [table for table in SCHOOLS.metadata.sorted_tables if table is not SCHOOLS]


def save(database: Database, file: Path) -> None:
    """Saves everything of a database, with all its schools, in use or not, as it is at one moment.

    Errors: Refused when there is nothing to save, and for a file that is there already or cannot be written.
    """
    with database.reading() as connection:
        if connection is None:
            raise Refused(f"There is no database {database.name} yet, so nothing to back up.")
    with _said(file), files.whole(file) as unfinished:
        if isinstance(database.dialect, SQLite):
            database.save(unfinished)
        else:
            copy = Database(SQLite(unfinished))
            copy.upgrade()
            _pour(database, copy)


@contextmanager
def coming(file: Path) -> Iterator[Database]:
    """What a backup holds, in a copy of the newest schema that may be put in the place of a database; gone afterwards.

    It is a new installation: what is stored from now on begins new chains, since others may know how the old ones went
    on. Nobody is signed in any more.

    Errors: Refused when the file is no database of ours.
    """
    if not file.exists():
        raise Refused(f"There is no file {file}.")
    with tempfile.TemporaryDirectory(prefix="stickback-") as folder:
        copy = Path(folder) / file.name
        files.private(copy)
        Database(SQLite(file)).save(copy)
        made = Database(SQLite(copy))
        made.settle()
        chain.renew(made)
        sessions.end_all(made)
        yield made


def erased_since(database: Database, copy: Database) -> list[str]:
    """Who is in a copy and was erased from the database after it was made, as far as that can still be read."""
    found: set[str] = set()
    with suppress(Refused), database.reading() as here, copy.reading() as there:
        if here is not None and there is not None:
            gone = _gone(here, database.dialect)
            for school in apart.each(there, copy.dialect):
                found |= people.under(_later(there, gone[school][0]), _names(there))
    return sorted(found)


def _gone(connection: sa.Connection, dialect: Dialect) -> dict[int, tuple[set[Stone], set[str]]]:
    """Of each school the tombstones, and the names, as they read alike, of who was shut out."""
    found: dict[int, tuple[set[Stone], set[str]]] = defaultdict(lambda: (set(), set()))
    for school in apart.each(connection, dialect):
        found[school] = people.stones(connection), persons.shut_out(connection)
    return found


def _later(copy: sa.Connection, stones: set[Stone]) -> set[Stone]:
    """Those that a copy does not have; beside the others somebody began anew."""
    there = {salt for salt, _ in people.stones(copy)}
    return {(salt, digest) for salt, digest in stones if salt not in there}


def _names(connection: sa.Connection) -> list[str]:
    return [name for table in (STUDENTS, PERSONS) for name in connection.scalars(sa.select(table.c.name))]


def put_back(database: Database, copy: Database) -> str | None:
    """Puts a copy in the place of a database, with all schools of either.

    Tombstones of who is not in the copy stay, and whoever was shut out stays so.

    Returns: where what was there before is kept, if anything was.

    What can still be read is replaced in one transaction, so that whoever has it open goes on with the new; a damaged
    file is moved aside.

    Errors: Refused when the database is in use or cannot be written.
    """
    mark = f"before-restore-{clock.machine_now():%Y%m%d-%H%M%S}"
    kept = database.keep(mark) if database.dialect.exists() else None
    database.prepare()
    _pour(copy, database)
    return kept


def _pour(source: Database, target: Database) -> None:
    """Every row of one database into another, which then holds no other."""
    with source.reading() as old, target.writing("write all") as new:
        assert old is not None  # noqa: S101 - there is something to pour
        gone = _gone(new, target.dialect)
        target.dialect.remove(new)
        for _ in apart.each(new, target.dialect):
            for table in reversed(_TABLES):
                new.execute(sa.delete(table))
        new.execute(sa.delete(SCHOOLS))
        _carry(SCHOOLS, old, new)
        for school in apart.each(old, source.dialect):
            apart.enter(new, target.dialect, school)
            for table in _TABLES:
                _carry(table, old, new)
            stones, shut = gone[school]
            later = _later(old, stones)
            people.put_up(new, later.difference(*(people.of_name(later, name) for name in _names(old))))
            persons.keep_out(new, shut)
        target.dialect.install(new)


def _carry(table: sa.Table, old: sa.Connection, new: sa.Connection) -> None:
    for rows in old.execute(sa.select(table)).partitions(_ROWS):
        new.execute(sa.insert(table), [dict(row._mapping) for row in rows])


@contextmanager
def _said(file: Path) -> Iterator[None]:
    """What the system says about a file, in a sentence."""
    try:
        yield
    except FileExistsError:
        raise Refused(f"{file} is there already; name a new file.") from None
    except OSError as error:
        raise Refused(f"{file} cannot be written: {error.strerror or error}.") from None
