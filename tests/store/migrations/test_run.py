import sqlite3
from contextlib import closing

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from stickback.refused import Refused
from stickback.store import database, guards, log, people, tables
from stickback.store.database import Database
from stickback.store.migrations import run
from stickback.study.student import Student

TABLES = "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name != 'alembic_version'"
BROKEN = 'raise ValueError("the next version is not finished")'
ORPHANING = 'op.execute("DELETE FROM students")'


def everything(path):
    """What a file holds, tables, guards and rows, as SQL in no order."""
    with closing(sqlite3.connect(path)) as connection:
        return sorted(connection.iterdump())


def definition(sql):
    """The lines of a table's definition, in no order."""
    return sorted(line.strip().rstrip(",").rstrip() for line in sql.splitlines() if line.strip())


def difference(path):
    engine = run.engine(path, foreign_keys=True)
    with engine.connect() as connection:
        found = compare_metadata(MigrationContext.configure(connection), tables.Entries.metadata)
    engine.dispose()
    return found


@pytest.fixture
def filled(store, answer, void):
    people.save(store, Student("ann", minutes=15))
    log.append(store, "ann", answer(1))
    log.append(store, "ann", void(2, answer(1).id))
    log.append(store, "bob", answer(3))
    return store


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
    assert script.get_current_head() == database.VERSIONS[-1]
    assert tuple(each.revision for each in script.walk_revisions())[::-1] == database.VERSIONS


def test_a_migrated_database_has_the_tables_of_the_models(made):
    assert difference(made) == []


def test_the_models_would_make_the_very_tables_that_the_migrations_made(made):
    """Also what no comparison looks at, such as checks and how rows are stored."""
    engine = sa.create_engine("sqlite://")
    tables.Entries.metadata.create_all(engine)
    with engine.connect() as models, closing(sqlite3.connect(made)) as migrated:
        expected = models.exec_driver_sql(TABLES).fetchall()
        found = migrated.execute(TABLES).fetchall()
    engine.dispose()
    assert {name: definition(sql) for name, sql in found} == {name: definition(sql) for name, sql in expected}


def test_a_column_that_only_the_models_have_would_be_noticed(store, other):
    """So the test above can fail."""
    other.execute("ALTER TABLE students DROP COLUMN zone")
    ((what, _, table, column),) = difference(store.path)
    assert (what, table, column.name) == ("add_column", "students", "zone")


def test_migrating_again_changes_nothing(filled):
    before = everything(filled.path)
    run.upgrade(filled.path)
    assert everything(filled.path) == before


def test_the_engine_writes_ahead_syncs_fully_and_keeps_foreign_keys(store):
    with store.writing() as session:
        ask = session.connection().exec_driver_sql
        settings = ("journal_mode", "synchronous", "foreign_keys", "trusted_schema", "busy_timeout")
        found = [ask(f"PRAGMA {name}").scalar_one() for name in settings]
    assert found == ["wal", 2, 1, 0, 1000 * database.BUSY_SECONDS]


def test_a_transaction_takes_the_write_lock_before_it_writes(store, other):
    other.execute("PRAGMA busy_timeout = 0")
    with store.writing() as session:
        session.connection()
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
    other.execute("BEGIN IMMEDIATE")
    assert other.in_transaction


def test_the_next_version_keeps_every_student_and_every_entry(filled, before, second_version):
    assert len(before) == 3
    assert list(log.lines(Database(filled.path))) == before
    assert people.everyone(filled) == {"ann": Student("ann", minutes=15), "bob": Student("bob")}


def test_the_first_look_at_an_older_database_brings_it_to_the_next_version(filled, other, second_version):
    log.read(Database(filled.path), "ann")
    assert other.execute("SELECT version_num FROM alembic_version").fetchall() == [("0002",)]
    assert guards.missing(other) == []


def test_a_version_that_fails_leaves_the_database_as_it_was(filled, broken):
    before = everything(filled.path)
    with pytest.raises(ValueError, match="not finished"):
        run.upgrade(filled.path)
    assert everything(filled.path) == before


def test_a_version_that_would_leave_entries_without_their_student_is_not_applied(filled, second_version):
    before = everything(filled.path)
    with second_version.open("a") as script:
        script.write(f"    {ORPHANING}\n")
    with pytest.raises(Refused, match="is damaged"):
        log.read(Database(filled.path), "ann")
    assert everything(filled.path) == before


def test_a_copy_of_an_older_database_is_made_before_it_is_migrated(filled, broken):
    before = everything(filled.path)
    with pytest.raises(ValueError, match="not finished"):
        log.read(Database(filled.path), "ann")
    assert everything(filled.path.with_name("school.db.before-0002")) == before


def test_a_migration_that_broke_off_can_be_tried_again(filled, before, broken):
    with pytest.raises(ValueError, match="not finished"):
        log.read(Database(filled.path), "ann")
    broken()
    assert list(log.lines(Database(filled.path))) == before


def test_no_copy_is_made_of_a_database_that_is_new_or_of_the_newest_version(store, tmp_path):
    for each in (store, Database(tmp_path / "new.db")):
        each.prepare()
    assert [each.name for each in tmp_path.glob("*.before-*")] == []
