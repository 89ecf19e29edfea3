"""What differs between the two engines: how to connect, to lock, to copy, to guard, and what their errors mean.

Guards: the database itself refuses to change or delete an entry, whoever asks; put back after every migration.
"""

import re
import sqlite3
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar, Literal, Protocol

import sqlalchemy as sa

from stickback.refused import Refused

Purpose = Literal["read", "write", "migrate"]

BUSY_SECONDS = 5  # how long anyone waits for a lock
_NO_EXTRA = "A database on a server needs psycopg; install it with `pip install 'stickback[school]'`."


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
        """Whether there is something to read."""

    def engine(self) -> sa.Engine:
        """A new engine; every transaction of it begins with `begin`."""

    def begin(self, connection: sa.Connection, purpose: Purpose) -> None:
        """Opens the transaction: a reader sees one state and cannot write, a writer holds the lock from the start."""

    def tables(self, connection: sa.Connection) -> set[str]:
        """Names of the tables that are there."""

    def copy(self, engine: sa.Engine, mark: str) -> None:
        """Copies everything, so that a migration can be gone back on."""

    def install(self, connection: sa.Connection) -> None:
        """Puts every guard in place, in the transaction that is open."""

    def remove(self, connection: sa.Connection) -> None:
        """Takes the guards away, for a migration or the erasing of a student, in the transaction that is open."""

    def missing(self, connection: sa.Connection) -> list[str]:
        """Names of guards that are not in place as they should be."""

    def orphans(self, connection: sa.Connection) -> bool:
        """Whether rows refer to others that are not there; foreign keys may be off while migrating."""

    def sentence(self, error: BaseException) -> str:
        """What an error of the driver, or of the system, means for a person."""


def _plain(text: str) -> str:
    return " ".join(text.split())


