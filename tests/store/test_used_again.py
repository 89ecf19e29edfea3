"""What tests of the store rely on: a database of the server that one test had comes to the next as good as new."""

import pytest

import behind
from postgres import FORM, Rows
from stickback.store import log
from stickback.study.student import Student


@pytest.fixture
def had(server, aside):
    """Has a database for a while, does something to it, and gives its number, its own name and the one that the program
    knows it by, and those of the next one."""

    def use(do):
        had = []
        for act in (do, lambda database: None):
            away = server.sweep()
            database = server.empty(None)
            act(database)
            with aside(database) as connection:
                asked = "SELECT oid, datname FROM pg_database WHERE datname = current_database()"
                had.append((*connection.exec_driver_sql(asked).one(), database.name))
            away()
        return had

    return use


def test_what_was_stored_is_gone_and_the_same_database_is_used_again(server, had, answer):
    def store(database):
        behind.put(database, Student(name="ann"))
        log.append(database, "ann", answer(1))

    (one, _, name), (other, kept, another) = had(store)
    assert one == other
    assert name != another, "the program may remember something by the name"
    with server._connect(kept) as connection:
        assert Rows.of(connection) == server._template().rows
        ((form,),) = connection.execute(FORM)
    assert form == server._template().form


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TRIGGER entries_are_never_deleted ON entries",
        "ALTER TABLE entries ENABLE TRIGGER entries_are_never_deleted",
        "CREATE OR REPLACE FUNCTION entries_stand() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NULL; END'",
        "ALTER TABLE students ADD COLUMN club text",
        "ALTER TABLE entries DROP CONSTRAINT ck_entries_what",
        "DROP INDEX ix_entries_student_day",
        "CREATE TABLE clubs (name text)",
        'CREATE SCHEMA "before-0001"',
        "ALTER TABLE students DISABLE ROW LEVEL SECURITY",
        "REVOKE INSERT ON entries FROM school",
        "ALTER TABLE students ALTER COLUMN minutes SET DEFAULT 5",
    ],
)
def test_one_in_which_more_than_rows_was_changed_is_not(had, aside, statement):
    def change(database):
        with aside(database) as connection:
            connection.exec_driver_sql(statement)

    (one, *_), (other, *_) = had(change)
    assert one != other


def test_a_copy_holds_the_rows_and_counters_of_what_was_copied(server, request, answer, tmp_path):
    request.addfinalizer(server.sweep())
    here = server.empty(tmp_path)
    for name in ("ann", "bob"):
        log.append(here, name, answer(1))
    there = server.copy(here, tmp_path)
    log.append(there, "cal", answer(2))
    assert [name for name, _ in log.entries_of(there)] == ["ann", "bob", "cal"]
    assert [name for name, _ in log.entries_of(here)] == ["ann", "bob"]
