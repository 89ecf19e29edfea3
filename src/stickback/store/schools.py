"""The schools of a database, made and gone through: each has its own students, answers and persons."""

import re
import secrets
from dataclasses import dataclass, replace

import sqlalchemy as sa

from stickback.refused import Refused
from stickback.store import acts, apart, chain, people
from stickback.store.engine import Database
from stickback.store.tables import FIRST, SCHOOLS

_KEY_BITS = 31  # of which a server's whole number has room
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


@dataclass(frozen=True)
class School:
    """A school, and how much is in it."""

    name: str
    students: int
    entries: int


def add(database: Database, name: str) -> None:
    """Makes a school, in which nobody is yet.

    A key is drawn at random and never given twice: a page that serves a school of before a restore serves no other.

    Errors: Refused for a name that there is already, or that cannot stand in a URL.
    """
    if not _NAME.fullmatch(name):
        raise Refused(
            f"'{name}' is no name of a school: it stands in a URL, so write lower-case letters, digits and -."
        )
    with database.writing("write all") as connection:
        names = {key: name for key, name in connection.execute(sa.select(SCHOOLS.c.key, SCHOOLS.c.name))}  # noqa: C416
        if name in names.values():
            raise Refused(f"There is a school '{name}' already.")
        if database.dialect.bypasses(connection):
            raise Refused(
                f"This user of {database.name} sees what is of every school; make its schools as one who is not the "
                "server's superuser."
            )
        key = next(key for key in iter(lambda: secrets.randbits(_KEY_BITS), FIRST) if key > FIRST and key not in names)
        connection.execute(sa.insert(SCHOOLS), {"key": key, "name": name})
        acts.add(connection, "school added", name)
        apart.enter(connection, database.dialect, key)
        chain.install(connection)


def everyone(database: Database) -> list[Database]:
    """A database as each of its schools sees it; the first school stands first."""
    with database.reading() as connection:
        if connection is None:
            return []
        names = connection.scalars(sa.select(SCHOOLS.c.name).order_by(SCHOOLS.c.key)).all()
    return [replace(database, school=name) for name in names]


def listed(database: Database) -> list[School]:
    """The schools of a database, the first one first."""
    counts = [(school.school, people.counts(school)) for school in everyone(database)]
    return [School(name, len(each), sum(each.values())) for name, each in counts]
