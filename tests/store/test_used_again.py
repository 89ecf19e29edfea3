"""What tests of the store rely on: a database of the server that one test had comes to the next as good as new."""

import pytest

from postgres import FORM, Rows
from stickback.store import log, people
from stickback.study.student import Student


@pytest.fixture
def had(server):
    """Has a database for a while, does something to it, and gives its name and that of the next one that is given."""

    def use(do):
        names = []
        for act in (do, lambda database: None):
            away = server.sweep()
            database = server.empty(None)
            act(database)
            names.append(server.made[-1])
            away()
        return names

    return use


def test_what_was_stored_is_gone_and_the_same_database_is_used_again(server, had, answer):
    def store(database):
        people.save(database, Student(name="ann"))
        log.append(database, "ann", answer(1))

    one, other = had(store)
    assert one == other
    with server._connect(one) as connection:
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

    one, other = had(change)
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
