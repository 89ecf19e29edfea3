import shlex
from dataclasses import replace
from datetime import date

import pytest

import worlds
from stickback.services import demo, folder

DAY = "2026-06-01"
NAMES = ["Ada Quill", "Bram Teasel", "Cleo Marsh", "Dov Pellow", "Esme Rook", "Finn Ashby"]


@pytest.fixture(autouse=True)
def quick_school(monkeypatch, tmp_path):
    """One short day of each student, and a data folder of its own."""
    real = demo.cast
    monkeypatch.setattr(
        demo, "cast", lambda day: tuple(replace(one, days=one.days[-1:], flown=()) for one in real(day))
    )
    monkeypatch.setattr("platformdirs.user_data_path", lambda name: tmp_path / name)


def run(*args, **env):
    return worlds.run(*args, **{"today": DAY, **env})


def does(*args, **env):
    result = run(*args, **env)
    assert (result.exit_code, result.stderr) == (0, ""), result.exception
    return result.stdout


def test_all_are_introduced_with_their_stories(tmp_path):
    shown = does("demo", db=tmp_path / "new.db")
    assert [name for name in NAMES if f"  {name} " in shown] == NAMES
    flat = " ".join(shown.split())
    assert all(one.story in flat for one in demo.cast(date(2026, 6, 1)))


def test_what_to_type_next_works_as_it_stands(tmp_path):
    shown = does("demo", db=tmp_path / "a school.db")
    commands = [shlex.split(line) for line in shown.splitlines() if line.startswith("  stickback ")]
    assert len(commands) == 5
    for program, *words in commands:
        assert program == "stickback"
        result = worlds.run(*words)
        assert (result.exit_code, result.stderr) == (0, ""), words


def test_esme_is_welcomed_back(tmp_path):
    does("demo", db=tmp_path / "new.db")
    shown = does("--student", "Esme Rook", db=tmp_path / "new.db")
    assert "Welcome back." in shown


def test_a_database_that_holds_students_is_refused_and_left_alone(school):
    before = school.stored()
    said = school.fails("demo", course=folder.shipped())
    assert said == f"{school.db} holds students already; the demo needs a new file."
    assert school.stored() == before


def test_without_a_database_there_is_one_of_its_own_made_afresh_each_time(tmp_path):
    first, second = does("demo"), does("demo")
    assert first == second
    assert str(tmp_path / "stickback" / "demo.db") in first
    assert not (tmp_path / "stickback" / "stickback.db").exists()
    assert does("student", "list", db=tmp_path / "stickback" / "demo.db").count("Ada Quill") == 1


def test_a_database_of_ones_own_is_never_made_afresh(tmp_path):
    mine = tmp_path / "mine.db"
    does("student", "set", "me", "--minutes", 5, db=mine)
    assert run("demo", db=mine).exit_code == 1
    assert "me" in does("student", "list", db=mine)


def test_a_course_without_the_aeroplanes_is_refused_in_a_sentence(place):
    assert "no aircraft sheet 'brackle'" in place.fails("demo")
    assert place.stored() == []
    assert "Ada" not in place("student", "list").output


def test_what_to_type_next_names_the_course_that_was_named(tmp_path):
    shown = does("--course", folder.shipped(), "demo", db=tmp_path / "new.db")
    commands = [line for line in shown.splitlines() if line.startswith("  stickback ")]
    assert all(f"--course {folder.shipped()}" in line for line in commands)
