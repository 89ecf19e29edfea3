import sqlite3
from contextlib import closing

from stickback.store.migrations import run
from stickback.store.migrations.versions import first_tables


def test_the_first_version_follows_no_other_and_makes_the_three_tables(tmp_path):
    run.upgrade(tmp_path / "new.db", first_tables.revision)
    with closing(sqlite3.connect(tmp_path / "new.db")) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
    assert tables == {"alembic_version", "entries", "parameters", "students"}
    assert first_tables.down_revision is None
