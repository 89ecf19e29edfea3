"""A backup can be put back on either engine, whichever it was saved from, and loses nothing on the way."""

import os
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sa

import behind
from stickback.clock import Clock
from stickback.refused import Refused
from stickback.store import backup, chain, engine, log, parameters, passkeys, people, persons, schools
from stickback.store.engine import Database
from stickback.store.sqlite import SQLite
from stickback.store.tables import STUDENTS
from stickback.study.student import Student

TABLES = STUDENTS.metadata.sorted_tables
HASHED = "of a password"


@pytest.fixture
def filled(filled):
    """A database with something in every table."""
    parameters.adopt(filled, "ann", parameters.DEFAULTS, 500, Clock("UTC"))
    behind.put(filled, Student(name="zoe"))
    people.erase(filled, "zoe")
    return filled


def rows(store, *, installation=True):
    """What every table holds; without who the installation is when that is new."""
    with store.reading() as connection:
        found = {table.name: sorted(map(str, connection.execute(sa.select(table)))) for table in TABLES}
    if not installation:
        del found["installations"], found["students"]
    return found


def put_back(store, file):
    with backup.coming(file) as copy:
        return backup.put_back(store, copy)


def test_a_backup_is_a_database_that_holds_the_same(filled, tmp_path):
    backup.save(filled, tmp_path / "saved")
    assert rows(Database(SQLite(tmp_path / "saved"))) == rows(filled)
    assert sorted(path.name for path in tmp_path.iterdir() if "saved" in path.name) == ["saved"]
    assert Database(SQLite(tmp_path / "saved")).unguarded() == []


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_a_backup_is_its_owners_alone(filled, tmp_path):
    backup.save(filled, tmp_path / "saved")
    assert (tmp_path / "saved").stat().st_mode & 0o777 == 0o600


