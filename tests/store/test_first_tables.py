import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa

from stickback.memory import entry as entries
from stickback.memory.curve import DEFAULTS
from stickback.store import engine, log, parameters, people
from stickback.store.engine import Database
from stickback.store.migrations.versions import first_tables
from stickback.store.parameters import Adopted
from stickback.store.sqlite import SQLite
from stickback.study.student import Student

HERE = Path(__file__).parent


@pytest.fixture
def first(tmp_path):
    """A database as the first version of the program made it."""
    path = tmp_path / "first.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((HERE / "first.sql").read_text(encoding="utf-8"))
    return Database(SQLite(path))


def test_the_first_version_follows_no_other_and_makes_the_three_tables(new, aside):
    new.upgrade(first_tables.revision)
    with aside(new) as connection:
        tables = set(sa.inspect(connection).get_table_names())
        assert connection.exec_driver_sql("SELECT version_num FROM alembic_version").all() == [("0001",)]
    assert tables == {"alembic_version", "entries", "parameters", "students"}
    assert first_tables.down_revision is None


def test_a_database_of_the_first_version_is_read_without_loss(first):
    assert people.everyone(first) == {
        "Ada Quill": Student(
            name="Ada Quill", aircraft="brackle", checkride=date(2026, 7, 1), minutes=15, zone="Europe/London"
        ),
        "me": Student(name="me"),
    }
    assert people.everyone(first, hidden=True) == {"Zoë Łuk": Student(name="Zoë Łuk")}
    lines = [entries.canonical(entry, name) for name, entry in log.entries_of(first)]
    assert lines == (HERE / "first.jsonl").read_text(encoding="utf-8").splitlines()
    assert log.fingerprint(first) == "c62d-32fa-13d4-b5ad"
    assert parameters.sets(first, "Ada Quill").adopted == (Adopted(DEFAULTS, 500, 1_780_000_000_000),)
    with first.reading() as connection:
        assert connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one() == engine.VERSIONS[-1]
    assert first.unguarded() == []
