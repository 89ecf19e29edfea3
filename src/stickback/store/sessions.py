"""Who is signed in where, and how often it failed of late: of what only a browser may know, digests alone."""

from collections.abc import Iterable
from dataclasses import dataclass

import sqlalchemy as sa

from stickback.acting import Person
from stickback.store import acts, apart
from stickback.store.engine import Database
from stickback.store.tables import ATTEMPTS, CHALLENGES, INVITATIONS, PERSONS, SESSIONS

Attempt = tuple[int, int, bool]  # how often it failed, when last, and whether it has come in before

_SEEN_AGAIN = 60_000  # milliseconds after which it is written down again that a session was used
_FORGOTTEN = 30 * 86_400_000  # milliseconds after which nothing is known of an attempt


@dataclass(frozen=True, kw_only=True)
class Signed:
    """A person signed in.

    Args:
        made, seen: when, and when last, in milliseconds since 1970.
        shared: on a device that others use too.
    """

    digest: str
    person: Person
    made: int
    seen: int
    shared: bool


_SIGNED = (SESSIONS.c.digest, PERSONS.c.key, PERSONS.c.name, PERSONS.c.role)
_WHEN = (SESSIONS.c.made, SESSIONS.c.seen, SESSIONS.c.shared)


def begin(database: Database, person: Person, digest: str, *, shared: bool, what: str) -> None:
    """Signs a person in."""
    with database.writing() as connection:
        now = acts.moment()
        row = {"digest": digest, "person": person.key, "made": now, "seen": now, "shared": shared}
        connection.execute(sa.insert(SESSIONS), row)
        acts.add(connection, what, who=person.name)


def find(database: Database, digest: str) -> Signed | None:
    """Who is signed in under a digest; None where nobody is, or the person was removed."""
    with database.reading() as connection:
        found = [] if connection is None else _signed(connection, SESSIONS.c.digest == digest)
    return next(iter(found), None)


def of(database: Database, person: Person) -> list[Signed]:
    """Where a person is signed in, the newest first."""
    with database.reading() as connection:
        return [] if connection is None else _signed(connection, SESSIONS.c.person == person.key)


def _signed(connection: sa.Connection, which: sa.ColumnElement[bool]) -> list[Signed]:
    query = sa.select(*_SIGNED, *_WHEN).join(PERSONS).where(which, PERSONS.c.active).order_by(SESSIONS.c.made.desc())
    return [
        Signed(digest=digest, person=Person(key, name, role), made=made, seen=seen, shared=shared)
        for digest, key, name, role, made, seen, shared in connection.execute(query)
    ]


def seen(database: Database, signed: Signed) -> None:
    """Writes down that a session is used, once a minute at the most."""
    now = acts.moment()
    if abs(now - signed.seen) > _SEEN_AGAIN:
        with database.writing() as connection:
            connection.execute(sa.update(SESSIONS).where(SESSIONS.c.digest == signed.digest).values(seen=now))


def end(database: Database, person: Person, digests: Iterable[str], what: str) -> None:
    """Ends sessions of a person; those of others are left alone."""
    with database.writing() as connection:
        mine = (SESSIONS.c.person == person.key, SESSIONS.c.digest.in_(list(digests)))
        if connection.execute(sa.delete(SESSIONS).where(*mine)).rowcount:
            acts.add(connection, what, person.name)


def end_all(database: Database) -> None:
    """Signs everyone of every school out and takes back every invitation, as behind a copy that was put back."""
    with database.writing("write all") as connection:
        for _ in apart.each(connection, database.dialect):
            for table in (SESSIONS, ATTEMPTS, INVITATIONS, CHALLENGES):
                connection.execute(sa.delete(table))


def attempts(database: Database, digests: Iterable[str]) -> dict[str, Attempt]:
    """How often each failed, when last, and whether it has come in before."""
    with database.reading() as connection:
        return {} if connection is None else _attempts(connection, digests)


def _attempts(connection: sa.Connection, digests: Iterable[str]) -> dict[str, Attempt]:
    rows = connection.execute(sa.select(ATTEMPTS).where(ATTEMPTS.c.digest.in_(list(digests)))).all()
    return {row.digest: (row.failed, row.at, row.known) for row in rows}


def failed(database: Database, digests: Iterable[str], since: int) -> None:
    """Counts an attempt that failed, in one transaction, so that none of several at once is lost.

    Args:
        since: a moment; where the last one lies before it, counting begins anew.
    """
    with database.writing() as connection:
        before = {each: many for each, (many, at, _) in _attempts(connection, digests).items() if at > since}
        _tried(connection, {each: before.get(each, 0) + 1 for each in digests}, known=[])


def came_in(database: Database, failed: Iterable[str], known: Iterable[str]) -> None:
    """Forgets how often these failed; those `known` have come in."""
    with database.writing() as connection:
        _tried(connection, dict.fromkeys(failed, 0), known)


def _tried(connection: sa.Connection, failed: dict[str, int], known: Iterable[str]) -> None:
    now = acts.moment()
    rows = [{"digest": each, "failed": many, "at": now, "known": False} for each, many in failed.items()]
    rows += [{"digest": each, "failed": 0, "at": now, "known": True} for each in known]
    old = sa.select(ATTEMPTS.c.digest).where(ATTEMPTS.c.known, ATTEMPTS.c.digest.in_(list(failed)))
    known_before = set(connection.scalars(old))
    gone = ATTEMPTS.c.digest.in_([row["digest"] for row in rows]) | (ATTEMPTS.c.at < now - _FORGOTTEN)
    connection.execute(sa.delete(ATTEMPTS).where(gone))
    connection.execute(
        sa.insert(ATTEMPTS), [{**row, "known": row["known"] or row["digest"] in known_before} for row in rows]
    )
