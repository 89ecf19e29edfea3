"""Who did what: a line for each act of a person, beside the entries, which say themselves who stored them."""

from dataclasses import dataclass

import sqlalchemy as sa

from stickback import acting, clock
from stickback.store.engine import Database
from stickback.store.tables import ACTS, ENTRIES, PERSONS, STUDENTS

ERASED = "someone who was erased"


@dataclass(frozen=True)
class Act:
    """One thing that was done.

    Args:
        at: milliseconds since 1970, UTC.
        who: None at a terminal; `whom` it was done to, where it was done to somebody.
    """

    at: int
    who: str | None
    what: str
    whom: str | None = None


def moment() -> int:
    """Now, by the machine's clock: `--today` moves what is studied, and nobody's sign-in."""
    return int(clock.machine_now().timestamp() * 1000)


def note(database: Database, what: str, whom: str | None = None) -> None:
    """Writes down what the person who acts has done."""
    with database.writing() as connection:
        add(connection, what, whom)


def add(connection: sa.Connection, what: str, whom: str | None = None, who: str | None = None) -> None:
    """Writes down what was done, in the transaction in which it is.

    Args:
        who: the person who acts where it is not said.
    """
    person = acting.now()
    number = (connection.scalar(sa.select(sa.func.max(ACTS.c.number))) or 0) + 1
    name = who or (person.name if person else None)
    connection.execute(sa.insert(ACTS), {"number": number, "at": moment(), "who": name, "what": what, "whom": whom})


def read(database: Database, most: int = 1_000) -> list[Act]:
    """What was done last, the oldest first; what people stored of others is among it."""
    with database.reading() as connection:
        if connection is None:
            return []
        newest = sa.select(ACTS.c.at, ACTS.c.who, ACTS.c.what, ACTS.c.whom).order_by(ACTS.c.number.desc()).limit(most)
        found = [Act(*row) for row in connection.execute(newest)]
        # An answer of one's own is in the log under one's own name; what others stored is told here.
        person = sa.select(PERSONS.c.name).where(PERSONS.c.key == ENTRIES.c.person).scalar_subquery()
        stored = (
            sa.select(ENTRIES.c.at, person, ENTRIES.c.what, STUDENTS.c.name)
            .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
            .where(ENTRIES.c.person.is_not(None), person.is_distinct_from(STUDENTS.c.name))
            .order_by(ENTRIES.c.at.desc())
            .limit(most)
        )
        found += [Act(at, who or ERASED, f"entry:{what}", whom) for at, who, what, whom in connection.execute(stored)]
    return sorted(found, key=lambda act: act.at)[-most:]


def forget(connection: sa.Connection, name: str) -> None:
    """Takes a name out of what was done; the guards must be off."""
    for column in (ACTS.c.who, ACTS.c.whom):
        connection.execute(sa.update(ACTS).where(column == name).values({column: ERASED}))
