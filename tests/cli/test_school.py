"""Several schools in one database, each reached by its name behind the database."""

import pytest


@pytest.fixture
def two(school):
    """A database with a second school; gives how that is named."""
    said = school.does("school", "add", "north-field")
    assert said == (
        "Made the school north-field. To work in it, write ?school=north-field behind the database: "
        "--db DATABASE?school=north-field\n"
    )
    return f"{school.db}?school=north-field"


def rows(said):
    return [line.split() for line in said.splitlines()][1:]


def test_whoever_names_no_school_works_in_the_first(school, two):
    before = school.does("student", "list")
    school.does("student", "add", "Zoe", db=two)
    assert school.does("student", "list") == before
    assert "Zoe" in school.does("student", "list", db=two)
    assert rows(school.does("school", "list")) == [["first", "2", "8"], ["north-field", "1", "1"]]


def test_each_school_has_its_own_persons(school, two):
    for db in (school.db, two):
        school.does("person", "add", "Otto", "--role", "school", db=db)
        assert [row[0] for row in rows(school.does("person", "list", db=db))] == ["Otto"]
    assert "made a school" in school.does("person", "log")


def test_a_school_that_is_not_there_is_said_in_a_sentence(school, two):
    said = school.fails("student", "list", db=f"{school.db}?school=south-field")
    assert f"There is no school 'south-field' in {school.db}; `stickback school add` adds one." in said


def test_a_backup_says_that_it_holds_all_schools(school, two, tmp_path):
    school.does("student", "add", "Zoe", db=two)
    said = school.does("backup", tmp_path / "saved.db", db=two)
    assert " holds 9 entries of 3 students in 2 schools; fingerprint of this one " in said
    assert school.does("school", "list", db=tmp_path / "saved.db") == school.does("school", "list")
