"""Whatever stands in whatever column of whatever table: every command does its work or names the row."""

import itertools
import re
import sqlite3

import pytest
import sqlalchemy as sa

from engines import plain
from stickback.store import damage, engine
from stickback.store.tables import STUDENTS
from test_bad_worlds import COMMANDS
from worlds import Typist

TABLES = {table.name: table for table in STUDENTS.metadata.sorted_tables}
COLUMNS = [(name, column.name) for name, table in TABLES.items() for column in table.c]
# As SQL: nothing, numbers beyond measure, text that is none, bytes, lists, days and dates that are none.
NONSENSE = (
    *("NULL", "''", "'nonsense'", "-1", "0.5", "9e999", "9223372036854775807", "-99999999", "x'ff00'"),
    *("CAST(x'ff' AS TEXT)", "'[[['", "'2026-02-31'", "'\u202e\x1b[31m'"),
)
BACKUP = {"backup": ("backup", "{}.copy")}
READING = {**{name: COMMANDS[name] for name in COMMANDS if not name.endswith(("import", "remove", "add"))}, **BACKUP}
# What few look into, and a school's page; `glance` and others must not mind what stands there.
PERSONS = {"acts", "attempts", "challenges", "instructs", "invitations", "passkeys", "persons", "sessions"}
OF_PERSONS = {
    "person list": ("person", "list"),
    "person log": ("person", "log"),
    "glance": (),
    "person sign-out": ("person", "sign-out", "Ina"),
    **{name: COMMANDS[name] for name in ("log export", "readiness", "tune")},
    **BACKUP,
}


def spoiled(place, table, column, value):
    """Whether a value could be put into a row of a column, past all that still guards it."""
    settings = ("PRAGMA synchronous = OFF", "PRAGMA foreign_keys = OFF", "PRAGMA ignore_check_constraints = ON")
    some = f"SELECT rowid FROM {table} LIMIT 1" if table != "entries" else None
    where = f"WHERE rowid = ({some})" if some else "WHERE id = (SELECT max(id) FROM entries WHERE what = 'answer')"
    try:
        ((many,),) = place.raw(*settings, f'UPDATE {table} SET "{column}" = {value} {where}', "SELECT changes()")
    except sqlite3.Error:
        return False
    assert many == 1, f"the table {table} holds no row to spoil"
    return True


