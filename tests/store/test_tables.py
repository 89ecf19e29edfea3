import re
from dataclasses import fields
from typing import get_args

import pytest
import sqlalchemy as sa

import behind
from stickback.memory.entry import FIELDS, What
from stickback.store import log, people
from stickback.store.tables import ENTRIES, STUDENTS, Entries, Parameters, Students
from stickback.study.student import Student

SEALED = {"device": "d", "number": 1, "seal": "s"}


def test_an_entry_has_a_column_for_everything_that_is_known_of_it():
    assert tuple(Entries.__table__.columns.keys()) == ("school", "student", *FIELDS, "person")


def test_a_student_has_a_column_for_every_setting():
    settings = {field.name for field in fields(Student)}
    assert set(Students.__table__.columns.keys()) == settings | {"school", "key", "hidden", "entries", "number", "seal"}


def test_a_row_that_was_never_set_has_the_settings_of_a_student_that_was_never_set():
    row, student = Students(name="ann"), Student(name="ann")
    assert {field.name: getattr(row, field.name) for field in fields(Student)} == vars(student)


@pytest.mark.parametrize("table", [Entries, Parameters])
def test_one_student_is_one_range_of_the_key_and_there_is_no_other_index_but_for_the_last_day(table):
    assert [column.name for column in table.__table__.primary_key] == ["school", "student", "id"]
    others = {tuple(column.name for column in index.columns) for index in table.__table__.indexes}
    assert others == ({("school", "student", "day")} if table is Entries else set())


def test_entries_are_stored_in_the_order_of_their_key(file, aside):
    with aside(file) as other:
        sql = other.exec_driver_sql("SELECT sql FROM sqlite_master WHERE name = 'entries'").scalar_one()
    assert sql.rstrip().endswith("WITHOUT ROWID")


@pytest.mark.parametrize("what", [*get_args(What), "deleted"])
def test_an_entry_is_one_of_those_that_there_are(store, other, what):
    with store.writing() as connection:
        key = people.row_or_new(connection, "ann").key
    row = {"school": 1, "student": key, "id": "a", "what": what, "day": 1, "at": 1, "zone": "UTC", **SEALED}
    if what in get_args(What):
        other.execute(sa.insert(ENTRIES), row)
        assert other.exec_driver_sql("SELECT what FROM entries").scalar_one() == what
    else:
        with pytest.raises(sa.exc.IntegrityError, match="ck_entries_what"):
            other.execute(sa.insert(ENTRIES), row)


def test_an_entry_without_its_student_is_refused(store):
    row = {"student": 7, "id": "a", "what": "flown", "day": 1, "at": 1, "zone": "UTC", **SEALED}
    with pytest.raises(sa.exc.IntegrityError, match=r"(?i)foreign key"), store.writing() as connection:
        connection.execute(sa.insert(ENTRIES), row)


def test_a_name_belongs_to_one_student(store):
    behind.put(store, Student(name="ann"))
    with (
        pytest.raises(sa.exc.IntegrityError, match=r"students\.name|uq_students_school"),
        store.writing() as connection,
    ):
        connection.execute(sa.insert(STUDENTS), Students(key=2, name="ann").model_dump(exclude={"school"}))


def test_moments_and_seeds_are_stored_exactly(store, answer):
    last = answer(1, seed=2**53 - 1)
    log.append(store, "ann", last)
    with store.reading() as connection:
        row = connection.execute(sa.select(ENTRIES)).one()
        assert (row.at, row.seed, row.day) == (last.at, 2**53 - 1, 20513)


def test_every_constraint_has_a_name_by_which_a_later_version_can_alter_it():
    constraints = [each for table in Entries.metadata.tables.values() for each in table.constraints]
    rule = re.compile(r"(ck|fk|pk|uq)_[a-z]+(_[a-z]+)*")
    assert [str(each.name) for each in constraints if not rule.fullmatch(str(each.name))] == []
    assert {"ck_entries_what", "fk_entries_school_students", "uq_students_school"} <= {
        each.name for each in constraints
    }
