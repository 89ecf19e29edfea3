"""A database file: opened for reading with the driver alone, for writing with SQLAlchemy; made and migrated on the way.

Reading must be quick, since it happens at every look at the day: neither sqlmodel nor alembic is imported for it.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stickback.refused import Refused
from stickback.store import guards

if TYPE_CHECKING:
    from sqlmodel import Session

VERSIONS = ("0001",)  # of the schema, oldest first; a test holds this to the migrations
BUSY_SECONDS = 5
_SQLITE = "sqlite:///"


@dataclass(frozen=True)
class Database:
    """A database file, which need not exist yet."""

    path: Path

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection | None]:
        """A connection that cannot write; None when there is no database yet.

        Errors: Refused when it is locked, damaged, newer than this program or not ours.
        """
        with refusals(self.path):
            if not self.path.exists() or not self.path.stat().st_size:
                yield None
                return
            if self._version() != VERSIONS[-1]:
                self._migrate()
            with closing(self._connect()) as connection:
                connection.execute("PRAGMA query_only = ON")
                yield connection

    @contextmanager
    def writing(self) -> Iterator["Session"]:
        """A session in one immediate transaction: committed at the end, rolled back by any exception.

        Errors: Refused as for reading, and when the file or its disk cannot be written.
        """
        from sqlmodel import Session

        with refusals(self.path), Session(self._engine) as session, session.begin():
            session.connection()  # takes the write lock, before anything is worked out
            yield session

    def prepare(self) -> None:
        """Makes or migrates the database and loads what writing needs, so that the first answer does not wait."""
        with self.writing():
            pass

    @cached_property
    def _engine(self) -> Any:
        from stickback.store.migrations import run

        if self._version() != VERSIONS[-1]:
            self._migrate()
        return run.engine(self.path, foreign_keys=True, busy_seconds=BUSY_SECONDS)

    def _connect(self) -> sqlite3.Connection:
        return sqlite3.connect(self.path, timeout=BUSY_SECONDS, isolation_level=None)

    def _version(self) -> str:
        """The version of the schema; empty for a new file."""
        if not self.path.exists() or not self.path.stat().st_size:
            return ""
        with closing(self._connect()) as connection:
            tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
            if not tables:
                return ""
            if not {"alembic_version", "entries", "students"} <= tables:
                raise Refused(f"{self.path} is a database of another program.")
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        if row is None or row[0] not in VERSIONS:
            raise Refused(f"{self.path} was written by a newer stickback; update this one to open it.")
        return str(row[0])

    def _migrate(self) -> None:
        from stickback.store.migrations import run

        version = self._version()
        if version:
            copy = self.path.with_name(f"{self.path.name}.before-{VERSIONS[-1]}")
            unfinished = copy.with_name(f"{copy.name}.unfinished")
            unfinished.unlink(missing_ok=True)
            with closing(self._connect()) as connection:
                connection.execute("VACUUM INTO ?", (str(unfinished),))
            unfinished.replace(copy)
        run.upgrade(self.path, busy_seconds=BUSY_SECONDS)


def locate(url: str) -> Database:
    """The database of a URL, or of a plain path.

    Errors: Refused for another kind of database, or a file in a folder that is not there.
    """
    if "://" in url and not url.startswith(_SQLITE):
        raise Refused("This database cannot be opened; write sqlite:///path/to/file.db.")
    name = url.removeprefix(_SQLITE)
    if not name or name == ":memory:" or "\0" in name:
        raise Refused("The database must be a file; write sqlite:///path/to/file.db.")
    try:
        path = Path(name).expanduser()
        is_folder, has_folder = path.is_dir(), path.parent.is_dir()
    except (OSError, ValueError, RuntimeError):
        raise Refused(f"The database {name!r} cannot be opened.") from None
    if is_folder:
        raise Refused(f"{path} is a folder; name a database file.")
    if not has_folder:
        raise Refused(f"There is no folder {path.parent} for the database.")
    return Database(path)


def afresh(path: Path) -> Database:
    """An empty database in the place of one that may be thrown away.

    Errors: Refused when the old one cannot be removed.
    """
    with refusals(path):
        for old in (path, *(path.with_name(path.name + end) for end in ("-wal", "-shm"))):
            old.unlink(missing_ok=True)
    return Database(path)


@contextmanager
def refusals(path: Path) -> Iterator[None]:
    """Turns what a database file can do to us into one sentence."""
    try:
        yield
    except sqlite3.Error as error:
        raise Refused(sentence(path, str(error))) from error
    except OSError as error:
        raise Refused(sentence(path, error.strerror or str(error))) from error
    except Exception as error:
        # SQLAlchemy wraps the driver's errors; it is not imported only to be caught.
        original = getattr(error, "orig", None)
        if not isinstance(original, sqlite3.Error) or isinstance(original, sqlite3.IntegrityError):
            raise
        raise Refused(sentence(path, str(original))) from error


def sentence(path: Path, error: str) -> str:
    """What an error of the driver means for a person."""
    said = {
        "locked": f"{path} is in use by another program; try again in a moment.",
        "readonly": f"{path} cannot be written; check its permissions.",
        "Read-only": f"{path} cannot be written; check its permissions.",
        "unable to open": f"{path} cannot be opened; check its permissions and those of its folder.",
        "full": f"There is no room left on the disk of {path}; what was stored before is safe.",
        "disk I/O": f"The disk of {path} failed or is full; what was stored before is safe.",
        "malformed": f"{path} is damaged; put back a copy of it.",
        "not a database": f"{path} is damaged or not a database of stickback.",
    }
    return next((text for word, text in said.items() if word in error), f"{path} cannot be opened: {error}.")


def unguarded(database: Database) -> list[str]:
    """Names of guards that are missing."""
    with database.reading() as connection:
        return guards.missing(connection) if connection else []
