"""What only the rows themselves show: heads of chains, orphans, settings beside the log."""

from collections.abc import Iterator
from dataclasses import asdict

import sqlalchemy as sa

from stickback.memory.entry import Entry
from stickback.store import chain, parameters
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, INSTALLATIONS, PARAMETERS, SEALS, STUDENTS, Students


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


def heads(database: Database, by_student: dict[str, list[Entry]]) -> Iterator[str]:
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
    """Rows without their student, settings that the log does not give, sets and ids that cannot be."""
    with database.reading() as connection:
        if connection is None:
            return
        for table in (ENTRIES, PARAMETERS, SEALS):
            there = sa.select(STUDENTS.c.key)
            for key in connection.scalars(sa.select(table.c.student).where(table.c.student.not_in(there)).distinct()):
                yield f"{table.name}: rows of a student {key} who is not there"
        if (many := len(connection.execute(sa.select(INSTALLATIONS)).all())) != 1:
            yield f"installations: {many} rows instead of one"
        for found in connection.execute(sa.select(STUDENTS)).all():
            yield from _settings(connection, Students(**found._mapping))
    for student in parameters.damaged(database):
        yield f"{student}: an adopted set of parameters cannot be read"


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
