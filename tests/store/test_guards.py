import pytest
import sqlalchemy as sa

from stickback.store import acts, log
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite

FORBIDDEN = {
    "update": "UPDATE entries SET given = '1'",
    "update of one": "UPDATE entries SET day = day - 1 WHERE id = (SELECT min(id) FROM entries)",
    "update from": "UPDATE entries SET given = s.name FROM students s WHERE s.key = entries.student",
    "delete": "DELETE FROM entries WHERE id = (SELECT min(id) FROM entries)",
    "delete of all": "DELETE FROM entries",
    "upsert by key": """
        INSERT INTO entries SELECT * FROM entries WHERE true
        ON CONFLICT (school, student, id) DO UPDATE SET given = '1'""",
}
ONLY = {
    SQLite: {
        "update or replace": "UPDATE OR REPLACE entries SET id = (SELECT max(id) FROM entries)",
        "update or ignore": "UPDATE OR IGNORE entries SET given = '1'",
        "replace": "REPLACE INTO entries SELECT * FROM entries",
        "insert or replace": "INSERT OR REPLACE INTO entries SELECT * FROM entries",
        "upsert": "INSERT INTO entries SELECT * FROM entries WHERE true ON CONFLICT DO UPDATE SET given = '1'",
        "replace of a changed row": """
            REPLACE INTO entries (school, student, id, what, day, at, zone, device, number, seal)
            SELECT school, student, id, 'flown', 1, 1, 'UTC', device, number, seal FROM entries""",
    },
    PostgreSQL: {
        "truncate": "TRUNCATE entries",
        "truncate with all that follows": "TRUNCATE students CASCADE",
        "merge that updates": """
            MERGE INTO entries e USING entries f ON e.id = f.id WHEN MATCHED THEN UPDATE SET given = '1'""",
        "merge that deletes": "MERGE INTO entries e USING entries f ON e.id = f.id WHEN MATCHED THEN DELETE",
    },
}


def forbidden(store):
    return FORBIDDEN | ONLY[type(store.dialect)]


def refused_by(store, connection: sa.Connection) -> list[str]:
    """Which of the forbidden statements the database refuses."""
    found = []
    for name, statement in forbidden(store).items():
        try:
            connection.exec_driver_sql(statement)
        except sa.exc.DBAPIError as error:
            if " is never " in str(error.orig):
                found.append(name)
    return found


@pytest.fixture
def filled(store, answer):
    for n in (1, 2):
        log.append(store, "ann", answer(n))
    return store


def test_the_database_refuses_whoever_asks_to_change_or_delete_entries(filled, other):
    before = list(log.lines(filled))
    assert refused_by(filled, other) == list(forbidden(filled))
    assert list(log.lines(filled)) == before


@pytest.mark.parametrize("settings", ["recursive_triggers = ON", "recursive_triggers = OFF", "foreign_keys = OFF"])
def test_no_setting_of_a_files_reader_lifts_the_guards(file, aside, answer, settings):
    for n in (1, 2):
        log.append(file, "ann", answer(n))
    with aside(file) as other:
        other.exec_driver_sql(f"PRAGMA {settings}")
        assert refused_by(file, other) == list(forbidden(file))


def test_whoever_looks_after_the_server_meets_the_guards_too(server, answer, tmp_path, aside):
    """Also in a session that replays the changes of another server, which passes common triggers."""
    store = server.empty(tmp_path)
    for n in (1, 2):
        log.append(store, "ann", answer(n))
    url = sa.make_url(store.dialect.url).set(username="postgres").render_as_string(hide_password=False)
    with aside(type(store)(PostgreSQL(url))) as owner:
        owner.exec_driver_sql("SET session_replication_role = replica")
        assert refused_by(store, owner) == list(forbidden(store))


