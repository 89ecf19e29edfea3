"""A database: one engine for reading and writing, made and migrated on the way.

Reading must be quick, since it happens at every look at the day: alembic is not imported for it.
"""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

import sqlalchemy as sa

from stickback.refused import Refused, Unreachable
from stickback.store import apart, connections, files
from stickback.store.connections import Held, engine_of, transaction
from stickback.store.connections import close as close  # what opens databases closes them, too
from stickback.store.dialect import Dialect, Purpose
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite
from stickback.store.tables import FIRST, INSTALLATIONS

# Versions of the schema, oldest first; a test holds them to the migrations.
VERSIONS = ("0001", "0002", "0003", "0004", "0005", "0006", "0007")
_SQLITE, _SERVER = "sqlite:///", ("postgresql://", "postgresql+psycopg://", "postgres://")
_NO_VALUE = ("Could not decode to UTF-8", "date too ")  # what drivers say of a value that they cannot give
_SCHOOLS: dict["Database", int] = {}  # keys of those that were asked for: a school stays, and its key serves no other


class Damaged(Refused):
    """A database of ours that cannot be read."""


@dataclass(frozen=True)
class Database:
    """A database of either engine, which need not be made yet, as one school sees it.

    Args:
        school: its name; the first one has none.
    """

    dialect: Dialect
    school: str = ""

    @property
    def name(self) -> str:
        """What a person calls it."""
        return self.dialect.name

    @contextmanager
    def reading(self) -> Iterator[sa.Connection | None]:
        """A connection that sees one state and cannot write; None when there is nothing yet.

        A database that cannot be written is read all the same.

        Errors: Refused when it is locked, damaged, newer than this program or not ours.
        """
        with self._refusals(), ExitStack() as kept:
            yield self._reader(kept) if self.dialect.exists() else None

    def _reader(self, kept: ExitStack) -> sa.Connection | None:
        try:
            with ExitStack() as opened:
                connection = opened.enter_context(transaction(self.dialect, "read", self._key()))
                version = self._version(connection)
                if version in {"", VERSIONS[-1]}:
                    kept.push(opened.pop_all())
                    return connection if version else None
        except (sa.exc.DBAPIError, sqlite3.Error) as error:
            if (other := self.dialect.stand_in(getattr(error, "orig", error), kept)) is None:
                raise
            return replace(self, dialect=other)._reader(kept)
        try:
            self._migrate()
        except Refused as refused:
            other = self.dialect.stand_in(refused.__cause__ or refused, kept, to_write=True)
            if other is None:
                raise
            Database(other).upgrade()
            return replace(self, dialect=other)._reader(kept)
        return kept.enter_context(transaction(self.dialect, "read", self._key()))

    @contextmanager
    def writing(self, purpose: Purpose = "write") -> Iterator[sa.Connection]:
        """A connection that holds the lock: committed at the end, rolled back by any exception.

        Args:
            purpose: to write in this school, or in all.
        Errors: Refused as for reading, and when the database or its disk cannot be written.
        """
        with self._refusals(), connections.going_on(self.dialect):
            if not self.dialect.exists():
                self._make()
            with transaction(self.dialect, "read") as connection:
                version = self._version(connection)
            if version != VERSIONS[-1]:
                self._migrate()
            with self.dialect.turn(), transaction(self.dialect, purpose, self._key()) as connection:
                yield connection

    def held(self) -> AbstractContextManager[Held]:
        """All that is read and written inside, one after the other, takes one connection."""
        return connections.held(self.dialect)

    def prepare(self) -> None:
        """Makes or migrates the database and loads what writing needs, so that the first answer does not wait.

        Errors: Refused when nothing can be written: something is, to find out.
        """
        with self.writing() as connection:
            connection.execute(sa.update(INSTALLATIONS).values(id=INSTALLATIONS.c.id))

    def _make(self) -> None:
        """A database comes to its place when it is whole; where another made one meanwhile that one stands."""
        with suppress(FileExistsError), files.whole(Path(self.name)) as unfinished:
            Database(SQLite(unfinished))._upgrade()

    def upgrade(self, revision: str = "head") -> None:
        """Brings the database to a version of the schema, guards and all, in one transaction."""
        with self._refusals():
            self._upgrade(revision)

    def _upgrade(self, revision: str = "head") -> None:
        from alembic import command
        from alembic.config import Config

        config = Config()
        config.set_main_option("script_location", "stickback.store:migrations")
        config.set_main_option("path_separator", "os")
        with transaction(self.dialect, "migrate") as connection:
            self.dialect.remove(connection)
            config.attributes["connection"] = connection
            command.upgrade(config, revision)
            self.dialect.install(connection)
            self.dialect.divide(connection)
            if self.dialect.orphans(connection):
                raise Refused(f"{self.name} is damaged: it holds entries without their student.")

    def save(self, file: Path) -> None:
        """Puts a database file, as it is at one moment, into an empty one; others may go on writing."""
        with self._refusals(), ExitStack() as kept:
            assert isinstance(self.dialect, SQLite)  # noqa: S101 - a server's is poured
            try:
                self.dialect.save(engine_of(self.dialect), file)
            except sqlite3.Error as error:
                other = self.dialect.stand_in(error, kept)
                if other is None:
                    raise
                other.save(engine_of(other), file)

    def settle(self) -> None:
        """Brings a copy of a database to the newest schema, keeping nothing of what it was.

        Errors: Refused as for reading.
        """
        with self._refusals():
            with transaction(self.dialect, "read") as connection:
                version = self._version(connection)
            if version != VERSIONS[-1]:
                self._upgrade()

    def keep(self, mark: str) -> str | None:
        """Keeps what is there under a mark, before it is replaced, and says where; a damaged file is moved there.

        Errors: Refused for a database that is not ours, or in use.
        """
        with self._refusals():
            try:
                with transaction(self.dialect, "read") as connection:
                    version = self._version(connection)
                return self.dialect.copy(engine_of(self.dialect), mark) if version else None
            except (Damaged, sa.exc.DBAPIError, sqlite3.Error) as error:
                cause = getattr(error, "orig", error)
                torn = str(getattr(cause, "sqlite_errorname", "")).startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB"))
                if not isinstance(self.dialect, SQLite) or not (torn or isinstance(error, Damaged)):
                    raise
                return str(files.set_aside(self.dialect.path, mark))

    def unguarded(self) -> list[str]:
        """Names of guards that are missing."""
        with self.reading() as connection:
            return self.dialect.missing(connection) if connection else []

    def _key(self) -> int:
        if self.school and self not in _SCHOOLS:
            key = self._key_now()
            if key is None:
                raise Refused(f"There is no school '{self.school}' in {self.name}; `stickback school add` adds one.")
            _SCHOOLS[self] = key
        return _SCHOOLS[self] if self.school else FIRST

    def _key_now(self) -> int | None:
        """The key of the school as it stands: a restore may have taken the school away, and its name be another's."""
        with Database(self.dialect).reading() as connection:
            return None if connection is None else apart.key(connection, self.school)

    def _version(self, connection: sa.Connection) -> str:
        """The version of the schema; empty for a new database."""
        tables = self.dialect.tables(connection)
        if self.dialect.new(tables):
            return ""
        if not tables:
            raise Damaged(f"{self.name} holds no database; put back a copy of it, or remove it to begin anew.")
        if not {"entries", "students"} <= tables:
            raise Refused(f"{self.name} is a database of another program.")
        if "alembic_version" not in tables:
            raise Damaged(f"{self.name} is damaged: the version of its form is missing; put back a copy of it.")
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
        version = str(found[0]) if len(found) == 1 else ""
        if version in VERSIONS:
            return version
        if re.fullmatch(r"\d{4}", version) and version > VERSIONS[-1]:
            raise Refused(f"{self.name} was written by a newer stickback; update this one to open it.")
        raise Refused(f"{self.name} is damaged: the version of its form reads {version[:40]!a}; put back a copy of it.")

    def _migrate(self) -> None:
        """Copies and migrates, one process at a time; whoever waited finds it done."""
        with self._refusals(), transaction(self.dialect, "turn"):
            with transaction(self.dialect, "read") as connection:
                version = self._version(connection)
            if version == VERSIONS[-1]:
                return
            if version:
                self.dialect.copy(engine_of(self.dialect), f"before-{VERSIONS[-1]}")
            self.upgrade()

    @contextmanager
    def _refusals(self) -> Iterator[None]:
        """Turns what a database can do to us into one sentence; what the program did wrong stays an error."""
        try:
            yield
        except sa.exc.IntegrityError as error:
            if self.school and self._key() != self._key_now():
                raise Refused(f"The school '{self.school}' is not in {self.name} any more; start again.") from error
            raise
        except sa.exc.DBAPIError as error:
            raise self._refusal(error.orig or error) from error
        except OSError as error:
            raise self._refusal(error) from error
        except Exception as error:
            if not connections.of_driver(error):
                raise
            raise self._refusal(error) from error

    def _refusal(self, error: BaseException) -> Refused:
        if any(sign in str(error) for sign in _NO_VALUE):
            return Damaged(self.dialect.sentence(error))
        return (Unreachable if self.dialect.away(error) else Refused)(self.dialect.sentence(error))


