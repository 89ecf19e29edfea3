"""Students and their settings on disk."""

import secrets
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from hashlib import sha256
from typing import Any

import sqlalchemy as sa

from stickback import clock
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.store import acts, persons
from stickback.store.engine import Database
from stickback.store.tables import ENTRIES, INSTALLATIONS, INSTRUCTS, PARAMETERS, SEALS, STUDENTS, TOMBSTONES, Students
from stickback.study.student import ME, Student

Stone = tuple[str, str]  # the salt and the digest of a tombstone
MOST = 1_000  # students that one statement names
_SETTINGS = [STUDENTS.c[field.name] for field in fields(Student)]
_COUNTER = (
    sa.select(sa.func.min(INSTALLATIONS.c.id)).scalar_subquery(),
    STUDENTS.c.entries,
    STUDENTS.c.seal,
    sa.select(sa.func.max(PARAMETERS.c.id)).where(PARAMETERS.c.student == STUDENTS.c.key).scalar_subquery(),
)
_STANDING = sa.select(*_SETTINGS, *_COUNTER).where(STUDENTS.c.name == sa.bindparam("student"), ~STUDENTS.c.hidden)
_ROW = sa.select(STUDENTS).where(STUDENTS.c.name == sa.bindparam("student"))
_CHANGED = sa.update(STUDENTS).where(STUDENTS.c.key == sa.bindparam("of"))
_COUNTED = _CHANGED.values(entries=STUDENTS.c.entries + sa.bindparam("more"))


@dataclass(frozen=True)
class Counter:
    """How far a student's log is: where two are equal, nothing was stored between them, nor another database put there.

    Args:
        installation: of the database; a copy that is put back is another one.
        entries: how many there are.
        seal: of the last entry that was stored here first.
        adopted: id of the parameters in force.
    """

    installation: str = ""
    entries: int = 0
    seal: str = ""
    adopted: str = ""

    def after(self, stored: Entry) -> "Counter":
        """The counter when one entry more was stored."""
        return replace(self, entries=self.entries + 1, seal=stored.seal or "")


NOTHING_STORED = Counter()


def everyone(database: Database, *, hidden: bool = False) -> dict[str, Student]:
    """The students by name, in the order of their names; those removed only on request."""
    with database.reading() as connection:
        if connection is None:
            return {}
        query = sa.select(*_SETTINGS).where(STUDENTS.c.hidden == hidden).order_by(STUDENTS.c.name)
        return {row.name: Student(**row._mapping) for row in connection.execute(query)}


def there(database: Database, name: str) -> bool:
    """Whether a student of this name studies here."""
    with database.reading() as connection:
        query = sa.select(STUDENTS.c.key).where(STUDENTS.c.name == name, ~STUDENTS.c.hidden)
        return connection is not None and connection.scalar(query) is not None


def find(database: Database, name: str) -> Student:
    """The student of a name; `me` exists without asking.

    Errors: Refused when there is none, saying who there is.
    """
    return standing(database, name)[0]


def standing(database: Database, name: str) -> tuple[Student, Counter]:
    """A student, and how far the log is.

    Errors: Refused as `find`.
    """
    with database.reading() as connection:
        row = None
        if connection is not None and "\0" not in name:  # with a zero in it no server takes it
            row = connection.execute(_STANDING, {"student": name}).first()
    if row is not None:
        settings, counter = row[: len(_SETTINGS)], row[len(_SETTINGS) :]
        return Student(**dict(zip((each.name for each in _SETTINGS), settings, strict=True))), _counter(counter)
    if name == ME:
        return Student(name=ME), NOTHING_STORED
    names = ", ".join(everyone(database)) or "no one yet"
    raise Refused(f"There is no student '{name}' (there is: {names}).", "`stickback student add` adds one")


def counters(database: Database, names: Sequence[str]) -> dict[str, Counter]:
    """How far the log of each of these students is, by name."""
    query, found = sa.select(STUDENTS.c.name, *_COUNTER), dict[str, Counter]()
    with database.reading() as connection:
        if connection is None:
            return {}
        for some in named(names):
            found |= {name: _counter(row) for name, *row in connection.execute(query.where(some))}
    return found


def _counter(row: Sequence[Any]) -> Counter:
    """What `_COUNTER` gives."""
    installation, entries, seal, adopted = row
    return Counter(installation, entries, seal, adopted or "")


def named(names: Sequence[str]) -> Iterator[sa.ColumnElement[bool]]:
    """Conditions that find these students and no other, each as many as one statement may name."""
    for at in range(0, len(names), MOST):
        yield STUDENTS.c.name.in_(names[at : at + MOST])


def hide(database: Database, name: str) -> int:
    """Removes a student from every list, keeping the entries; gives their number."""
    with database.writing() as connection:
        row = row_or_new(connection, name)
        change(connection, row.key, hidden=True)
        acts.add(connection, "hidden", name)
        return row.entries


