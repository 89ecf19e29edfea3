from datetime import date

import click
import pytest

import worlds
from stickback.cli import main
from stickback.cli.options import Day, Options

NOTHING = Options(db=None, course=None, student="me", today=None)


@pytest.mark.parametrize("text", ["1971-01-01", "2026-03-01", "2199-12-31"])
def test_a_day_is_an_iso_date_of_the_years_that_can_be_counted(text):
    assert Day().convert(text, None, None).isoformat() == text


@pytest.mark.parametrize("text", ["", "1 March 2026", "2026-02-29", "1970-12-31", "2200-01-01", "2026-03-01T10:00"])
def test_anything_else_is_no_day(text):
    with pytest.raises(click.BadParameter, match=r"is not a date|not in the years"):
        Day().convert(text, None, None)


def test_a_day_that_is_one_already_stays():
    assert Day().convert(date(2026, 3, 1), None, None) == date(2026, 3, 1)


def test_without_a_course_the_shipped_one_is_read():
    assert (NOTHING.folder / "lesson-plan.md").is_file()


def test_the_desk_is_the_students_on_the_day_that_is_given(school):
    options = Options(str(school.db), school.course, "Bea", date(2026, 7, 1))
    made = options.desk()
    assert (made.student.name, made.sheet.id, made.day) == ("Bea", "dunmere", date(2026, 7, 1))
    assert options.load().plan.id == made.course.plan.id == "small"


def test_a_database_may_be_named_by_path_or_url():
    options = NOTHING._replace(db="school.db")
    assert options.database() == options._replace(db="sqlite:///school.db").database()
    assert options.database().name == "school.db"


def test_a_new_machine_needs_no_option_but_a_place_for_the_data(tmp_path, monkeypatch):
    monkeypatch.setattr("platformdirs.user_data_path", lambda name: tmp_path / name)
    result = worlds.run("review", "--questions", 1, typed=worlds.Typist())
    assert (result.exit_code, result.stderr) == (0, "")
    assert len(worlds.run("log", "export").stdout.splitlines()) == 1


def named(school, *words):
    """The names of those whom a command is about, with these words before it."""
    found = []

    @click.command()
    @click.pass_obj
    def probe(options):
        found.extend(one.name for one in options.students(options.database()))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(main.Commands, "get_command", lambda *_: probe)
        result = worlds.run(*words, "probe", db=school.db, course=school.course)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return found or worlds.sentence(result)


def test_without_a_name_everyone_is_meant(school):
    assert named(school) == ["Bea", "me"]


def test_a_name_before_the_command_or_in_the_environment_means_that_student_alone(school, monkeypatch):
    assert named(school, "--student", "Bea") == ["Bea"]
    assert named(school, "--student", "me") == ["me"]
    assert named(school, "--student", "Cas").startswith("There is no student 'Cas' (there is: Bea, me)")


def test_a_removed_student_is_not_among_everyone(school):
    school.does("student", "remove", "Bea")
    assert named(school) == ["me"]