def locate(url: str) -> Database:
    """The database of a URL, or of a plain path; behind it may stand which school of it: `?school=NAME`.

    Errors: Refused for another kind of database, or a file in a folder that is not there.
    """
    url, school = _parted(url) if url.startswith(_SERVER) or "?school=" in url else (url, "")
    if url.startswith(_SERVER):
        return Database(PostgreSQL.at(url), school)
    if "://" in url and not url.startswith(_SQLITE):
        raise Refused("This database cannot be opened; write sqlite:///path/to/file.db or postgresql://host/name.")
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
    return Database(SQLite(path), school)


def _parted(url: str) -> tuple[str, str]:
    place, _, options = url.partition("?")
    kept = [each for each in options.split("&") if each and not each.startswith("school=")]
    schools = [each.removeprefix("school=") for each in options.split("&") if each.startswith("school=")]
    return "?".join([place, "&".join(kept)] if kept else [place]), "".join(schools)


def afresh(path: Path) -> Database:
    """An empty database file in the place of one that may be thrown away.

    Errors: Refused when the old one cannot be removed.
    """
    made = SQLite(path)
    try:
        for old in (path, *(path.with_name(path.name + end) for end in ("-wal", "-shm"))):
            old.unlink(missing_ok=True)
    except OSError as error:
        raise Refused(made.sentence(error)) from error
    return Database(made)
