"""The tables. Rows never leave this package; they do not validate, so whatever is written was checked before.

Every key begins with the school, but that of the schools themselves; `apart` keeps every statement to one.
"""

from datetime import date
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

# Named constraints can be altered by later migrations on every engine.
SQLModel.metadata = sa.MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)
# Names sort by their code points on every engine, so that the lines of a log have one order.
TEXT: Any = sa.String().with_variant(sa.String(collation="C"), "postgresql")


FIRST = 1  # the key of the school that every database has


def _school(of: str | None = None) -> Any:
    """The first part of a key; a row that is added gets the school of its transaction.

    Args:
        of: a table that it refers to by itself, not together with what follows it.
    """
    return Field(
        default=None,
        primary_key=True,
        foreign_key=of,
        sa_column_kwargs={"autoincrement": False, "default": lambda adding: adding.execution_options["school"]},
    )


def _of(table: str, column: str) -> sa.ForeignKeyConstraint:
    """What a row refers to is of its own school."""
    return sa.ForeignKeyConstraint(["school", column], [f"{table}.school", f"{table}.key"])


class Schools(SQLModel, table=True):
    """The schools of a database: one, if nobody makes another."""

    __tablename__ = "schools"

    key: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    name: str = Field(unique=True, sa_type=TEXT)


class Students(SQLModel, table=True):
    """A student's local key, name and settings; `entries` counts what was appended or merged and keys any cache.

    `number` and `seal` are those of the last entry that this installation stored first.
    """

    __tablename__ = "students"
    __table_args__ = (sa.UniqueConstraint("school", "name"),)

    school: int = _school(of="schools.key")
    key: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    name: str = Field(sa_type=TEXT)
    hidden: bool = False
    aircraft: str | None = Field(default=None, sa_type=TEXT)
    phraseology: str = Field(default="uk", sa_type=TEXT)
    checkride: date | None = None
    next_lesson: str | None = Field(default=None, sa_type=TEXT)
    next_on: date | None = None
    minutes: int = 10
    target: float = 0.9
    zone: str | None = Field(default=None, sa_type=TEXT)
    abroad: bool = False
    listen: str = Field(default="off", sa_type=TEXT)
    entries: int = 0
    number: int = 0
    seal: str = Field(default="", sa_type=TEXT)


class Entries(SQLModel, table=True):
    """The answer log. One student is one range of the primary key; the other index finds the last study day."""

    __tablename__ = "entries"
    __table_args__ = (
        sa.CheckConstraint("what IN ('answer', 'void', 'flown', 'settings', 'flag', 'note', 'oral')", name="what"),
        sa.Index("ix_entries_student_day", "school", "student", "day"),
        _of("students", "student"),
        {"sqlite_with_rowid": False},
    )

    school: int = _school()
    student: int = Field(primary_key=True)
    id: str = Field(primary_key=True, sa_type=TEXT)
    what: str = Field(sa_type=TEXT)
    day: int  # days since 1970-01-01
    at: int = Field(sa_type=sa.BigInteger)  # milliseconds since 1970, UTC
    zone: str = Field(sa_type=TEXT)
    question: str | None = Field(default=None, sa_type=TEXT)
    variant: str | None = Field(default=None, sa_type=TEXT)
    kind: str | None = Field(default=None, sa_type=TEXT)
    revision: str | None = Field(default=None, sa_type=TEXT)
    aircraft: str | None = Field(default=None, sa_type=TEXT)
    phraseology: str | None = Field(default=None, sa_type=TEXT)
    seed: int | None = Field(default=None, sa_type=sa.BigInteger)
    given: str | None = Field(default=None, sa_type=TEXT)
    confidence: str | None = Field(default=None, sa_type=TEXT)
    hinted: bool | None = None
    score: float | None = None
    right: bool | None = None
    marked_by: str | None = Field(default=None, sa_type=TEXT)
    seconds: float | None = None
    voids: str | None = Field(default=None, sa_type=TEXT)
    key: str | None = Field(default=None, sa_type=TEXT)
    device: str = Field(sa_type=TEXT)
    number: int
    seal: str = Field(sa_type=TEXT)
    # Who stored it here, where somebody was signed in: known of this database alone, and no part of what is sealed.
    person: int | None = Field(default=None, sa_type=sa.BigInteger)


class Parameters(SQLModel, table=True):
    """Adopted sets of memory parameters; the newest of a student is in force."""

    __tablename__ = "parameters"
    __table_args__ = (_of("students", "student"),)

    school: int = _school()
    student: int = Field(primary_key=True)
    id: str = Field(primary_key=True, sa_type=TEXT)
    at: int = Field(sa_type=sa.BigInteger)
    answers: int
    values: str = Field(sa_type=TEXT)


class Seals(SQLModel, table=True):
    """Seals that were met and stand on no entry here: of one sealed elsewhere too, or given up in a conflict."""

    __tablename__ = "seals"
    __table_args__ = (_of("students", "student"),)

    school: int = _school()
    student: int = Field(primary_key=True)
    device: str = Field(primary_key=True, sa_type=TEXT)
    number: int = Field(primary_key=True)
    seal: str = Field(primary_key=True, sa_type=TEXT)


