"""One database serves several schools, and none of them sees another."""

import re
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sa

import behind
import listening
import stickback
from stickback.refused import Refused
from stickback.store import acts, backup, damage, engine, log, people, persons, schools, sessions, union
from stickback.store.engine import Database
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite
from stickback.store.tables import ENTRIES, PERSONS, STUDENTS, Schools
from stickback.study.student import Student

SOURCE = Path(stickback.__file__).parent


# Every statement


def test_every_key_of_what_is_of_a_school_begins_with_the_school():
    for table in Schools.metadata.tables.values():
        if table.name != "schools":
            keys = [table.primary_key, *(each for each in table.constraints if isinstance(each, sa.UniqueConstraint))]
            assert [next(iter(key.columns)).name for key in keys] == ["school"] * len(keys), table.name
            assert all("school" in refers.column_keys for refers in table.foreign_key_constraints), table.name


@pytest.mark.parametrize(
    ("statement", "tables"),
    [
        ("SELECT students.name FROM students WHERE students.key = 1", {"students"}),
        ("SELECT students.name FROM students WHERE students.school = 1", set()),
        ("SELECT 1 FROM entries JOIN students ON 1 = 1 WHERE entries.school = 1", {"students"}),
        ("SELECT 1 FROM a, students WHERE a.school = 1", {"students"}),
        ("SELECT 1 FROM entries WHERE entries.school = 1 AND 1 IN (SELECT 1 FROM entries)", {"entries"}),
        ("UPDATE students SET entries = 1", {"students"}),
        ("DELETE FROM seals WHERE seals.student = 1", {"seals"}),
        ("INSERT INTO acts (number) VALUES (1)", {"acts"}),
        ("INSERT INTO acts (school, number) VALUES (1, 1)", set()),
        ("SELECT schools.key FROM schools", set()),
    ],
)
def test_a_statement_that_lacks_a_school_would_be_named(statement, tables):
    assert listening.lacking(statement) == tables


def test_a_statement_without_its_school_would_be_noticed(store):
    """So what listens to every test of the store and the services can fail."""
    with listening.every_statement() as lacking, store.reading() as connection:
        connection.execute(sa.select(sa.func.count()).select_from(STUDENTS))
        assert lacking == []
        connection.execute(sa.select(sa.func.count()).select_from(sa.table("students")))
        assert len(lacking) == 1
        lacking.clear()


def test_no_statement_on_what_is_of_a_school_is_written_past_the_tables():
    past = re.compile(rf"\b(FROM|JOIN|UPDATE|INTO) ({'|'.join(listening.OURS)})\b(?! WHERE school = NEW\.school)")
    files = [path for path in SOURCE.rglob("*.py") if "migrations" not in path.parts]
    assert [(path.name, found[0]) for path in files for found in [past.search(path.read_text("utf-8"))] if found] == []


def test_a_statement_outside_of_a_school_does_not_run(store):
    with store.reading() as connection:
        other = sa.create_engine(connection.engine.url)
    with other.connect() as connection, pytest.raises(sa.exc.StatementError, match="of_school"):
        connection.execute(sa.select(STUDENTS))
    other.dispose()


def test_an_outer_join_is_refused(store):
    joined = sa.select(ENTRIES.c.id).join(PERSONS, PERSONS.c.key == ENTRIES.c.person, isouter=True)
    with store.reading() as connection, pytest.raises(TypeError, match="ask by a subquery"):
        connection.execute(joined)
    engine.close()


# Each in its own


@pytest.fixture
def two(store, answer):
    """A database as two schools see it, in which a student of the same name has an answer under the same id."""
    schools.add(store, "north-field")
    both = (store, replace(store, school="north-field"))
    for number, school in enumerate(both, 1):
        behind.put(school, Student(name="ann", minutes=10 * number))
        log.append(school, "ann", answer(1, seconds=float(number)))
        persons.save(school, "Otto", "otto", "school", [])
    return both


def test_a_name_and_an_id_are_each_schools_own(two):
    assert [people.find(school, "ann").minutes for school in two] == [10, 20]
    assert [entry.seconds for school in two for _, entry in log.entries_of(school)] == [1.0, 2.0]
    assert [list(persons.everyone(school)) for school in two] == [["Otto"], ["Otto"]]


def test_each_school_is_an_installation_of_its_own(two):
    devices = [entry.device for school in two for _, entry in log.entries_of(school)]
    assert devices == [damage.own(school) for school in two]
    assert devices[0] != devices[1]
    assert [entry.number for school in two for _, entry in log.entries_of(school)] == [1, 1]


def test_what_one_school_does_moves_nothing_of_another(two, answer):
    here, there = two
    before = [(list(log.lines(here)), log.fingerprint(here), people.counts(here), acts.read(here))]
    log.append(there, "bob", answer(2))
    people.erase(there, "ann")
    union.merge(there, [("eve", answer(3))])
    sessions.end_all(there)
    assert [(list(log.lines(here)), log.fingerprint(here), people.counts(here), acts.read(here))] == before
    assert behind.erased(here, ["ann"]) == set()
    assert (list(people.everyone(here)), list(people.everyone(there))) == (["ann"], ["bob", "eve"])


