"""What differs between the two engines: how to connect, to lock, to copy, to guard, and what their errors mean.

Guards: the database itself refuses to change or delete an entry or an act, whoever asks; put back after every
migration.
"""

from collections.abc import Sequence
from contextlib import AbstractContextManager, ExitStack
from typing import Any, ClassVar, Literal, Protocol

import sqlalchemy as sa

# What is of all schools is written by one alone; a turn is that of the one that migrates.
Purpose = Literal["read", "write", "write all", "migrate", "turn"]

BUSY_SECONDS = 5  # how long anyone waits for a lock


class Dialect(Protocol):
    """One database of one engine; two of them with the same address are equal."""

    guards: ClassVar[dict[str, str]]

    @property
    def url(self) -> str:
        """What names it on the command line."""

    @property
    def name(self) -> str:
        """What a person calls the database; no password is in it."""

    def exists(self) -> bool:
        """Whether there is something to open; where there is not a database is made."""

    def new(self, tables: set[str]) -> bool:
        """Whether what has these tables only waits for ours."""

    def file(self) -> object:
        """What tells a file from one that was put in its place; None where there is none, or connections are kept."""

    def engine(self) -> sa.Engine:
        """A new engine; every transaction of it begins with `begin`."""

    def turn(self) -> AbstractContextManager[object]:
        """Held by a writer from before its transaction to after it: the writers of a process go one after the other."""

    def begin(self, connection: sa.Connection, purpose: Purpose, school: int) -> None:
        """Opens the transaction of a school: a reader sees one state and cannot write, a writer holds the lock from the
        start."""

    def enter(self, connection: sa.Connection, school: int) -> None:
        """Goes on with another school, in the transaction that is open."""

    def bypasses(self, connection: sa.Connection) -> bool:
        """Whether this user sees the rows of all schools, whatever is set."""

    def divide(self, connection: sa.Connection) -> None:
        """Lets the database itself keep the rows of each school from the others; a migration may see them all."""

    def tables(self, connection: sa.Connection) -> set[str]:
        """Names of the tables that are there."""

    def copy(self, engine: sa.Engine, mark: str) -> str:
        """Keeps everything as it is, so that a change can be gone back on; says where."""

    def stand_in(self, error: BaseException, kept: ExitStack, *, to_write: bool = False) -> "Dialect | None":
        """What can be read instead of a database that the error kept from being opened; None when nothing can.

        Args:
            kept: what is closed when reading is over.
            to_write: it will be written too.
        """

    def install(self, connection: sa.Connection) -> None:
        """Puts every guard in place, in the transaction that is open."""

    def remove(self, connection: sa.Connection) -> None:
        """Takes the guards away, for a migration or the erasing of a student, in the transaction that is open."""

    def missing(self, connection: sa.Connection) -> list[str]:
        """Names of guards that are not in place as they should be."""

    def orphans(self, connection: sa.Connection) -> bool:
        """Whether rows refer to others that are not there; foreign keys may be off while migrating."""

    def away(self, error: BaseException) -> bool:
        """Whether an error says that the server is away for now."""

    def sentence(self, error: BaseException) -> str:
        """What an error of the driver, or of the system, means for a person."""


def guarded(guard: str) -> str:
    """The table that a guard stands before; a database of an older form need not have it."""
    return guard.partition("_")[0]


def plain(text: str) -> str:
    """On one line."""
    return " ".join(text.split())


def tuples(connection: sa.Connection, query: sa.Select[Any]) -> Sequence[Sequence[Any]]:
    """The rows of a query as the driver gives them: without an object of ours a row."""
    with connection.execute(query) as result:
        assert result.cursor is not None  # noqa: S101 - a query has rows
        return result.cursor.fetchall()
