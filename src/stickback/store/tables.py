"""The three tables. Rows never leave this package; they do not validate, so whatever is written was checked before."""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, MetaData
from sqlmodel import Field, SQLModel

# Named constraints can be altered by later migrations on every engine.
SQLModel.metadata = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Students(SQLModel, table=True):
    """A student's local key, name and settings; `entries` counts what was appended or merged and keys any cache."""

    __tablename__ = "students"

    key: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    hidden: bool = False
    aircraft: str | None = None
    phraseology: str = "uk"
    checkride: date | None = None
    next_lesson: str | None = None
    next_on: date | None = None
    minutes: int = 10
    target: float = 0.9
    zone: str | None = None
    entries: int = 0


class Entries(SQLModel, table=True):
    """The answer log. One student is one range of the primary key; there is no other index."""

    __tablename__ = "entries"
    __table_args__ = (
        CheckConstraint("what IN ('answer', 'void', 'flown')", name="what"),
        {"sqlite_with_rowid": False},
    )

    student: int = Field(primary_key=True, foreign_key="students.key")
    id: str = Field(primary_key=True)
    what: str
    day: int  # days since 1970-01-01
    at: int = Field(sa_type=BigInteger)  # milliseconds since 1970, UTC
    zone: str
    question: str | None = None
    variant: str | None = None
    kind: str | None = None
    revision: str | None = None
    aircraft: str | None = None
    phraseology: str | None = None
    seed: int | None = Field(default=None, sa_type=BigInteger)
    given: str | None = None
    confidence: str | None = None
    hinted: bool | None = None
    score: float | None = None
    right: bool | None = None
    marked_by: str | None = None
    seconds: float | None = None
    voids: str | None = None


class Parameters(SQLModel, table=True):
    """Adopted sets of memory parameters; the newest of a student is in force."""

    __tablename__ = "parameters"

    student: int = Field(primary_key=True, foreign_key="students.key")
    id: str = Field(primary_key=True)
    at: int = Field(sa_type=BigInteger)
    answers: int
    values: str
