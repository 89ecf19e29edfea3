import re

import pytest

from signing import cheap
from stickback.refused import Refused
from stickback.store.engine import Database

__all__ = ["cheap"]


@pytest.fixture
def staffed(place):
    """A place with a student, an instructor and the school."""
    place.does("person", "add", "Ada", "--role", "student")
    place.does("person", "add", "Ina", "--role", "instructor", "--instructs", "Ada")
    place.does("person", "add", "Otto", "--role", "school", "--site", "https://school.example/")
    return place


def test_a_person_is_added_and_the_way_in_is_printed(place):
    said = place.does("person", "add", "Otto", "--role", "school", "--site", "https://school.example/")
    assert said.startswith("Otto (school) comes in once, within seven days, by:\nhttps://school.example/invitation/")
    assert "█" in said


def test_everyone_who_may_come_in_is_listed(staffed):
    rows = [line.split() for line in staffed.does("person", "list").splitlines()]
    assert [row[:3] for row in rows[1:]] == [
        ["Ada", "student", "-"],
        ["Ina", "instructor", "Ada"],
        ["Otto", "school", "-"],
    ]


def test_where_nobody_may_come_in_the_list_says_how_to_begin(place):
    assert place.does("person", "list").startswith("No one may come in yet; `stickback person add")


def test_an_invitation_is_renewed(staffed):
    assert "Ada (student) comes in once" in staffed.does("person", "invite", "Ada")


def test_students_are_given_to_an_instructor(staffed):
    staffed.does("person", "set", "Ina", "--without", "Ada")
    assert staffed.does("person", "list").splitlines()[2].split()[:3] == ["Ina", "instructor", "-"]


def test_a_change_that_says_nothing_is_wrong_use(staffed):
    assert "--role, --instructs or --without" in staffed.fails("person", "set", "Ina", status=2)


def test_the_log_says_what_was_changed_of_a_person_and_nothing_where_nothing_was(staffed):
    for change in (("--role", "instructor"), ("--without", "Ada"), ("--role", "school")):
        staffed.does("person", "set", "Ina", *change)
    said = [line for line in staffed.does("person", "log").splitlines() if line.rstrip().endswith("Ina")]
    assert [re.split(r"\s{2,}", line)[2] for line in said] == [
        "made the school",
        "changed which students are given to them",
        "invited",
        "made an instructor",
    ]


def test_a_person_is_shut_out_or_erased(staffed):
    assert staffed.does("person", "remove", "Ina") == "Ina comes in no more.\n"
    assert "erased" in staffed.does("person", "remove", "Ada", "--erase", "--yes")
    assert [line.split()[0] for line in staffed.does("person", "list").splitlines()] == ["Name", "Otto"]


def test_the_log_says_who_did_what_and_nothing_of_those_erased(staffed):
    staffed.does("person", "remove", "Ada", "--erase", "--yes")
    said = staffed.does("person", "log")
    assert "Ada" not in said
    assert said.splitlines()[1].split()[2:] == "at a terminal erased someone with everything kept -".split()


@pytest.mark.parametrize(
    ("typed", "status"),
    [(("add", "Eve"), 2), (("add", "Eve", "--role", "king"), 2), (("invite", "Eve"), 1), (("remove", "Eve"), 1)],
)
def test_what_cannot_be_is_refused(staffed, typed, status):
    assert staffed("person", *typed).exit_code == status


def test_an_invitation_is_taken_back_and_a_person_signed_out(staffed):
    assert staffed.does("person", "revoke", "Ada") == "The invitation of Ada serves no more.\n"
    assert "no invitation that still serves" in staffed.fails("person", "revoke", "Ada")
    assert staffed.does("person", "sign-out", "Ada") == "Ada is signed out on 0 devices.\n"


def acts(place):
    """Who did what to whom, the newest first, without the moment."""
    lines = place.does("person", "log").splitlines()[1:]
    return [tuple(re.split(r" {2,}", line.strip())[1:]) for line in lines]


def test_what_is_taken_along_at_a_terminal_is_told(staffed, tmp_path):
    staffed.does("readiness", "--format", "csv")
    staffed("readiness", "--out", tmp_path / "ada.csv", student="Ada")
    staffed.does("log", "export")
    staffed.does("log", "export", student="Ada")
    staffed.does("backup", tmp_path / "saved.db")
    assert acts(staffed)[:5][::-1] == [
        ("at a terminal", "took the board along", "-"),
        ("at a terminal", "took the board along", "Ada"),
        ("at a terminal", "took the log along", "-"),
        ("at a terminal", "took the log along", "Ada"),
        ("at a terminal", "saved the whole database in a file", "-"),
    ]


def test_what_is_only_looked_at_is_not_told(staffed):
    before = acts(staffed)
    staffed.does("readiness")
    staffed.does("progress", student="Ada")
    assert acts(staffed) == before


def test_what_was_said_of_a_student_at_a_terminal_is_told_as_said(staffed):
    staffed.does("student", "set", "Ada", "--minutes", "20")
    staffed.does("flown", "1", "--by", "Ina Vesper", student="Ada")
    told = acts(staffed)
    assert ("at a terminal", "changed settings", "Ada") in told
    assert ("at a terminal, said to be Ina Vesper", "recorded a flight", "Ada") in told


def test_where_nobody_may_come_in_nothing_is_told(school, tmp_path):
    school.does("log", "export")
    school.does("backup", tmp_path / "saved.db")
    assert school.raw("SELECT count(*) FROM acts") == [(0,)]


def test_a_database_that_cannot_be_written_is_taken_along_all_the_same(staffed, monkeypatch):
    def full(_):
        raise Refused("The disk is full.")

    monkeypatch.setattr(Database, "writing", full)
    assert '"student":"Ada"' in staffed.does("log", "export").replace(" ", "")


def test_a_copy_that_is_put_back_and_files_taken_in_are_told(staffed, tmp_path):
    (tmp_path / "all.jsonl").write_text(staffed.does("log", "export"))
    staffed.does("log", "import", tmp_path / "all.jsonl", "--dry-run")
    staffed.does("backup", tmp_path / "saved.db")
    staffed.does("restore", tmp_path / "saved.db")
    assert acts(staffed)[0][1] == "put a saved database back"
    staffed.does("log", "import", tmp_path / "all.jsonl")
    assert [act[1] for act in acts(staffed)].count("took in files of devices") == 1


def test_what_was_refused_was_not_taken_along(staffed, tmp_path):
    before = acts(staffed)
    assert staffed("readiness", "--weekly", "--format", "html", "--out", tmp_path / "weekly.html").exit_code
    assert acts(staffed) == before
