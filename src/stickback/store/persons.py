"""Persons on disk: who may come in, whom they instruct, and the invitations that let them in first."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import SystemRandom

import sqlalchemy as sa

from stickback.acting import Person
from stickback.store import acts, passkeys
from stickback.store.engine import Database
from stickback.store.passkeys import Passkey
from stickback.store.tables import INSTRUCTS, INVITATIONS, PASSKEYS, PERSONS, SESSIONS, STUDENTS

_KEY_BITS = 53  # whole numbers that every reader of JSON can hold


@dataclass(frozen=True, kw_only=True)
class Known:
    """A person as the school knows them.

    Args:
        active: False for one who was removed.
        password: its hash; None where none was chosen.
        wishes: what the person asked the school for; None where nothing.
        keys: how many devices keep a key of the person's.
        students: those given to an instructor.
    """

    person: Person
    active: bool
    password: str | None = None
    wishes: str | None = None
    keys: int = 0
    students: tuple[str, ...] = ()


def everyone(database: Database) -> dict[str, Known]:
    """All persons by name, also those removed."""
    with database.reading() as connection:
        return {} if connection is None else _read(connection)


def find(database: Database, alike: str) -> Known | None:
    """The person whose name reads like this; None where there is none, or one who was removed."""
    with database.reading() as connection:
        found = {} if connection is None else _read(connection, PERSONS.c.alike == alike, PERSONS.c.active)
    return next(iter(found.values()), None)


def _read(connection: sa.Connection, *which: sa.ColumnElement[bool]) -> dict[str, Known]:
    columns = [PERSONS.c[name] for name in ("key", "name", "role", "active", "password", "wishes")]
    rows = connection.execute(sa.select(*columns).where(*which).order_by(PERSONS.c.name)).all()
    given: dict[int, list[str]] = {}
    pairs = (
        sa.select(INSTRUCTS.c.person, STUDENTS.c.name)
        .join(STUDENTS, STUDENTS.c.key == INSTRUCTS.c.student)
        .where(INSTRUCTS.c.person.in_([row.key for row in rows]))
        .order_by(STUDENTS.c.name)
    )
    for key, student in connection.execute(pairs):
        given.setdefault(key, []).append(student)
    of_these = PASSKEYS.c.person.in_([row.key for row in rows])
    many = sa.select(PASSKEYS.c.person, sa.func.count()).where(of_these).group_by(PASSKEYS.c.person)
    keys: dict[int, int] = {person: number for person, number in connection.execute(many)}  # noqa: C416 - a row is no pair
    return {
        row.name: Known(
            person=Person(row.key, row.name, row.role),
            active=row.active,
            password=row.password,
            wishes=row.wishes,
            keys=keys.get(row.key, 0),
            students=tuple(given.get(row.key, ())),
        )
        for row in rows
    }


def given(connection: sa.Connection, key: int) -> set[str]:
    """The students given to a person."""
    pairs = sa.select(STUDENTS.c.name).join(INSTRUCTS, STUDENTS.c.key == INSTRUCTS.c.student)
    return set(connection.scalars(pairs.where(INSTRUCTS.c.person == key)))


def save(database: Database, name: str, alike: str, role: str, students: Sequence[str]) -> None:
    """Adds a person, or brings one back, or changes what one is; the students of the list are those given."""
    with database.writing() as connection:
        known = sa.select(PERSONS.c.key, PERSONS.c.role, PERSONS.c.active).where(PERSONS.c.alike == alike)
        key, *before = connection.execute(known).first() or (None,)
        values = {"name": name, "alike": alike, "role": role, "active": True}
        if key is None:
            key = SystemRandom().getrandbits(_KEY_BITS)
            connection.execute(sa.insert(PERSONS), {**values, "key": key})
        else:
            connection.execute(sa.update(PERSONS).where(PERSONS.c.key == key).values(**values))
        connection.execute(sa.delete(INSTRUCTS).where(INSTRUCTS.c.person == key))
        keys = connection.scalars(sa.select(STUDENTS.c.key).where(STUDENTS.c.name.in_(students))).all()
        if keys:
            connection.execute(sa.insert(INSTRUCTS), [{"person": key, "student": each} for each in keys])
        acts.add(connection, "instructs" if before == [role, True] else f"person:{role}", name)


def invite(database: Database, person: Person, digest: str, until: int) -> None:
    """Stores an invitation; those sent before serve no more."""
    with database.writing() as connection:
        _take_back(connection, person.key)
        connection.execute(sa.insert(INVITATIONS), {"digest": digest, "person": person.key, "until": until})
        acts.add(connection, "invited", person.name)


def _take_back(connection: sa.Connection, key: int) -> int:
    still = (INVITATIONS.c.person == key, INVITATIONS.c.ended.is_(None))
    return connection.execute(sa.update(INVITATIONS).where(*still).values(ended=acts.moment())).rowcount


def take_back(database: Database, person: Person) -> bool:
    """Takes back the invitations of a person that still serve; False where there is none."""
    with database.writing() as connection:
        taken = _take_back(connection, person.key) > 0
        if taken:
            acts.add(connection, "taken back", person.name)
        return taken


def waiting(database: Database) -> set[str]:
    """Whose invitations still serve, by name."""
    serves = (INVITATIONS.c.ended.is_(None), INVITATIONS.c.until > acts.moment())
    with database.reading() as connection:
        names = sa.select(PERSONS.c.name).join(INVITATIONS).where(*serves)
        return set() if connection is None else set(connection.scalars(names))


def invited(database: Database, digest: str) -> Person | None:
    """Whom an invitation lets in; None when it serves no more, or never was."""
    with database.reading() as connection:
        return None if connection is None else _invited(connection, digest)


def _invited(connection: sa.Connection, digest: str) -> Person | None:
    serves = (INVITATIONS.c.ended.is_(None), INVITATIONS.c.until > acts.moment(), PERSONS.c.active)
    query = sa.select(PERSONS.c.key, PERSONS.c.name, PERSONS.c.role).join(INVITATIONS)
    row = connection.execute(query.where(INVITATIONS.c.digest == digest, *serves)).first()
    return None if row is None else Person(*row)


def accept(database: Database, digest: str, way: str | Passkey) -> Person | None:
    """Uses an invitation up: from now on its password or key alone lets in, and whoever was signed in is no more.

    Args:
        way: the hash of a password, or the key of a device.

    Returns: None when another was quicker, or it serves no more.
    """
    with database.writing() as connection:
        person = _invited(connection, digest)
        if person is None:
            return None
        _take_back(connection, person.key)
        for table in (SESSIONS, PASSKEYS):
            connection.execute(sa.delete(table).where(table.c.person == person.key))
        key, password = (way, None) if isinstance(way, Passkey) else (None, way)
        connection.execute(sa.update(PERSONS).where(PERSONS.c.key == person.key).values(password=password))
        if key is not None:
            passkeys.insert(connection, person, key)
        acts.add(connection, "accepted by key" if key else "accepted", who=person.name)
        return person


def change(database: Database, person: Person, what: str, **values: object) -> None:
    """Changes what is kept of a person, and writes down that it was."""
    with database.writing() as connection:
        connection.execute(sa.update(PERSONS).where(PERSONS.c.key == person.key).values(**values))
        acts.add(connection, what, person.name)


def remove(database: Database, person: Person) -> None:
    """Shuts a person out at once; the name stays, since entries say who stored them."""
    with database.writing() as connection:
        _remove(connection, person.key)
        acts.add(connection, "removed", person.name)


def shut_out(connection: sa.Connection) -> set[str]:
    """Whose names, as they read alike, belong to persons who were removed."""
    return set(connection.scalars(sa.select(PERSONS.c.alike).where(~PERSONS.c.active)))


def keep_out(connection: sa.Connection, alike: set[str]) -> None:
    """Shuts out who is among these."""
    for key in connection.scalars(sa.select(PERSONS.c.key).where(PERSONS.c.active, PERSONS.c.alike.in_(alike))).all():
        _remove(connection, key)


def _remove(connection: sa.Connection, key: int) -> None:
    _shut(connection, key)
    connection.execute(sa.update(PERSONS).where(PERSONS.c.key == key).values(active=False, password=None))


def _shut(connection: sa.Connection, key: int) -> None:
    _take_back(connection, key)
    for table in (SESSIONS, PASSKEYS, INSTRUCTS):
        connection.execute(sa.delete(table).where(table.c.person == key))


def forget(connection: sa.Connection, name: str) -> None:
    """Deletes the person of a name with everything kept of it; the guards must be off."""
    for key in connection.scalars(sa.select(PERSONS.c.key).where(PERSONS.c.name == name)).all():
        _shut(connection, key)
        connection.execute(sa.delete(INVITATIONS).where(INVITATIONS.c.person == key))
        connection.execute(sa.delete(PERSONS).where(PERSONS.c.key == key))
    acts.forget(connection, name)