@pytest.fixture(scope="module")
def full(template, tmp_path_factory):
    """The school with a row in every table and without its guards, to be copied."""
    place = template.copied(tmp_path_factory.mktemp("full") / "begun.db")
    place.raw("INSERT INTO parameters VALUES (1, (SELECT min(key) FROM students), 'x', 1, 1, '[]')")
    place.raw("INSERT INTO tombstones VALUES (1, '00', '00')")
    place.does("person", "add", "Ina", "--role", "instructor", "--instructs", "me")
    place.raw("INSERT INTO attempts VALUES (1, '00', 1, 1, 0)", "INSERT INTO challenges VALUES (1, '00', 1)")
    place.raw("INSERT INTO sessions SELECT 1, '00', key, 1, 1, 0 FROM persons")
    place.raw("INSERT INTO passkeys SELECT 1, 'one', key, '00', 0, 'A phone', 1, NULL FROM persons")
    place.raw("INSERT INTO seals SELECT 1, student, device, 99, seal FROM entries LIMIT 1")
    triggers = place.raw("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    place.raw(*(f"DROP TRIGGER {name}" for (name,) in triggers))
    return place.settled(place.db.with_name("full.db"))


def run_among_damage(full, tmp_path, table, column, many):
    """Runs commands, so many at each value that could be put into a column, each column beginning with another."""
    asked = OF_PERSONS if table in PERSONS else READING
    names = list(asked)
    begin = COLUMNS.index((table, column)) % len(names)
    commands = itertools.cycle([*names[begin:], *names[:begin]])
    for number, value in enumerate(NONSENSE):
        place = full.copied(tmp_path / f"{number}.db")
        if not spoiled(place, table, column, value):
            continue
        for command in itertools.islice(commands, many):
            args = [str(each).format(place.db) for each in asked[command]]
            result = place(*args, typed=Typist() if command == "review" else None)
            assert isinstance(result.exception, SystemExit | None), (value, command, result.exc_info)
            assert "Traceback" not in result.output


EVERY_COLUMN = pytest.mark.parametrize(("table", "column"), COLUMNS, ids=[".".join(each) for each in COLUMNS])


@EVERY_COLUMN
def test_a_damaged_row_is_named_and_never_ends_in_a_traceback(full, tmp_path, table, column):
    run_among_damage(full, tmp_path, table, column, 1)


@pytest.mark.campaign
@EVERY_COLUMN
def test_no_command_at_all_ends_in_a_traceback_at_a_damaged_row(full, tmp_path, table, column):
    run_among_damage(full, tmp_path, table, column, len(OF_PERSONS if table in PERSONS else READING))


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        (
            "UPDATE entries SET day = 'nonsense' WHERE what = 'flown'",
            r"The entry 019\S+ of me is damaged: its 'day' cannot",
        ),
        (
            "UPDATE students SET checkride = 'soon' WHERE name = 'Bea'",
            "The student Bea is damaged: its 'checkride' cannot",
        ),
        (
            "UPDATE students SET minutes = 0.5 WHERE name = 'Bea'",
            "The student Bea is damaged: its 'minutes' cannot be 0.5",
        ),
        (
            "UPDATE students SET minutes = 900 WHERE name = 'Bea'",
            "The student Bea is damaged: it gives minutes that cannot",
        ),
        ("DELETE FROM installations", "The table installations holds 0 rows instead of one"),
    ],
)
def test_a_row_that_cannot_be_is_named(school, statement, says):
    school.raw("DROP TRIGGER entries_are_never_changed", statement)
    assert re.search(says, damage.first(engine.locate(str(school.db))) or "")


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        (
            "UPDATE students SET checkride = 'soon' WHERE name = 'me'",
            "The student me is damaged: its 'checkride' cannot",
        ),
        (
            "UPDATE entries SET what = 'thought'",
            r"The entry 019\S+ of \w+ is damaged: the value of 'what' is not one",
        ),
        ("UPDATE persons SET key = -1", "The database holds rows without what they belong to"),
    ],
)
def test_a_damaged_row_of_a_backup_is_named_and_nothing_is_put_back(full, school, tmp_path, statement, says):
    saved, before = full.copied(tmp_path / "saved.db"), school.stored()
    saved.raw("PRAGMA ignore_check_constraints = ON", statement)
    said = school.fails("restore", saved.db, "--anyway")
    assert said.startswith(f"{saved.db} was not taken: ")
    assert re.search(says, said)
    assert school.stored() == before


def test_the_check_of_the_log_finds_rows_of_any_table_without_what_they_belong_to(full, tmp_path):
    place = full.copied(tmp_path / "school.db")
    place.raw("PRAGMA foreign_keys = OFF", "DELETE FROM persons")
    said = place("log", "verify")
    assert said.exit_code == 1
    assert "The database holds rows without what they belong to" in said.stdout


def test_a_damaged_tombstone_of_a_backup_stands_for_the_same_erasure(school, tmp_path):
    school.does("student", "remove", "Bea", "--erase", "--yes")
    saved = school.settled(tmp_path / "saved.db")
    saved.raw("UPDATE tombstones SET digest = 'nonsense'")
    assert "Restored" in school.does("restore", saved.db)


@pytest.mark.parametrize("table", sorted(PERSONS - {"instructs"}))  # which has nothing but keys
def test_a_damaged_row_that_is_left_out_elsewhere_is_named_by_the_check_of_the_log(full, tmp_path, table):
    place = full.copied(tmp_path / "one.db")
    column = next(column.name for column in TABLES[table].c if not (column.primary_key or column.foreign_keys))
    assert spoiled(place, table, column, "x'ff00'")
    assert re.search(
        rf"A row of the table {table} \(.*\) is damaged: its '{column}' cannot", place("log", "verify").output
    )


