"""Fixtures of the store: migrated databases, entries to put into them, other programs' connections, a next version."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from datetime import date
from pathlib import Path

import alembic.config
import pytest
import sqlalchemy as sa

import behind
from engines import Engine, Files, plain
from stickback import clock
from stickback.memory.entry import Entry
from stickback.store import chain, dialect, engine, log, migrations
from stickback.store.engine import Database
from stickback.study.student import Student

AT = 1_772_000_000_000  # a moment in February 2026
NEXT = "9999"
SECOND = f"""
import sqlalchemy as sa
from alembic import op

revision = "{NEXT}"
down_revision = "{engine.VERSIONS[-1]}"


def upgrade():
    again = "always" if op.get_bind().dialect.name == "sqlite" else "auto"
    for table in ("students", "entries"):
        with op.batch_alter_table(table, recreate=again) as batch:
            batch.add_column(sa.Column("club", sa.String()))
"""


@pytest.fixture(autouse=True)
def ended(swept: None) -> None:
    """What a test opened is closed after it, as at the end of a program."""


@pytest.fixture
def store(kind: Engine, tmp_path: Path) -> Database:
    """An empty database."""
    return kind.empty(tmp_path)


@pytest.fixture
def device(kind: Engine, tmp_path: Path) -> Callable[[str], Database]:
    """Makes a further empty database, of an installation of its own: `device("elsewhere")`."""

    def make(name: str) -> Database:
        store = kind.empty(tmp_path, name)
        chain.renew(store)
        return store

    return make


@pytest.fixture
def new(kind: Engine, tmp_path: Path) -> Database:
    """A database that is not made yet."""
    return kind.nothing(tmp_path)


@pytest.fixture
def file(files: Files, tmp_path: Path) -> Database:
    """An empty database in a file, for what only a file can suffer."""
    return files.empty(tmp_path)


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
        return Entry(
            id=clock.uuid7(AT + n, n),
            what="answer",
            day=date.fromisoformat(day),
            at=AT + n,
            zone="Europe/London",
            **values,
        )

    return build


@pytest.fixture(scope="session")
def void() -> Callable[..., Entry]:
    """Builds the n-th entry, which voids another."""

    def build(n: int, voids: str, day: str = "2026-03-01") -> Entry:
        return Entry(
            id=clock.uuid7(AT + n, n),
            what="void",
            day=date.fromisoformat(day),
            at=AT + n,
            zone="Europe/London",
            voids=voids,
        )

    return build


@contextmanager
def another(store: Database) -> Iterator[sa.Connection]:
    made = plain(store)
    with closing(made.connect()) as connection:
        yield connection
    made.dispose()


@pytest.fixture(scope="session")
def aside() -> Callable[[Database], AbstractContextManager[sa.Connection]]:
    """Opens another program's plain connection to a database."""
    return another


@pytest.fixture
def other(store: Database) -> Iterator[sa.Connection]:
    """Another program's plain connection to the database."""
    with another(store) as connection:
        yield connection


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for a lock."""
    monkeypatch.setattr(dialect, "BUSY_SECONDS", 0)


@pytest.fixture
def scripts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with a copy of the migrations, which is used in their place."""
    folder = tmp_path / "migrations"
    shutil.copytree(Path(str(migrations.__file__)).parent, folder, ignore=lambda *_: ["__pycache__"])

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
    monkeypatch.setattr(engine, "VERSIONS", (*engine.VERSIONS, NEXT))
    return script


@pytest.fixture
def filled(store: Database, answer: Callable[..., Entry], void: Callable[..., Entry]) -> Database:
    """A database in which two students answered and one took an answer back."""
    behind.put(store, Student(name="ann", minutes=15))
    log.append(store, "ann", answer(1))
    log.append(store, "ann", void(2, answer(1).id))
    log.append(store, "bob", answer(3))
    return store
