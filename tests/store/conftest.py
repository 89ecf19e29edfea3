"""Fixtures of the store: migrated databases, entries to put into them, other programs' connections, a next version."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date
from pathlib import Path

import alembic.config
import pytest
import sqlalchemy as sa

from stickback import clock
from stickback.memory.entry import Entry
from stickback.store import database
from stickback.store.database import Database
from stickback.store.migrations import run

AT = 1_772_000_000_000  # a moment in February 2026
SECOND = """
import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade():
    for table in ("students", "entries"):
        with op.batch_alter_table(table, recreate="always") as batch:
            batch.add_column(sa.Column("club", sa.String()))
"""


ENGINE = run.engine


@pytest.fixture(autouse=True)
def ended(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Closes every engine after the test, as the end of a program does."""
    engines = []

    def made(*args: object, **options: object) -> sa.Engine:
        engines.append(ENGINE(*args, **options))
        return engines[-1]

    monkeypatch.setattr(run, "engine", made)
    yield
    for engine in engines:
        engine.dispose()


def _close(store: Database) -> None:
    if engine := vars(store).pop("_engine", None):
        engine.dispose()


@pytest.fixture(scope="session")
def close() -> Callable[[Database], None]:
    """Closes what a database keeps open, as the end of the program does."""
    return _close


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database file of the newest schema without a student."""
    path = tmp_path_factory.mktemp("made") / "made.db"
    store = Database(path)
    store.prepare()
    _close(store)
    return path


@pytest.fixture(scope="session")
def device(made: Path) -> Callable[[Path], Database]:
    """Puts an empty database at a path."""

    def build(path: Path) -> Database:
        shutil.copy(made, path)
        return Database(path)

    return build


@pytest.fixture
def store(device: Callable[[Path], Database], tmp_path: Path) -> Database:
    """An empty database."""
    return device(tmp_path / "school.db")


@pytest.fixture(scope="session")
def answer() -> Callable[..., Entry]:
    """Builds the n-th answer of a day; later ones have greater ids."""

    def build(n: int, day: str = "2026-03-01", **changes: object) -> Entry:
        values = {
            "question": "tailwheel/yaw",
            "variant": "",
            "kind": "choice",
            "revision": "ab12",
            "seed": n,
            "given": "0",
            "confidence": "think",
            "score": 1.0,
            "right": True,
            "seconds": 4.5,
            **changes,
        }
        return Entry(clock.uuid7(AT + n, n), "answer", date.fromisoformat(day), AT + n, "Europe/London", **values)

    return build


@pytest.fixture(scope="session")
def void() -> Callable[..., Entry]:
    """Builds the n-th entry, which voids another."""

    def build(n: int, voids: str, day: str = "2026-03-01") -> Entry:
        return Entry(clock.uuid7(AT + n, n), "void", date.fromisoformat(day), AT + n, "Europe/London", voids=voids)

    return build


@pytest.fixture
def other(store: Database) -> Iterator[sqlite3.Connection]:
    """Another program's plain connection to the database."""
    with closing(sqlite3.connect(store.path, isolation_level=None)) as connection:
        yield connection


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for a lock."""
    monkeypatch.setattr(database, "BUSY_SECONDS", 0)
    monkeypatch.setitem(ENGINE.__kwdefaults__, "busy_seconds", 0)


@pytest.fixture
def scripts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with a copy of the migrations, which is used in their place."""
    folder = tmp_path / "migrations"
    shutil.copytree(Path(run.__file__).parent, folder, ignore=lambda *_: ["__pycache__"])

    class Elsewhere(alembic.config.Config):
        def set_main_option(self, name: str, value: str) -> None:
            super().set_main_option(name, str(folder) if name == "script_location" else value)

    monkeypatch.setattr(alembic.config, "Config", Elsewhere)
    return folder


@pytest.fixture
def second_version(monkeypatch: pytest.MonkeyPatch, scripts: Path) -> Path:
    """The script of a made-up next version of the schema; a test may add lines to it."""
    script = scripts / "versions" / "second.py"
    script.write_text(SECOND)
    monkeypatch.setattr(database, "VERSIONS", (*database.VERSIONS, "0002"))
    return script