def test_what_the_program_wrote_is_not_damaged(school):
    assert damage.first(engine.locate(str(school.db))) is None


# What a server lets stand in a column of each type.
OF_SERVER = {
    "VARCHAR": ("'nonsense'", "E'\\u202e\\x1b[31m'"),
    "INTEGER": ("-99999999", "2147483647"),
    "BIGINT": ("-1", "9223372036854775807"),
    "FLOAT": ("'NaN'", "-1"),
    "DATE": ("'infinity'", "'-infinity'", "'0044-03-15 BC'"),
    "BOOLEAN": ("NULL",),
}


@pytest.fixture(scope="module")
def served(server, template, tmp_path_factory):
    """The school on a server."""
    store = server.empty(tmp_path_factory.mktemp("served"))
    template.does("restore", template.db, db=store.dialect.url)
    # What was there before is kept aside: without it a copy is made of rows alone.
    aside = "SELECT nspname FROM pg_namespace WHERE nspname ~ '^before'"
    with plain(store).connect() as other:
        for schema in other.exec_driver_sql(aside).scalars().all():
            other.exec_driver_sql(f'DROP SCHEMA "{schema}" CASCADE')
    return store


@pytest.mark.parametrize(("table", "of"), [(name, of) for name in ("students", "entries") for of in OF_SERVER])
def test_a_damaged_row_of_a_server_is_named_too(server, served, template, tmp_path, request, table, of):
    away = server.sweep()
    request.addfinalizer(away)
    columns = [each.name for each in TABLES[table].c if str(each.type) == of and not each.foreign_keys]
    commands, where = (
        itertools.cycle([name for name in READING if name not in BACKUP]),
        "WHERE what = 'answer'" if table == "entries" else "WHERE name = 'me'",
    )
    for name, value in itertools.product(columns, OF_SERVER[of]):
        away()  # the same database again, until it was changed for good
        store = server.copy(served, tmp_path)
        with plain(store).connect() as other:
            store.dialect.remove(other)
            try:
                other.exec_driver_sql(f'UPDATE {table} SET "{name}" = {value} {where}')
            except sa.exc.DBAPIError:
                continue  # the server refuses it by itself
            finally:
                store.dialect.install(other)
        command = next(commands)
        typed = Typist() if command == "review" else None
        result = template(*COMMANDS[command], typed=typed, db=store.dialect.url)
        assert isinstance(result.exception, SystemExit | None), (name, value, command, result.exc_info)
        assert "Traceback" not in result.output
        if of == "DATE":
            said = f"The student me is damaged: its '{name}' cannot be"
            assert said in template.fails("student", "list", db=store.dialect.url)


def test_a_damaged_row_of_the_persons_of_a_server_is_named_or_does_no_harm(server, served, template, tmp_path, request):
    """In one database, in which each value is put back behind the command."""
    request.addfinalizer(server.sweep())
    store = server.copy(served, tmp_path)
    url = store.dialect.url
    template.does("person", "add", "Ina", "--role", "instructor", "--instructs", "me", db=url)
    commands = itertools.cycle([name for name in OF_PERSONS if name not in BACKUP])
    with plain(store).connect() as other:
        store.dialect.remove(other)
        for table in ("persons", "acts", "invitations"):
            for column in TABLES[table].c:
                other.exec_driver_sql("DELETE FROM acts WHERE number > 1")
                was = other.exec_driver_sql(f'SELECT "{column.name}" FROM {table}').scalar_one()
                for value in OF_SERVER[str(column.type)]:
                    try:
                        other.exec_driver_sql(f'UPDATE {table} SET "{column.name}" = {value}')
                    except sa.exc.DBAPIError:
                        continue  # the server refuses it by itself
                    command = next(commands)
                    result = template(*OF_PERSONS[command], db=url)
                    assert isinstance(result.exception, SystemExit | None), (column, value, command, result.exc_info)
                    other.exec_driver_sql(f'UPDATE {table} SET "{column.name}" = %s', (was,))