def erase(database: Database, name: str) -> int:
    """Deletes a student with every entry, and the person of the same name, in one transaction; gives the number of
    entries.

    The one exception to append-only, for a person's own request. What stays is a tombstone, which tells the name to no
    one, so that nobody comes back with the next file or backup.
    """
    with database.writing() as connection:
        database.dialect.remove(connection)
        gone = 0
        for key in connection.scalars(sa.select(STUDENTS.c.key).where(STUDENTS.c.name == name)).all():
            gone = connection.execute(sa.delete(ENTRIES).where(ENTRIES.c.student == key)).rowcount
            for table in (PARAMETERS, SEALS, INSTRUCTS):
                connection.execute(sa.delete(table).where(table.c.student == key))
            connection.execute(sa.delete(STUDENTS).where(STUDENTS.c.key == key))
        persons.forget(connection, name)
        database.dialect.install(connection)
        salt = secrets.token_hex(16)
        put_up(connection, [(salt, _digest(salt, alike(name)))])
        acts.add(connection, "erased")
        return gone


def stones(connection: sa.Connection) -> set[Stone]:
    """All tombstones."""
    return {(salt, digest) for salt, digest in connection.execute(sa.select(TOMBSTONES.c.salt, TOMBSTONES.c.digest))}


def under(stones: Iterable[Stone], names: Iterable[str]) -> set[str]:
    """Those of these names for which a tombstone stands."""
    stones = list(stones)
    return {name for name in names if of_name(stones, name)}


def of_name(stones: Iterable[Stone], name: str) -> set[Stone]:
    """Those of these tombstones that stand for a name."""
    read = alike(name)
    return {(salt, digest) for salt, digest in stones if _digest(salt, read) == digest}


def put_up(connection: sa.Connection, stones: Iterable[Stone]) -> None:
    """Puts tombstones up."""
    if rows := [{"salt": salt, "digest": digest} for salt, digest in stones]:
        connection.execute(sa.insert(TOMBSTONES), rows)


def take_away(connection: sa.Connection, stones: Iterable[Stone]) -> None:
    """Takes tombstones away."""
    for salt, _ in stones:
        connection.execute(sa.delete(TOMBSTONES).where(TOMBSTONES.c.salt == salt))


def alike(name: str) -> str:
    """What names have in common that differ only in case or in how Unicode writes them."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())


def _digest(salt: str, read: str) -> str:
    """What a tombstone keeps of a name, given as it reads alike."""
    return sha256(f"{salt}\n{read}".encode()).hexdigest()


def row_or_new(connection: sa.Connection, name: str, *, anew: bool = False) -> Students:
    """The row of a student inside a transaction, made when there is none.

    Args:
        anew: also for one who was erased. Else what was begun before, a sitting perhaps, would make the student again;
            `me` alone begins without asking.
    Errors: Refused for a student who was erased meanwhile.
    """
    found = connection.execute(_ROW, {"student": name}).first()
    if found is None:
        if not anew and name != ME and under(stones(connection), [name]):
            raise Refused(f"{name} was erased here, so nothing was stored.")
        key = (connection.scalar(sa.select(sa.func.max(STUDENTS.c.key))) or 0) + 1
        connection.execute(sa.insert(STUDENTS).values(Students(key=key, name=name).model_dump(exclude={"school"})))
        found = connection.execute(_ROW, {"student": name}).one()
    return Students(**found._mapping)


def counted(connection: sa.Connection, key: int, more: int, **changes: object) -> None:
    """Moves the counter of a student's entries, and settings with it."""
    connection.execute(_COUNTED, {"of": key, "more": more, **changes})


def change(connection: sa.Connection, key: int, **changes: object) -> None:
    """Changes a student's row."""
    connection.execute(_CHANGED, {"of": key, **changes})


def counts(database: Database) -> dict[str, int]:
    """How many entries each student's log holds, by the counter that every append and merge moves."""
    return _numbers(database, sa.select(STUDENTS.c.name, STUDENTS.c.entries))


def answers(database: Database) -> dict[str, int]:
    """How many answers each student has given, those taken back among them."""
    query = sa.select(STUDENTS.c.name, sa.func.count()).join(ENTRIES, ENTRIES.c.student == STUDENTS.c.key)
    return _numbers(database, query.where(ENTRIES.c.what == "answer").group_by(STUDENTS.c.name))


def last_days(database: Database) -> dict[str, date]:
    """The study day of each student's last answer."""
    query = (
        sa.select(STUDENTS.c.name, sa.func.max(ENTRIES.c.day))
        .join(ENTRIES, ENTRIES.c.student == STUDENTS.c.key)
        .where(ENTRIES.c.what == "answer", ~voided())
        .group_by(STUDENTS.c.name)
    )
    return {name: clock.day_date(number) for name, number in _numbers(database, query).items()}


def voided(students: Sequence[int] | sa.Select[tuple[int]] | None = None) -> sa.ColumnElement[bool]:
    """Whether an entry, of one of these students, is voided by some other of the same.

    Said as a case, which cannot be unknown: to tell no from unknown SQLite goes through every void for every entry.
    """
    void = sa.select(ENTRIES.c.student, ENTRIES.c.voids).where(ENTRIES.c.what == "void")
    if students is not None:
        void = void.where(ENTRIES.c.student.in_(students))
    return sa.case((sa.tuple_(ENTRIES.c.student, ENTRIES.c.id).in_(void), sa.true()), else_=sa.false())


def _numbers(database: Database, query: sa.Select[Any]) -> dict[str, int]:
    with database.reading() as connection:
        return {} if connection is None else {name: int(number) for name, number in connection.execute(query).all()}