def test_what_one_school_exports_another_takes(two, answer):
    here, there = two
    log.append(here, "bob", answer(5))
    assert union.merge(there, [each for each in log.entries_of(here) if each[0] == "bob"]).new == 1
    assert [entry.id for entry in log.read(there, "bob").rows] == [answer(5).id]


def test_a_school_that_is_not_there_is_refused(store):
    for use in (lambda each: people.everyone(each), lambda each: behind.put(each, Student(name="ann"))):
        with pytest.raises(Refused, match=r"^There is no school 'nowhere' in .*; `stickback school add` adds one\.$"):
            use(replace(store, school="nowhere"))


@pytest.mark.parametrize("name", ["", "North Field", "a&b", "x" * 41, "-a", "ünder"])
def test_a_school_has_a_name_that_can_stand_in_a_url(store, name):
    with pytest.raises(Refused, match="is no name of a school"):
        schools.add(store, name)


def test_two_schools_have_two_names(two):
    with pytest.raises(Refused, match="There is a school 'north-field' already"):
        schools.add(two[0], "north-field")
    assert [each.school for each in schools.everyone(two[1])] == ["first", "north-field"]


def test_the_first_school_may_be_called_by_its_name(two):
    assert people.find(replace(two[0], school="first"), "ann").minutes == 10


def test_a_backup_keeps_every_school_and_they_come_back_from_it(two, kind, tmp_path):
    here, there = two
    before = [list(log.lines(school)) for school in two]
    backup.save(there, tmp_path / "saved")
    saved = Database(SQLite(tmp_path / "saved"))
    assert [list(log.lines(school)) for school in schools.everyone(saved)] == before
    people.erase(there, "ann")
    schools.add(here, "later")
    with backup.coming(tmp_path / "saved") as copy:
        backup.put_back(here, copy)
    assert [list(log.lines(school)) for school in two] == before
    assert [each.school for each in schools.everyone(here)] == ["first", "north-field"]
    assert damage.own(here) != damage.own(there)
    assert here.unguarded() == []


def test_who_still_works_in_a_school_that_a_restore_took_away_is_told(store, answer, tmp_path):
    """Also where another was given its name since: a key serves no other school."""
    later = replace(store, school="later")
    backup.save(store, tmp_path / "saved")
    schools.add(store, "later")
    behind.put(later, Student(name="ann"))
    with backup.coming(tmp_path / "saved") as copy:
        backup.put_back(store, copy)
    for again in (lambda: schools.add(store, "later"), lambda: None):
        with pytest.raises(Refused, match=r"^The school 'later' is not in .* any more; start again\.$"):
            log.append(later, "ann", answer(1))
        again()
    assert people.everyone(Database(store.dialect)) == {}


# A server keeps them apart by itself


SET = "SET stickback.school = '{}'"


@pytest.fixture
def served(server, answer, tmp_path):
    """A database of two schools on a server."""
    store = server.empty(tmp_path)
    schools.add(store, "north-field")
    there = replace(store, school="north-field")
    log.append(store, "ann", answer(1))
    log.append(there, "ann", answer(1))
    acts.note(there, "exported", "ann")
    return store


@pytest.fixture
def raw(served, aside):
    """Another program's connection under the role of the program, and a second school's key."""
    with aside(served) as other:
        yield other, other.exec_driver_sql("SELECT key FROM schools WHERE key != 1").scalar_one()


def counted(other, school):
    other.exec_driver_sql(SET.format(school))
    return {table: other.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar_one() for table in listening.OURS}


@pytest.mark.parametrize("school", ["", "2", None])
def test_without_a_school_nothing_is_seen_and_nothing_written(raw, school):
    other, _ = raw
    if school is None:
        other.exec_driver_sql("RESET stickback.school")  # to the one of the connection
        other.exec_driver_sql("SELECT set_config('stickback.school', NULL, false)")
    assert set(counted(other, school or "").values()) == {0}
    with pytest.raises(sa.exc.DBAPIError, match="row-level security"):
        other.exec_driver_sql("INSERT INTO attempts (school, digest, failed, at, known) VALUES (1, 'a', 1, 1, true)")


def test_each_school_sees_its_own_rows(raw):
    other, key = raw
    assert [counted(other, school)["entries"] for school in (1, key)] == [1, 1]
    assert other.exec_driver_sql("SELECT DISTINCT school FROM entries").scalars().all() == [key]


@pytest.mark.parametrize("table", listening.OURS)
def test_no_row_of_another_school_is_inserted(raw, table):
    other, key = raw
    with pytest.raises(sa.exc.DBAPIError, match="row-level security"):
        other.exec_driver_sql(f"INSERT INTO {table} (school) VALUES ({key})")


