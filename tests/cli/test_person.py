import pytest

from signing import cheap

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