@dataclass(frozen=True)
class SQLite:
    """A database file, which need not exist yet."""

    path: Path

    guards: ClassVar[dict[str, str]] = {
        "entries_are_never_changed": """
            CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
            BEGIN SELECT RAISE(ABORT, 'an entry is never changed: void it'); END""",
        "entries_are_never_deleted": """
            CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries
            BEGIN SELECT RAISE(ABORT, 'an entry is never deleted: void it'); END""",
        # REPLACE and upserts delete or update without the triggers above unless they are stopped before they insert.
        "entries_are_never_replaced": """
            CREATE TRIGGER entries_are_never_replaced BEFORE INSERT ON entries
            WHEN EXISTS (SELECT 1 FROM entries WHERE student = NEW.student AND id = NEW.id)
            BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END""",
    }
    settings: ClassVar[dict[Purpose, tuple[str, ...]]] = {
        "read": ("query_only = ON",),
        "write": ("journal_mode = WAL", "synchronous = FULL", "secure_delete = ON", "foreign_keys = ON"),
        # Rebuilding a parent table would delete its children while foreign keys are on.
        "migrate": ("journal_mode = WAL", "synchronous = FULL", "secure_delete = ON", "foreign_keys = OFF"),
    }
    _meanings: ClassVar[dict[str, str]] = {
        "locked": "{} is in use by another program; try again in a moment.",
        "readonly": "{} cannot be written; check its permissions.",
        "Read-only": "{} cannot be written; check its permissions.",
        "unable to open": "{} cannot be opened; check its permissions and those of its folder.",
        "full": "There is no room left on the disk of {}; what was stored before is safe.",
        "disk I/O": "The disk of {} failed or is full; what was stored before is safe.",
        "malformed": "{} is damaged; put back a copy of it.",
        "not a database": "{} is damaged or not a database of stickback.",
    }

    @property
    def url(self) -> str:
        """What names it on the command line."""
        return f"sqlite:///{self.path}"

    @property
    def name(self) -> str:
        """The path of the file."""
        return str(self.path)

    def exists(self) -> bool:
        """An empty file holds nothing to read."""
        return self.path.exists() and self.path.stat().st_size > 0

    def engine(self) -> sa.Engine:
        """A connection kept open would go on writing to a file that was moved away meanwhile: each is a new one."""
        # Transactions begin and end where SQLAlchemy says so, not where the driver would.
        return sa.create_engine(
            sa.URL.create("sqlite", database=str(self.path)),
            creator=lambda: sqlite3.connect(self.path, isolation_level=None, check_same_thread=False),
            poolclass=sa.pool.NullPool,
        )

    def begin(self, connection: sa.Connection, purpose: Purpose) -> None:
        """A writer takes the lock at once, so that none fails half-way for want of it."""
        for setting in (f"busy_timeout = {1000 * BUSY_SECONDS}", "trusted_schema = OFF", *self.settings[purpose]):
            connection.exec_driver_sql(f"PRAGMA {setting}")
        connection.exec_driver_sql("BEGIN" if purpose == "read" else "BEGIN IMMEDIATE")

    def tables(self, connection: sa.Connection) -> set[str]:
        """Names of the tables that are there."""
        return set(connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars())

    def copy(self, engine: sa.Engine, mark: str) -> None:
        """A file beside this one; whole when it has its name."""
        copy = self.path.with_name(f"{self.path.name}.{mark}")
        unfinished = copy.with_name(f"{copy.name}.unfinished")
        unfinished.unlink(missing_ok=True)
        driver = engine.raw_connection()
        try:
            driver.cursor().execute("VACUUM INTO ?", (str(unfinished),))
        finally:
            driver.close()
        unfinished.replace(copy)

    def install(self, connection: sa.Connection) -> None:
        """Puts every guard in place, in the transaction that is open."""
        self.remove(connection)
        for statement in self.guards.values():
            connection.exec_driver_sql(statement)

    def remove(self, connection: sa.Connection) -> None:
        """Takes the guards away, in the transaction that is open."""
        for name in self.guards:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")

    def missing(self, connection: sa.Connection) -> list[str]:
        """Names of guards that are not in place as they should be."""
        rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        found = {name: _plain(sql) for name, sql in rows}
        return [name for name, sql in self.guards.items() if found.get(name) != _plain(sql)]

    def orphans(self, connection: sa.Connection) -> bool:
        """Whether rows refer to others that are not there."""
        return connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None

    def sentence(self, error: BaseException) -> str:
        """What an error of the driver, or of the system, means for a person."""
        said = (error.strerror if isinstance(error, OSError) else None) or str(error)
        meant = next((text for word, text in self._meanings.items() if word in said), None)
        return meant.format(self.path) if meant else f"{self.path} cannot be opened: {_plain(said)}."


