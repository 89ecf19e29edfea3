"""SQLite: a database in a file."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Lock
from typing import ClassVar

import sqlalchemy as sa

from stickback.store import dialect, files
from stickback.store.dialect import Purpose, plain

# What a file, its folder or its disk says that may be read only, or is full.
_UNWRITABLE = ("SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_IOERR_SHM", "SQLITE_IOERR_WRITE", "SQLITE_FULL")
_NO_WRITING = {errno.EROFS, errno.EACCES, errno.EPERM, errno.ENOSPC, errno.EFBIG, errno.EDQUOT}
_WRITING = ("journal_mode = WAL", "synchronous = FULL", "secure_delete = ON")


@dataclass(frozen=True)
class SQLite:
    """A database file, which need not exist yet."""

    path: Path
    settled: bool = False  # nobody writes it, nor is anything written beside it

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
            WHEN EXISTS (SELECT 1 FROM entries WHERE school = NEW.school AND student = NEW.student AND id = NEW.id)
            BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END""",
        "acts_are_never_changed": """
            CREATE TRIGGER acts_are_never_changed BEFORE UPDATE ON acts
            BEGIN SELECT RAISE(ABORT, 'an act is never changed'); END""",
        "acts_are_never_deleted": """
            CREATE TRIGGER acts_are_never_deleted BEFORE DELETE ON acts
            BEGIN SELECT RAISE(ABORT, 'an act is never deleted'); END""",
        "acts_are_never_replaced": """
            CREATE TRIGGER acts_are_never_replaced BEFORE INSERT ON acts
            WHEN EXISTS (SELECT 1 FROM acts WHERE school = NEW.school AND number = NEW.number)
            BEGIN SELECT RAISE(ABORT, 'an act is never replaced'); END""",
    }
    settings: ClassVar[dict[Purpose, tuple[str, ...]]] = {
        "read": ("query_only = ON",),
        "write": (*_WRITING, "foreign_keys = ON"),
        "write all": (*_WRITING, "foreign_keys = ON"),
        # Rebuilding a parent table would delete its children while foreign keys are on.
        "migrate": (*_WRITING, "foreign_keys = OFF"),
        "turn": (),
    }
    _meanings: ClassVar[dict[str, str]] = {
        "locked": "{} is in use by another program; try again in a moment.",
        "readonly": "{} cannot be written; check its permissions.",
        "Read-only": "{} cannot be written; check its permissions.",
        "unable to open": "{} cannot be opened; check its permissions and those of its folder.",
        "Permission denied": "{} cannot be opened; check its permissions and those of its folder.",
        "No space": "There is no room left on the disk of {}; what was stored before is safe.",
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
        """Whatever is there is opened, and never taken for a place to make a database in."""
        return self.path.exists()

    def new(self, tables: set[str]) -> bool:  # noqa: ARG002
        """A database comes to its place when it is whole."""
        return False

    def file(self) -> tuple[int, int] | None:
        """The device and the number of the file, which stay while it is written."""
        try:
            about = self.path.stat()
        except OSError:
            return None
        return about.st_dev, about.st_ino

    def engine(self) -> sa.Engine:
        """A connection kept open would go on writing to a file that was moved away meanwhile: each is a new one."""
        # Transactions begin and end where SQLAlchemy says so, not where the driver would.
        return sa.create_engine(
            sa.URL.create("sqlite", database=str(self.path)), creator=self._connect, poolclass=sa.pool.NullPool
        )

    def _connect(self) -> sqlite3.Connection:
        if not self.settled:
            files.private(self.path)
        name = f"{self.path.absolute().as_uri()}?immutable=1" if self.settled else str(self.path)
        made = sqlite3.connect(
            name, timeout=dialect.BUSY_SECONDS, isolation_level=None, check_same_thread=False, uri=self.settled
        )
        made.execute("PRAGMA trusted_schema = OFF")
        return made

    @contextmanager
    def turn(self) -> Iterator[None]:
        """The lock of a file has no queue: of fifty threads that ask for it again and again one may never get it."""
        turn = turn_of(self.path.absolute())
        held = turn.acquire(timeout=dialect.BUSY_SECONDS)  # else the file itself says that it is in use
        try:
            yield
        finally:
            if held:
                turn.release()

    def begin(self, connection: sa.Connection, purpose: Purpose, school: int) -> None:  # noqa: ARG002
        """A writer takes the lock at once, so that none fails half-way for want of it."""
        driver = _driver(connection)
        for setting in ("query_only = OFF", *self.settings[purpose]):
            driver.execute(f"PRAGMA {setting}")
        driver.execute("BEGIN" if purpose in {"read", "turn"} else "BEGIN IMMEDIATE")

    def enter(self, connection: sa.Connection, school: int) -> None:
        """A file knows of no school but by what each statement says."""

    def bypasses(self, connection: sa.Connection) -> bool:  # noqa: ARG002
        """Whoever has a file has all of it."""
        return False

    def divide(self, connection: sa.Connection) -> None:
        """A file has no rows that some may not see."""

    def tables(self, connection: sa.Connection) -> set[str]:
        """Names of the tables that are there."""
        found = _driver(connection).execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        return {str(name) for (name,) in found}

    def copy(self, engine: sa.Engine, mark: str) -> str:
        """A file beside this one."""
        copy = self.path.with_name(f"{self.path.name}.{mark}")
        with files.whole(copy, over=True) as unfinished:
            self.save(engine, unfinished)
        return str(copy)

    def save(self, engine: sa.Engine, file: Path) -> None:
        """Puts everything, as it is at one moment, into an empty file; others may go on writing."""
        driver = engine.raw_connection()
        try:
            driver.cursor().execute("VACUUM INTO ?", (str(file),))
        finally:
            driver.close()

    def stand_in(self, error: BaseException, kept: ExitStack, *, to_write: bool = False) -> "SQLite | None":
        """The file as it lies there, or a copy, where nothing can be written beside it."""
        name, number = str(getattr(error, "sqlite_errorname", "")), getattr(error, "errno", 0)
        if not (name.startswith(_UNWRITABLE) or number in _NO_WRITING) or (self.settled and not to_write):
            return None
        if to_write or files.written_ahead(self.path):
            return SQLite(kept.enter_context(files.copied(self.path)))
        return SQLite(self.path, settled=True)

    def install(self, connection: sa.Connection) -> None:
        """Puts every guard in place, in the transaction that is open."""
        self.remove(connection)
        tables = self.tables(connection)
        for name, statement in self.guards.items():
            if dialect.guarded(name) in tables:
                connection.exec_driver_sql(statement)

    def remove(self, connection: sa.Connection) -> None:
        """Takes the guards away, in the transaction that is open."""
        for name in self.guards:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")

    def missing(self, connection: sa.Connection) -> list[str]:
        """Names of guards that are not in place as they should be."""
        rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        found = {name: plain(sql) for name, sql in rows}
        return [name for name, sql in self.guards.items() if found.get(name) != plain(sql)]

    def orphans(self, connection: sa.Connection) -> bool:
        """Whether rows refer to others that are not there."""
        return connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None

    def away(self, error: BaseException) -> bool:  # noqa: ARG002
        """A file is there or it is not."""
        return False

    def sentence(self, error: BaseException) -> str:
        """What an error of the driver, or of the system, means for a person."""
        said = (error.strerror if isinstance(error, OSError) else None) or str(error)
        meant = next((text for word, text in self._meanings.items() if word in said), None)
        return meant.format(self.path) if meant else f"{self.path} cannot be opened: {plain(said)}."


def _driver(connection: sa.Connection) -> sqlite3.Connection:
    """The driver's own connection, for what comes with every transaction: it asks in a tenth of the time."""
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)  # noqa: S101 - it is connected
    return driver


@cache
def turn_of(path: Path) -> Lock:  # noqa: ARG001 - one for each file
    """What the writers of a file wait for in this process."""
    return Lock()
