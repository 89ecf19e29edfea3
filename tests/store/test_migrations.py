import re
import sqlite3
from contextlib import closing

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from stickback.refused import Refused
from stickback.store import engine, log, people, tables
from stickback.store.engine import Database
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite
from stickback.study.student import Student

TABLES = "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name != 'alembic_version'"
BROKEN = 'raise ValueError("the next version is not finished")'
ORPHANING = """
    if op.get_bind().dialect.name == "sqlite":
        op.execute("DELETE FROM students")
    else:
        raise RuntimeError("the server refuses that by itself")
"""
MARK = "before-9999"


def everything(connection):
    """What every table holds, and its columns, in no order."""
    names = sorted(sa.inspect(connection).get_table_names())
    found = {name: connection.exec_driver_sql(f"SELECT * FROM {name}") for name in names}
    return {name: (list(rows.keys()), sorted(map(str, rows))) for name, rows in found.items()}


def definition(sql):
    """The lines of a table's definition, in no order; a table made anew has its name in quotes."""
    sql = re.sub(r'CREATE TABLE "(\w+)"', r"CREATE TABLE \1", sql)
    return sorted(line.strip().rstrip(",").rstrip() for line in sql.splitlines() if line.strip())


def difference(connection):
    return compare_metadata(MigrationContext.configure(connection), tables.Entries.metadata)


@pytest.fixture
def before(filled):
    """The lines of the log at first."""
    return list(log.lines(filled))


@pytest.fixture
def broken(second_version):
    """The next version, failing at its end."""
    whole = second_version.read_text()
    second_version.write_text(f"{whole}    {BROKEN}\n")
    return lambda: second_version.write_text(whole)


def test_the_program_knows_the_versions_of_the_schema():
    config = Config()
    config.set_main_option("script_location", "stickback.store:migrations")
    config.set_main_option("path_separator", "os")
    script = ScriptDirectory.from_config(config)
    assert script.get_current_head() == engine.VERSIONS[-1]
    assert tuple(each.revision for each in script.walk_revisions())[::-1] == engine.VERSIONS


def test_a_migrated_database_has_the_tables_of_the_models(store, other):
    assert difference(other) == []


def test_the_models_would_make_the_very_tables_that_the_migrations_made(file):
    """Also what no comparison looks at, such as checks and how rows are stored."""
    memory = sa.create_engine("sqlite://")
    tables.Entries.metadata.create_all(memory)
    with memory.connect() as models, closing(sqlite3.connect(file.name)) as migrated:
        expected = models.exec_driver_sql(TABLES).fetchall()
        found = migrated.execute(TABLES).fetchall()
    memory.dispose()
    assert {name: definition(sql) for name, sql in found} == {name: definition(sql) for name, sql in expected}


def test_a_column_that_only_the_models_have_would_be_noticed(store, other):
    """So the test above can fail."""
    other.exec_driver_sql("ALTER TABLE students DROP COLUMN zone")
    ((what, _, table, column),) = difference(other)
    assert (what, table, column.name) == ("add_column", "students", "zone")


def test_migrating_again_changes_nothing(filled, other):
    before = everything(other)
    filled.upgrade()
    assert everything(other) == before


def test_the_next_version_keeps_every_student_and_every_entry(filled, before, second_version):
    assert len(before) == 3
    assert list(log.lines(filled)) == before
    assert people.everyone(filled) == {"ann": Student(name="ann", minutes=15), "bob": Student(name="bob")}


def test_the_first_look_at_an_older_database_brings_it_to_the_next_version(filled, other, second_version):
    log.read(filled, "ann")
    assert other.exec_driver_sql("SELECT version_num FROM alembic_version").all() == [("9999",)]
    assert filled.unguarded() == []


def test_a_version_that_fails_leaves_the_database_as_it_was(filled, other, broken):
    before = everything(other)
    with pytest.raises(ValueError, match="not finished"):
        filled.upgrade()
    assert everything(other) == before


def test_a_version_that_would_leave_entries_without_their_student_is_not_applied(filled, other, second_version):
    before = everything(other)
    with second_version.open("a") as script:
        script.write(ORPHANING)
    with pytest.raises((Refused, RuntimeError), match=r"is damaged|refuses that"):
        log.read(filled, "ann")
    assert everything(other) == before


def copied(store, other):
    """What stands in the copy that was made before the next version."""
    if isinstance(store.dialect, SQLite):
        with closing(sqlite3.connect(f"{store.name}.{MARK}")) as copy:
            return sorted(copy.execute("SELECT student, id, given FROM entries"))
    # Its owner opens what is closed to everybody.
    other.exec_driver_sql(f'ALTER TABLE "{MARK}".entries NO FORCE ROW LEVEL SECURITY')
    return sorted(map(tuple, other.exec_driver_sql(f'SELECT student, id, given FROM "{MARK}".entries')))


def test_a_copy_of_an_older_database_is_made_before_it_is_migrated(filled, other, broken):
    before = sorted(map(tuple, other.exec_driver_sql("SELECT student, id, given FROM entries")))
    with pytest.raises(ValueError, match="not finished"):
        log.read(filled, "ann")
    assert copied(filled, other) == before


def test_a_migration_that_broke_off_can_be_tried_again(filled, before, broken):
    with pytest.raises(ValueError, match="not finished"):
        log.read(filled, "ann")
    broken()
    assert list(log.lines(filled)) == before


def test_no_copy_is_made_of_a_database_that_is_new_or_of_the_newest_version(store, new, aside, tmp_path):
    for each in (store, new):
        each.prepare()
        with aside(each) as connection:
            assert not [name for name in sa.inspect(connection).get_schema_names() if "before" in name]
    assert list(tmp_path.glob("*.before-*")) == []


def test_whoever_waited_for_another_to_migrate_finds_it_done_and_makes_no_copy_of_the_new(
    filled, other, second_version, monkeypatch
):
    """Two processes see the old version; the first migrates while the second waits for its turn."""
    before = sorted(map(tuple, other.exec_driver_sql("SELECT student, id, given FROM entries")))
    Database(filled.dialect)._migrate()
    assert copied(filled, other) == before
    monkeypatch.setattr(type(filled.dialect), "copy", lambda *_: pytest.fail("copied again"))
    Database(filled.dialect)._migrate()


@pytest.mark.parametrize(
    ("said", "away"),
    [
        ("connection failed: Connection refused", True),
        ("server closed the connection unexpectedly", True),
        ("consuming input failed: SSL SYSCALL error: EOF detected", True),
        ('connection failed: FATAL:  password authentication failed for user "x"', False),
        ('connection failed: FATAL:  database "nowhere" does not exist', False),
    ],
)
def test_a_server_that_is_away_is_told_from_one_that_refuses(said, away):
    assert PostgreSQL("postgresql://host/school").away(Exception(said)) is away