@dataclass(frozen=True)
class PostgreSQL:
    """A database on a server, as a school has it; the URL holds what the server asks for."""

    url: str = field(repr=False)

    guards: ClassVar[dict[str, str]] = {
        f"entries_are_never_{done}": f"CREATE TRIGGER entries_are_never_{done} BEFORE {verb} ON entries "
        f"FOR EACH STATEMENT EXECUTE FUNCTION entries_stand('an entry is never {done}: void it')"
        for done, verb in (("changed", "UPDATE"), ("deleted", "DELETE"), ("emptied", "TRUNCATE"))
    }
    refusing: ClassVar[str] = " BEGIN RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'restrict_violation'; END "
    _one_writer: ClassVar[int] = 0x5713_CBAC  # any number, the same for all who write
    # Found in the SQLSTATE and the message; a connection that failed has no state.
    _meanings: ClassVar[dict[str, str]] = {
        "^55P03": "{} is in use by another program; try again in a moment.",
        "^25006": "{} cannot be written; it takes readers only.",
        "^42501": "{} cannot be written or read by this user; ask who looks after the server.",
        "^53100": "There is no room left on the disk of {}; what was stored before is safe.",
        "^57P": "The server of {} stopped; what was stored before is safe.",
        "^58": "The disk of {} failed; what was stored before is safe.",
        "^XX": "{} is damaged; put back a copy of it.",
        'database ".*" does not exist': "There is no database {} on its server.",
        'role ".*"|authentication|no password': "The server of {} does not let this user in; check name and password.",
        "connect|resolve": "The server of {} cannot be reached.",
    }

    @property
    def name(self) -> str:
        """Host and database."""
        url = sa.make_url(self.url)
        return f"postgresql://{url.host or ''}/{url.database or ''}"

    def exists(self) -> bool:
        """Only the server can tell."""
        return True

    def engine(self) -> sa.Engine:
        """Connections are kept, since opening one takes longer than most questions to it."""
        url = sa.make_url(self.url).set(drivername="postgresql+psycopg")
        try:
            return sa.create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": BUSY_SECONDS})
        except ModuleNotFoundError:
            raise Refused(_NO_EXTRA) from None

    def begin(self, connection: sa.Connection, purpose: Purpose) -> None:
        """One writes at a time, and waits for the lock before anything is worked out."""
        if purpose == "read":
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            return
        # 0 would wait for ever.
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {max(1, 1000 * BUSY_SECONDS)}")
        connection.exec_driver_sql("SET LOCAL synchronous_commit = on")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({self._one_writer})")

    def tables(self, connection: sa.Connection) -> set[str]:
        """Names of the tables that are there."""
        query = "SELECT tablename FROM pg_tables WHERE schemaname = current_schema()"
        return set(connection.exec_driver_sql(query).scalars())

    def copy(self, engine: sa.Engine, mark: str) -> None:
        """The tables once more, in a schema named like the mark."""
        schema = engine.dialect.identifier_preparer.quote(mark)
        with engine.execution_options(purpose="migrate").begin() as connection:
            connection.exec_driver_sql(f"DROP SCHEMA IF EXISTS {schema} CASCADE")
            connection.exec_driver_sql(f"CREATE SCHEMA {schema}")
            for table in sorted(self.tables(connection)):
                connection.exec_driver_sql(f"CREATE TABLE {schema}.{table} AS TABLE {table}")

    def install(self, connection: sa.Connection) -> None:
        """Puts every guard in place, in the transaction that is open."""
        self.remove(connection)
        body = self.refusing.replace("%", "%%")
        connection.exec_driver_sql(f"CREATE FUNCTION entries_stand() RETURNS trigger LANGUAGE plpgsql AS $${body}$$")
        for name, statement in self.guards.items():
            connection.exec_driver_sql(statement)
            # Else a session that replays changes of another server would pass.
            connection.exec_driver_sql(f"ALTER TABLE entries ENABLE ALWAYS TRIGGER {name}")

    def remove(self, connection: sa.Connection) -> None:
        """Takes the guards away, in the transaction that is open."""
        if "entries" in self.tables(connection):
            for name in self.guards:
                connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name} ON entries")
        connection.exec_driver_sql("DROP FUNCTION IF EXISTS entries_stand")

    def missing(self, connection: sa.Connection) -> list[str]:
        """Names of guards that are not in place as they should be."""
        rows = connection.exec_driver_sql(
            "SELECT t.tgname, pg_get_triggerdef(t.oid, true) FROM pg_trigger t JOIN pg_proc p ON p.oid = t.tgfoid "
            "WHERE t.tgrelid = to_regclass('entries') AND t.tgenabled = 'A' AND p.prosrc = %s",
            (self.refusing,),
        )
        found = {name: _plain(sql) for name, sql in rows}
        return [name for name, sql in self.guards.items() if found.get(name) != sql]

    def orphans(self, connection: sa.Connection) -> bool:  # noqa: ARG002
        """The server never lets go of its foreign keys."""
        return False

    def sentence(self, error: BaseException) -> str:
        """What an error of the driver, or of the system, means for a person."""
        said = f"{getattr(error, 'sqlstate', None) or ''} {error}"
        meant = next((text for sign, text in self._meanings.items() if re.search(sign, said)), None)
        return meant.format(self.name) if meant else f"{self.name} cannot be opened: {_plain(str(error))}."
