"""Who did what: a line for each act of a person, beside the entries, which say themselves who stored them."""

import json
from contextlib import suppress
from dataclasses import dataclass

import sqlalchemy as sa

from stickback import acting, clock
from stickback.refused import Refused
from stickback.store.engine import Database
from stickback.store.tables import ACTS, ENTRIES, INSTALLATIONS, PERSONS, STUDENTS

ERASED = "someone who was erased"
_SAID = ("settings", "flown", "oral")  # entries about a student that others make at a terminal


@dataclass(frozen=True)
class Act:
    """One thing that was done.

    Args:
        at: milliseconds since 1970, UTC.
        who: None at a terminal; `whom` it was done to, where it was done to somebody.
        said: who did it, as was said at the terminal.
    """

    at: int
    who: str | None
    what: str
    whom: str | None = None
    said: str | None = None


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


def told(database: Database, what: str, whom: str | None = None) -> None:
    """Writes down what was done where there are persons who may ask for it; elsewhere there is nobody to tell.

    A database that cannot be written goes on being read, taken along and saved.
    """
    with database.reading() as connection:
        persons = connection is not None and connection.scalar(sa.select(sa.func.count()).select_from(PERSONS))
    if persons:
        with suppress(Refused):
            note(database, what, whom)


def read(database: Database, most: int = 1_000) -> list[Act]:
    """What was done last, the oldest first; what people stored of others is among it."""
    with database.reading() as connection:
        if connection is None:
            return []
        newest = sa.select(ACTS.c.at, ACTS.c.who, ACTS.c.what, ACTS.c.whom).order_by(ACTS.c.number.desc()).limit(most)
        found = [Act(*row) for row in connection.execute(newest)]
        found += _stored(connection, most)
    return sorted(found, key=lambda act: act.at)[-most:]


def _stored(connection: sa.Connection, most: int) -> list[Act]:
    """What is told of entries: what people stored of others, and what was said of a student at a terminal here.

    An answer of one's own is in the log under one's own name.
    """
    person = sa.select(PERSONS.c.name).where(PERSONS.c.key == ENTRIES.c.person).scalar_subquery()
    of_others = ENTRIES.c.person.is_not(None) & person.is_distinct_from(STUDENTS.c.name)
    here = ENTRIES.c.device.in_(sa.select(INSTALLATIONS.c.id))
    at_terminal = ENTRIES.c.person.is_(None) & here & ENTRIES.c.what.in_(_SAID)
    columns = (ENTRIES.c.at, ENTRIES.c.person, person, ENTRIES.c.what, STUDENTS.c.name, ENTRIES.c.given)
    stored = (
        sa.select(*columns)
        .join_from(ENTRIES, STUDENTS, ENTRIES.c.student == STUDENTS.c.key)
        .where(of_others | at_terminal)
        .order_by(ENTRIES.c.at.desc())
        .limit(most)
    )
    return [
        Act(at, None if key is None else who or ERASED, f"entry:{what}", whom, _by(given) if key is None else None)
        for at, key, who, what, whom, given in connection.execute(stored)
    ]


def _by(given: str | None) -> str | None:
    """Who recorded a flight or put an oral, as the entry says."""
    try:
        found = json.loads(given or "")
    except ValueError:
        return None
    by = found.get("by") if isinstance(found, dict) else None
    return by if isinstance(by, str) and by else None


def forget(connection: sa.Connection, name: str) -> None:
    """Takes a name out of what was done; the guards must be off."""
    for column in (ACTS.c.who, ACTS.c.whom):
        connection.execute(sa.update(ACTS).where(column == name).values({column: ERASED}))