class Installations(SQLModel, table=True):
    """The id of this installation: the one row of a school."""

    __tablename__ = "installations"

    school: int = _school(of="schools.key")
    id: str = Field(primary_key=True, sa_type=TEXT)


class Tombstones(SQLModel, table=True):
    """That a student was erased: a salted digest of the name, and no more."""

    __tablename__ = "tombstones"

    school: int = _school(of="schools.key")
    salt: str = Field(primary_key=True, sa_type=TEXT)
    digest: str = Field(sa_type=TEXT)


class Persons(SQLModel, table=True):
    """Who may come in by a school's page; the student of the same name, if there is one, is the person's own.

    A key is drawn at random and never given twice: entries go on saying who stored them when the person is gone.
    """

    __tablename__ = "persons"
    __table_args__ = (sa.UniqueConstraint("school", "alike"),)

    school: int = _school(of="schools.key")
    key: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    name: str = Field(sa_type=TEXT)
    alike: str = Field(sa_type=TEXT)
    role: str = Field(sa_type=TEXT)
    active: bool = True
    password: str | None = Field(default=None, sa_type=TEXT)
    wishes: str | None = Field(default=None, sa_type=TEXT)  # what the school was asked for: to be erased


class Instructs(SQLModel, table=True):
    """Which students an instructor sees."""

    __tablename__ = "instructs"
    __table_args__ = (_of("persons", "person"), _of("students", "student"))

    school: int = _school()
    person: int = Field(primary_key=True, sa_type=sa.BigInteger)
    student: int = Field(primary_key=True)


class Invitations(SQLModel, table=True):
    """Ways in that serve once; of what is in the address only a digest is kept."""

    __tablename__ = "invitations"
    __table_args__ = (_of("persons", "person"),)

    school: int = _school()
    digest: str = Field(primary_key=True, sa_type=TEXT)
    person: int = Field(sa_type=sa.BigInteger)
    until: int = Field(sa_type=sa.BigInteger)
    ended: int | None = Field(default=None, sa_type=sa.BigInteger)  # used, or taken back


class Sessions(SQLModel, table=True):
    """Who is signed in where; of the cookie only a digest is kept."""

    __tablename__ = "sessions"
    __table_args__ = (_of("persons", "person"),)

    school: int = _school()
    digest: str = Field(primary_key=True, sa_type=TEXT)
    person: int = Field(sa_type=sa.BigInteger)
    made: int = Field(sa_type=sa.BigInteger)
    seen: int = Field(sa_type=sa.BigInteger)
    shared: bool = False


class Passkeys(SQLModel, table=True):
    """The public halves of keys that devices keep, by which a person signs in; `counted` is how often each says."""

    __tablename__ = "passkeys"
    __table_args__ = (_of("persons", "person"),)

    school: int = _school()
    id: str = Field(primary_key=True, sa_type=TEXT)
    person: int = Field(sa_type=sa.BigInteger)
    public: str = Field(sa_type=TEXT)
    counted: int = Field(sa_type=sa.BigInteger)
    name: str = Field(sa_type=TEXT)
    made: int = Field(sa_type=sa.BigInteger)
    used: int | None = Field(default=None, sa_type=sa.BigInteger)


class Challenges(SQLModel, table=True):
    """What keys were asked to sign and have not signed yet, by a digest: each serves once, and for minutes."""

    __tablename__ = "challenges"

    school: int = _school(of="schools.key")
    digest: str = Field(primary_key=True, sa_type=TEXT)
    until: int = Field(sa_type=sa.BigInteger)


class Attempts(SQLModel, table=True):
    """How often signing in failed of late, by a digest of who tried; `known` where it has come in before."""

    __tablename__ = "attempts"

    school: int = _school(of="schools.key")
    digest: str = Field(primary_key=True, sa_type=TEXT)
    failed: int = 0
    at: int = Field(sa_type=sa.BigInteger)
    known: bool = False


class Acts(SQLModel, table=True):
    """Who did what: added to and never changed, but where somebody is erased."""

    __tablename__ = "acts"

    school: int = _school(of="schools.key")
    number: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    at: int = Field(sa_type=sa.BigInteger)
    who: str | None = Field(default=None, sa_type=TEXT)  # None at a terminal
    what: str = Field(sa_type=TEXT)
    whom: str | None = Field(default=None, sa_type=TEXT)


SCHOOLS = SQLModel.metadata.tables["schools"]
STUDENTS, ENTRIES, PARAMETERS, SEALS, INSTALLATIONS, TOMBSTONES = (
    SQLModel.metadata.tables[name]
    for name in ("students", "entries", "parameters", "seals", "installations", "tombstones")
)
PERSONS, INSTRUCTS, INVITATIONS, SESSIONS, ATTEMPTS, ACTS = (
    SQLModel.metadata.tables[name] for name in ("persons", "instructs", "invitations", "sessions", "attempts", "acts")
)
PASSKEYS, CHALLENGES = (SQLModel.metadata.tables[name] for name in ("passkeys", "challenges"))
