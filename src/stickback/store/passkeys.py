"""Passkeys on disk: the public halves of keys that devices keep, and what those keys are asked to sign, each once."""

from dataclasses import dataclass

import sqlalchemy as sa

from stickback.acting import Person
from stickback.store import acts
from stickback.store.engine import Database
from stickback.store.tables import CHALLENGES, PASSKEYS, PERSONS


@dataclass(frozen=True, kw_only=True)
class Passkey:
    """A key that a device keeps.

    Args:
        id, public: the name that the device gave it and its public half, in the letters of a URL.
        counted: how often it was used, as it says itself; 0 where it does not count.
        name: what the person calls it.
        made, used: when, and when last, in milliseconds since 1970.
    """

    id: str
    public: str
    counted: int
    name: str
    made: int
    used: int | None = None


_COLUMNS = tuple(PASSKEYS.c[name] for name in ("id", "public", "counted", "name", "made", "used"))


def ask(database: Database, digest: str, until: int) -> None:
    """Stores what a key is asked to sign; what was asked and not signed in time is gone."""
    with database.writing() as connection:
        connection.execute(sa.delete(CHALLENGES).where(CHALLENGES.c.until < acts.moment()))
        connection.execute(sa.insert(CHALLENGES), {"digest": digest, "until": until})


def take(database: Database, digest: str) -> bool:
    """Uses up what a key was asked to sign; False where it was not, or was before, or too long ago."""
    with database.writing() as connection:
        asked = sa.delete(CHALLENGES).where(CHALLENGES.c.digest == digest, CHALLENGES.c.until > acts.moment())
        return connection.execute(asked).rowcount == 1


def find(database: Database, id_: str) -> tuple[Person, Passkey] | None:
    """A key and whose it is; None where nobody has it, or one who was removed."""
    with database.reading() as connection:
        if connection is None:
            return None
        query = sa.select(PERSONS.c.key, PERSONS.c.name.label("person"), PERSONS.c.role, *_COLUMNS).join(PERSONS)
        row = connection.execute(query.where(PASSKEYS.c.id == id_, PERSONS.c.active)).first()
    return None if row is None else (Person(row.key, row.person, row.role), _passkey(row))


def of(database: Database, person: Person) -> list[Passkey]:
    """The keys of a person, the oldest first."""
    query = sa.select(*_COLUMNS).where(PASSKEYS.c.person == person.key).order_by(PASSKEYS.c.made, PASSKEYS.c.id)
    with database.reading() as connection:
        return [] if connection is None else [_passkey(row) for row in connection.execute(query)]


def _passkey(row: sa.Row[tuple[object, ...]]) -> Passkey:
    return Passkey(id=row.id, public=row.public, counted=row.counted, name=row.name, made=row.made, used=row.used)


def add(database: Database, person: Person, key: Passkey) -> bool:
    """Gives a person a key; False where somebody has it already."""
    with database.writing() as connection:
        if connection.scalar(sa.select(PASSKEYS.c.id).where(PASSKEYS.c.id == key.id)) is not None:
            return False
        insert(connection, person, key)
        acts.add(connection, "key added", who=person.name)
        return True


def insert(connection: sa.Connection, person: Person, key: Passkey) -> None:
    """Stores a key, in the transaction in which a person gets it."""
    values = {column.name: getattr(key, column.name) for column in _COLUMNS}
    connection.execute(sa.insert(PASSKEYS), {**values, "person": person.key})


def used(database: Database, person: Person, key: Passkey, count: int) -> bool:
    """Stores that a key was used and what it counts now.

    Returns: False where its count did not go on, as with a key of which there are two; that is then written down.
    """
    with database.writing() as connection:
        same = (PASSKEYS.c.id == key.id, PASSKEYS.c.counted == key.counted)  # not used meanwhile by another process
        goes_on = count > key.counted or count == key.counted == 0
        change = sa.update(PASSKEYS).where(*same).values(counted=count, used=acts.moment())
        if goes_on and connection.execute(change).rowcount == 1:
            return True
        acts.add(connection, "key refused", who=person.name)
        return False


def rename(database: Database, person: Person, id_: str, name: str) -> None:
    """Calls a key of a person something else; those of others are left alone."""
    with database.writing() as connection:
        mine = (PASSKEYS.c.person == person.key, PASSKEYS.c.id == id_)
        connection.execute(sa.update(PASSKEYS).where(*mine).values(name=name))


def remove(database: Database, person: Person, id_: str) -> None:
    """Takes a key of a person away; those of others are left alone."""
    with database.writing() as connection:
        mine = (PASSKEYS.c.person == person.key, PASSKEYS.c.id == id_)
        if connection.execute(sa.delete(PASSKEYS).where(*mine)).rowcount:
            acts.add(connection, "key removed", who=person.name)
