from datetime import date

import pytest

from stickback.refused import Refused
from stickback.services import student as students
from stickback.store import chain, people
from stickback.study.student import Student

DAY = date(2026, 6, 1)


def add(school, text):
    return students.add_roster(school.store, school.course, text, DAY)


def test_everyone_on_a_roster_is_added_with_what_is_set(school):
    added = add(
        school,
        "\ufeffName,aircraft,minutes,checkride,target\r\nAnn Lee,bircham,15,2026-08-01,0.85\r\n\r\nZoë Łoś,,,,\r\n",
    )
    expected = [
        Student(name="Ann Lee", aircraft="bircham", minutes=15, checkride=date(2026, 8, 1), target=0.85),
        Student(name="Zoë Łoś"),
    ]
    assert added == list(people.everyone(school.store).values()) == expected


def test_a_roster_says_how_its_students_listen_and_who_flies_abroad(school):
    (ann, bob) = add(school, "name,abroad,listen\nAnn,Yes,pace 90\nBob,no,\n")
    assert (ann.abroad, ann.listen, bob) == (True, "pace 90", Student(name="Bob"))


def test_a_roster_adds_anew_who_was_erased(school):
    add(school, "name\nAnn\n")
    people.erase(school.store, "Ann")
    assert [one.name for one in add(school, "name\nAnn\nBob\n")] == ["Ann", "Bob"]


def test_a_guarded_cell_is_the_name_it_was(school):
    assert [one.name for one in add(school, "name\n'+Ann\n")] == ["+Ann"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The first line of a roster names its columns"),
        ("Ann\n", "The first line of a roster names its columns"),
        ("name,name\nAnn,Ann\n", "The first line of a roster names its columns"),
        ("name,size\nAnn,1\n", "The first line of a roster names its columns"),
        ("name\nAnn,x\n", "Line 2 of the roster has more cells than its first"),
        ("name\nAnn\n\nann\n", "Line 4 of the roster: There is a student 'ann' already"),
        ("name\nBea\n", "Line 2 of the roster: There is a student 'Bea' already"),
        ("name,minutes\nAnn,5\nCas,many\n", "Line 3 of the roster: 'many' is no value of minutes"),
        ("name,minutes\nAnn,500\n", "Line 2 of the roster: Minutes a day are 1 to 120"),
        ("name,checkride\nAnn,soon\n", "Line 2 of the roster: 'soon' is no value of checkride"),
        ("name,abroad\nAnn,perhaps\n", "Line 2 of the roster: 'perhaps' is no value of abroad"),
        ("name,aircraft\nAnn,x\n", "Line 2 of the roster: .*no aircraft sheet 'x'"),
        ("name\nAnn\n" + "x" * 81, "Line 3 of the roster: A name is 1 to 80 letters"),
        ('name\n"Ann\n' + "x" * 200_000, "the roster cannot be read"),
    ],
)
def test_a_roster_that_cannot_be_taken_whole_adds_no_one(school, text, says):
    students.add(school.store, school.course, "Bea", {}, DAY)
    with pytest.raises(Refused, match=says):
        add(school, text)
    assert list(people.everyone(school.store)) == ["Bea"]


def test_a_roster_that_the_disk_has_no_room_for_adds_no_one(school, monkeypatch):
    real, stored = chain.add, []

    def full(*of, **more):
        if stored:
            raise Refused("There is no room left.")
        stored.extend(real(*of, **more))
        return stored

    monkeypatch.setattr(chain, "add", full)
    with pytest.raises(Refused, match="no room left"):
        add(school, "name\nAnn\nCas\n")
    assert (len(stored), people.everyone(school.store)) == (1, {})