@pytest.mark.parametrize("table", sorted(set(listening.OURS) - {"entries", "acts"}))
def test_rows_of_another_school_are_neither_changed_nor_deleted_nor_given_away(raw, table):
    other, key = raw
    before = counted(other, key)
    other.exec_driver_sql(SET.format(1))
    assert other.exec_driver_sql(f"UPDATE {table} SET school = school WHERE school = {key}").rowcount == 0
    assert other.exec_driver_sql(f"DELETE FROM {table} WHERE school = {key}").rowcount == 0
    with suppress(sa.exc.DBAPIError):  # where there is a row to give away
        assert other.exec_driver_sql(f"UPDATE {table} SET school = {key}").rowcount == 0
    assert counted(other, key) == before


@pytest.mark.parametrize("statement", ["UPDATE {} SET school = 1", "DELETE FROM {}"])
@pytest.mark.parametrize("table", ["entries", "acts"])
def test_what_is_only_added_to_stands_in_every_school(raw, table, statement):
    other, key = raw
    for school in (1, key, 2):
        other.exec_driver_sql(SET.format(school))
        with pytest.raises(sa.exc.DBAPIError, match="is never"):
            other.exec_driver_sql(statement.format(table))


@pytest.mark.parametrize(
    "change",
    [
        "ALTER TABLE entries DISABLE ROW LEVEL SECURITY",
        "ALTER TABLE entries NO FORCE ROW LEVEL SECURITY",
        "DROP POLICY entries_of_one_school ON entries",
        "CREATE POLICY all_rows ON entries USING (true)",
        "ALTER POLICY entries_of_one_school ON entries USING (true)",
        "ALTER POLICY entries_of_one_school ON entries WITH CHECK (true)",
    ],
)
def test_a_policy_that_is_not_in_force_is_named(server, tmp_path, aside, change):
    store = server.empty(tmp_path)
    with aside(store) as other:
        other.exec_driver_sql(change)
    assert store.unguarded() == ["entries_of_one_school"]
    store.upgrade()
    assert store.unguarded() == (["entries_of_one_school"] if "all_rows" in change else [])


@pytest.mark.parametrize("role", ["school", "pg_read_all_data"])
def test_what_is_kept_before_a_change_shows_no_row_before_its_owner_opens_it(raw, served, aside, role):
    """Neither to the role of the program, as whichever school, nor to one that may read every table."""
    _, key = raw
    served.keep("before-9999")
    root = sa.make_url(served.dialect.url).set(username="postgres").render_as_string(hide_password=False)
    with aside(Database(PostgreSQL(root))) as other:
        other.exec_driver_sql(f"SET ROLE {role}")
        for school in (1, key):
            other.exec_driver_sql(SET.format(school))
            kept = [f'SELECT 1 FROM "before-9999".{table}' for table in ("entries", "schools", "students")]
            assert [other.exec_driver_sql(each).all() for each in kept] == [[], [], []]
            assert other.exec_driver_sql("SELECT school FROM entries").all() == [(school,)]
        if role == "school":
            other.exec_driver_sql('ALTER TABLE "before-9999".entries NO FORCE ROW LEVEL SECURITY')
            rows = other.exec_driver_sql('SELECT school FROM "before-9999".entries ORDER BY school').all()
            assert rows == [(1,), (key,)]


def test_an_entry_of_one_school_has_no_student_of_another(raw):
    other, key = raw
    other.exec_driver_sql(SET.format(key))
    with pytest.raises(sa.exc.IntegrityError, match="fk_seals_school_students"):
        other.exec_driver_sql(
            f"INSERT INTO seals (school, student, device, number, seal) VALUES ({key}, 9, 'd', 1, 's')"
        )


def test_who_passes_the_policies_makes_no_school(server, tmp_path):
    store = server.empty(tmp_path)
    url = sa.make_url(store.dialect.url).set(username="postgres").render_as_string(hide_password=False)
    with pytest.raises(Refused, match="sees what is of every school"):
        schools.add(Database(PostgreSQL(url)), "north-field")


def test_the_next_version_keeps_what_every_school_has(two, second_version):
    before = [list(log.lines(school)) for school in two]
    assert [list(log.lines(school)) for school in two] == before
    assert all(len(each) == 1 for each in before)
    assert two[0].unguarded() == []


def test_who_writes_in_a_school_waits_for_no_other_school(server, tmp_path, impatient):
    store = server.empty(tmp_path)
    schools.add(store, "north-field")
    there = replace(store, school="north-field")
    with store.writing():
        behind.put(there, Student(name="ann"))
        with pytest.raises(Refused, match="in use by another program"), store.writing():
            pass
    assert (list(people.everyone(store)), list(people.everyone(there))) == ([], ["ann"])


def test_who_writes_in_all_schools_waits_for_each(server, tmp_path, impatient):
    store = server.empty(tmp_path)
    schools.add(store, "north-field")
    with replace(store, school="north-field").writing(), pytest.raises(Refused, match="in use by another program"):
        schools.add(store, "south-field")
    with store.writing("write all"), pytest.raises(Refused, match="in use by another program"):
        behind.put(replace(store, school="north-field"), Student(name="ann"))
