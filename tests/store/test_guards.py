import re
import sqlite3

import pytest

from stickback.store import guards, log
from stickback.store.migrations import run

FORBIDDEN = {
    "update": "UPDATE entries SET given = '1'",
    "update of one": "UPDATE entries SET day = day - 1 WHERE id = (SELECT min(id) FROM entries)",
    "update or replace": "UPDATE OR REPLACE entries SET id = (SELECT max(id) FROM entries)",
    "update or ignore": "UPDATE OR IGNORE entries SET given = '1'",
    "update from": "UPDATE entries SET given = s.name FROM students s WHERE s.key = entries.student",
    "delete": "DELETE FROM entries WHERE id = (SELECT min(id) FROM entries)",
    "delete of all": "DELETE FROM entries",
    "replace": "REPLACE INTO entries SELECT * FROM entries",
    "insert or replace": "INSERT OR REPLACE INTO entries SELECT * FROM entries",
    "upsert": "INSERT INTO entries SELECT * FROM entries WHERE true ON CONFLICT DO UPDATE SET given = '1'",
    "upsert by key": """
        INSERT INTO entries SELECT * FROM entries WHERE true ON CONFLICT (student, id) DO UPDATE SET given = '1'""",
    "replace of a changed row": """
        REPLACE INTO entries (student, id, what, day, at, zone)
        SELECT student, id, 'flown', 1, 1, 'UTC' FROM entries""",
}


def refused_by(connection: sqlite3.Connection) -> list[str]:
    """Which of the forbidden statements the database refuses."""
    found = []
    for name, statement in FORBIDDEN.items():
        try:
            connection.execute(statement)
        except sqlite3.IntegrityError as error:
            if str(error).startswith("an entry is never "):
                found.append(name)
    return found


@pytest.fixture
def filled(store, answer):
    for n in (1, 2):
        log.append(store, "ann", answer(n))
    return store


@pytest.mark.parametrize("settings", ["recursive_triggers = ON", "recursive_triggers = OFF", "foreign_keys = OFF"])
def test_the_database_refuses_whoever_asks_to_change_or_delete_entries(filled, other, settings):
    before = list(log.lines(filled))
    other.execute(f"PRAGMA {settings}")
    assert refused_by(other) == list(FORBIDDEN)
    assert list(log.lines(filled)) == before


@pytest.mark.parametrize("rest", ["OR IGNORE INTO entries SELECT * FROM entries", "INTO entries SELECT * FROM entries"])
def test_inserting_what_is_there_changes_nothing(filled, other, rest):
    before = list(log.lines(filled))
    with pytest.raises(sqlite3.IntegrityError):
        other.execute(f"INSERT {rest}")
    assert list(log.lines(filled)) == before


def test_a_new_entry_may_be_inserted(filled, other):
    other.execute("""
        INSERT INTO entries (student, id, what, day, at, zone) SELECT student, 'new', what, day, at, zone
        FROM entries LIMIT 1""")
    assert other.execute("SELECT count(*) FROM entries").fetchone() == (3,)


def test_without_the_guards_the_forbidden_statements_would_pass(filled, other):
    """So the tests above can fail."""
    guards.remove(other)
    assert refused_by(other) == []


def test_guards_are_in_place_after_migrating_again(filled, other):
    guards.remove(other)
    run.upgrade(filled.path)
    assert guards.missing(other) == []
    assert refused_by(other) == list(FORBIDDEN)


def test_guards_are_in_place_after_the_next_version_made_the_table_anew(filled, other, second_version):
    run.upgrade(filled.path)
    assert other.execute("SELECT club FROM entries").fetchall() == [(None,), (None,)]
    assert guards.missing(other) == []
    assert refused_by(other) == list(FORBIDDEN)


@pytest.mark.parametrize("name", guards.GUARDS)
def test_a_dropped_guard_is_named(store, other, name):
    other.execute(f"DROP TRIGGER {name}")
    assert guards.missing(other) == [name]


@pytest.mark.parametrize("name", guards.GUARDS)
@pytest.mark.parametrize(("what", "instead"), [(r"RAISE\(.*\)", "RAISE(IGNORE)"), ("ON entries", "ON parameters")])
def test_an_altered_guard_is_named(store, other, name, what, instead):
    other.execute(f"DROP TRIGGER {name}")
    other.execute(re.sub(what, instead, guards.GUARDS[name]))
    assert guards.missing(other) == [name]


def test_guards_can_be_put_in_place_twice(store, other):
    guards.install(other)
    assert guards.missing(other) == []


def test_guards_taken_away_in_a_transaction_are_back_when_it_is_rolled_back(store, other):
    other.execute("BEGIN")
    guards.remove(other)
    assert guards.missing(other) == list(guards.GUARDS)
    other.execute("ROLLBACK")
    assert guards.missing(other) == []