def test_a_backup_is_put_back_and_what_was_there_is_kept(filled, other, tmp_path, answer):
    backup.save(filled, tmp_path / "saved")
    before, lines = rows(filled, installation=False), list(log.lines(filled))
    log.append(filled, "ann", answer(7))
    log.append(filled, "eve", answer(8))
    kept = put_back(filled, tmp_path / "saved")
    assert "before-restore-" in kept
    assert rows(filled, installation=False) == before
    assert list(log.lines(filled)) == lines
    assert filled.unguarded() == []
    if isinstance(filled.dialect, SQLite):
        assert "eve" in people.everyone(engine.locate(kept))
    else:
        table = f'"{kept.partition(" ")[2]}".students'
        other.exec_driver_sql(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY")  # as its owner may
        assert "eve" in other.exec_driver_sql(f"SELECT name FROM {table}").scalars().all()


def test_who_was_erased_since_is_named_and_who_is_in_no_backup_stays_erased(filled, tmp_path, answer):
    here = replace(filled, school="north-field")
    schools.add(filled, "north-field")
    log.append(here, "ann", answer(1))
    backup.save(filled, tmp_path / "saved")
    log.append(filled, "eve", answer(8))
    for school, name in ((filled, "eve"), (filled, "ann"), (here, "ann")):
        people.erase(school, name)
    log.append(filled, "cid", answer(9))
    with backup.coming(tmp_path / "saved") as copy:
        assert backup.erased_since(filled, copy) == ["ann"]
    put_back(filled, tmp_path / "saved")
    assert [behind.erased(school, ["ann", "eve"]) for school in (filled, here)] == [{"eve"}, set()]
    with backup.coming(tmp_path / "saved") as copy:
        assert backup.erased_since(filled, copy) == []


def test_who_was_shut_out_or_erased_since_does_not_come_in_again_by_a_backup(filled, tmp_path):
    for name in ("Ina", "Otto", "Ivo"):
        persons.save(filled, name, name.lower(), "instructor", ["ann"])
        known = persons.find(filled, name.lower()).person
        persons.change(filled, known, "accepted", password=HASHED)
        passkeys.add(filled, known, passkeys.Passkey(id=name, public="", counted=0, name="phone", made=1))
    backup.save(filled, tmp_path / "saved")
    persons.remove(filled, persons.find(filled, "ina").person)
    people.erase(filled, "Ivo")
    with backup.coming(tmp_path / "saved") as copy:
        assert backup.erased_since(filled, copy) == ["Ivo"]
        backup.put_back(filled, copy)
    there = persons.everyone(filled)
    assert [(name, known.active, known.password, known.keys) for name, known in there.items()] == [
        ("Ina", False, None, 0),
        ("Ivo", True, HASHED, 1),
        ("Otto", True, HASHED, 1),
    ]


def test_who_began_anew_before_a_backup_comes_back_with_it(filled, tmp_path, answer):
    people.erase(filled, "ann")
    behind.put(filled, Student(name="ann"))
    backup.save(filled, tmp_path / "saved")
    with backup.coming(tmp_path / "saved") as copy:
        assert backup.erased_since(filled, copy) == []
        backup.put_back(filled, copy)
    assert behind.erased(filled, ["ann"]) == {"ann"}


def test_behind_a_backup_new_students_and_entries_come_in(filled, tmp_path, answer):
    backup.save(filled, tmp_path / "saved")
    put_back(filled, tmp_path / "saved")
    log.append(filled, "new", answer(9))
    log.append(filled, "ann", answer(9))
    assert list(people.everyone(filled)) == ["ann", "bob", "new"]


def test_behind_a_backup_new_chains_begin(filled, tmp_path, answer):
    """Others may have seen how the old ones went on."""
    backup.save(filled, tmp_path / "saved")
    lost = log.append(filled, "ann", answer(7))
    put_back(filled, tmp_path / "saved")
    after = log.append(filled, "ann", answer(9))
    assert after.device != lost.device
    with filled.reading() as connection:
        assert chain.installation(connection) == after.device


def test_a_backup_may_be_put_where_nothing_was(filled, kind, tmp_path):
    backup.save(filled, tmp_path / "saved")
    new = kind.nothing(tmp_path)
    assert put_back(new, tmp_path / "saved") is None
    assert list(log.lines(new)) == list(log.lines(filled))


def test_a_backup_goes_from_one_engine_to_the_other(filled, files, server, tmp_path):
    backup.save(filled, tmp_path / "saved")
    away = server.sweep()
    for other in (files, server):
        new = other.nothing(tmp_path, "other")
        put_back(new, tmp_path / "saved")
        assert rows(new, installation=False) == rows(filled, installation=False)
    engine.close()
    away()


def test_while_another_writes_a_backup_holds_what_was_there_before(filled, other, answer, tmp_path):
    other.exec_driver_sql("BEGIN")
    other.exec_driver_sql("UPDATE students SET minutes = 44")
    backup.save(filled, tmp_path / "saved")
    other.exec_driver_sql("ROLLBACK")
    assert rows(Database(SQLite(tmp_path / "saved"))) == rows(filled)


def test_what_is_there_is_never_written_over(filled, tmp_path):
    (tmp_path / "saved").write_text("mine")
    with pytest.raises(Refused, match="saved is there already; name a new file"):
        backup.save(filled, tmp_path / "saved")
    assert (tmp_path / "saved").read_text() == "mine"


def test_where_nothing_is_stored_there_is_nothing_to_save(kind, tmp_path):
    with pytest.raises(Refused, match="nothing to back up"):
        backup.save(kind.nothing(tmp_path), tmp_path / "saved")
    assert not (tmp_path / "saved").exists()


def test_a_backup_in_a_folder_that_is_not_there_is_refused(filled, tmp_path):
    with pytest.raises(Refused, match="cannot be written: No such file or directory"):
        backup.save(filled, tmp_path / "nowhere" / "saved")


@pytest.mark.parametrize("content", [b"", b"x", b"Notes on tailwheels.\n" * 99])
def test_what_is_no_backup_is_refused_and_nothing_is_changed(filled, tmp_path, content):
    (tmp_path / "saved").write_bytes(content)
    before = rows(filled)
    with pytest.raises(Refused, match=r"saved (holds no database|is damaged or not a database)"):
        put_back(filled, tmp_path / "saved")
    assert rows(filled) == before


@pytest.mark.parametrize("content", [b"", b"x", None])
def test_a_damaged_file_is_moved_aside(filled, file, tmp_path, content):
    backup.save(filled, tmp_path / "saved")
    path = file.dialect.path
    torn = path.read_bytes()[:5000] if content is None else content
    path.write_bytes(torn)
    kept = put_back(file, tmp_path / "saved")
    assert list(log.lines(file)) == list(log.lines(filled))
    assert Path(kept).name.startswith(f"{path.name}.before-restore-")
    assert Path(kept).read_bytes() == torn


def test_a_database_of_another_program_is_left_alone(filled, file, tmp_path, aside):
    backup.save(filled, tmp_path / "saved")
    with aside(file) as other:
        other.exec_driver_sql("DROP TABLE entries")
    with pytest.raises(Refused, match="of another program"):
        put_back(file, tmp_path / "saved")


def test_a_backup_of_an_older_form_is_put_back_in_todays(kind, tmp_path):
    old = Database(SQLite(tmp_path / "old.db"))
    old.upgrade("0001")
    new = kind.nothing(tmp_path)
    put_back(new, tmp_path / "old.db")
    assert people.everyone(new) == {}
    assert [path.name for path in tmp_path.iterdir() if "before" in path.name] == []