@pytest.mark.parametrize(
    "statement",
    ["UPDATE acts SET who = 'bob'", "DELETE FROM acts", "INSERT INTO acts SELECT * FROM acts"],
)
def test_what_somebody_did_is_never_changed_either(store, other, statement):
    acts.note(store, "exported", "ann")
    before = acts.read(store)
    with pytest.raises(sa.exc.DBAPIError, match=r"is never|unique"):
        other.exec_driver_sql(statement)
    assert acts.read(store) == before


def test_inserting_what_is_there_changes_nothing(filled, other):
    before = list(log.lines(filled))
    with pytest.raises(sa.exc.IntegrityError):
        other.exec_driver_sql("INSERT INTO entries SELECT * FROM entries")
    assert list(log.lines(filled)) == before


def test_a_new_entry_may_be_inserted(filled, other):
    other.exec_driver_sql("""
        INSERT INTO entries (school, student, id, what, day, at, zone, device, number, seal)
        SELECT school, student, 'new', what, day, at, zone, device, number, seal FROM entries LIMIT 1""")
    assert other.exec_driver_sql("SELECT count(*) FROM entries").scalar_one() == 3


def test_without_the_guards_the_forbidden_statements_would_pass(filled, other):
    """So the tests above can fail."""
    filled.dialect.remove(other)
    assert refused_by(filled, other) == []


def test_guards_are_in_place_after_migrating_again(filled, other):
    filled.dialect.remove(other)
    filled.upgrade()
    assert filled.unguarded() == []
    assert refused_by(filled, other) == list(forbidden(filled))


def test_guards_are_in_place_after_the_next_version_made_the_table_anew(filled, other, second_version):
    filled.upgrade()
    assert other.exec_driver_sql("SELECT club FROM entries").all() == [(None,), (None,)]
    assert filled.unguarded() == []
    assert refused_by(filled, other) == list(forbidden(filled))


@pytest.mark.parametrize("change", [" is never", " ON {}"])
def test_a_guard_that_was_dropped_or_altered_is_named(store, other, change):
    drop = "DROP TRIGGER {} ON {}" if isinstance(store.dialect, PostgreSQL) else "DROP TRIGGER {}"
    for name, statement in store.dialect.guards.items():
        table = name.partition("_")[0]
        other.exec_driver_sql(drop.format(name, table))
        assert store.unguarded() == [name]
        altered = {" is never": " is hardly ever"}.get(change, " ON parameters")
        other.exec_driver_sql(statement.replace(change.format(table), altered))
        assert store.unguarded() == [name]
        other.exec_driver_sql(drop.format(name, table if change == " is never" else "parameters"))
        other.exec_driver_sql(statement)
        if isinstance(store.dialect, PostgreSQL):
            other.exec_driver_sql(f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}")
        assert store.unguarded() == []


def test_a_guard_of_a_server_that_is_switched_off_is_named(server, tmp_path, aside):
    store = server.empty(tmp_path)
    with aside(store) as other:
        other.exec_driver_sql("ALTER TABLE entries DISABLE TRIGGER entries_are_never_deleted")
        assert store.unguarded() == ["entries_are_never_deleted"]
        other.exec_driver_sql("ALTER TABLE entries ENABLE TRIGGER entries_are_never_deleted")
        assert store.unguarded() == ["entries_are_never_deleted"]


def test_guards_of_a_server_that_do_nothing_are_named(server, tmp_path, aside):
    store = server.empty(tmp_path)
    with aside(store) as other:
        other.exec_driver_sql(
            "CREATE OR REPLACE FUNCTION entries_stand() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NULL; END'"
        )
    assert store.unguarded() == list(PostgreSQL.guards)


def test_guards_can_be_put_in_place_twice(store, other):
    store.dialect.install(other)
    assert store.unguarded() == []


def test_guards_taken_away_in_a_transaction_are_back_when_it_is_rolled_back(store):
    def interrupted():
        with store.writing() as connection:
            store.dialect.remove(connection)
            assert store.dialect.missing(connection) == list(store.dialect.guards)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert store.unguarded() == []
