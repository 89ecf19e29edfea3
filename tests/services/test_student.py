from datetime import date

import pytest

from stickback.refused import Refused
from stickback.services import student as students
from stickback.store import people
from stickback.study.student import Student

TODAY = date(2026, 6, 1)
ALLOWED = {
    "aircraft": "bircham",
    "phraseology": "faa",
    "checkride": date(2026, 9, 1),
    "next_lesson": "landing",
    "next_on": date(2026, 7, 1),
    "minutes": 25,
    "target": 0.85,
    "zone": "Europe/London",
    "abroad": True,
    "listen": "pace 120, clipped",
}


def test_settings_that_the_course_knows_are_taken(taught):
    assert students.checked(taught, Student(name="Ann"), ALLOWED, TODAY) == Student(name="Ann", **ALLOWED)


def test_a_lesson_by_its_number_is_kept_by_its_id(taught):
    assert students.checked(taught, Student(name="Ann"), {"next_lesson": "3"}, TODAY).next_lesson == "landing"


def test_none_clears_a_setting(taught):
    cleared = dict.fromkeys(("aircraft", "checkride", "next_on", "next_lesson", "zone"))
    assert students.checked(taught, Student(name="Ann", **ALLOWED), cleared, TODAY) == Student(
        name="Ann", phraseology="faa", minutes=25, target=0.85, abroad=True, listen="pace 120, clipped"
    )


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ({"aircraft": "concorde"}, "it has aldwick, bircham"),
        ({"phraseology": "french"}, "one of icao, uk, faa"),
        ({"next_lesson": "4"}, "it has aeroplane, landing, take-off"),
        ({"next_on": date(2026, 7, 1)}, "add --next LESSON"),
        ({"listen": "loud"}, "'loud' is none of them"),
        ({"minutes": 0}, "1 to 120, not 0"),
        ({"minutes": 121}, "1 to 120, not 121"),
        ({"target": 0.69}, "0.70 to 0.97, not 0.69"),
        ({"target": 0.971}, "0.70 to 0.97, not 0.971"),
        ({"zone": "Mars"}, "no time zone 'Mars'"),
    ],
    ids=str,
)
def test_a_setting_that_is_not_allowed_is_refused_with_those_that_are(taught, setting, says):
    with pytest.raises(Refused, match=says):
        students.checked(taught, Student(name="Ann"), setting, TODAY)


@pytest.mark.parametrize("setting", [{"minutes": 1}, {"minutes": 120}, {"target": 0.7}, {"target": 0.97}], ids=str)
def test_the_bounds_themselves_are_allowed(taught, setting):
    ((name, value),) = setting.items()
    assert getattr(students.checked(taught, Student(name="Ann"), setting, TODAY), name) == value


def test_a_student_is_added_once(taught, school):
    assert students.add(school.store, taught, "Ann", ALLOWED, TODAY) == (Student(name="Ann", **ALLOWED), False)
    assert people.everyone(school.store) == {"Ann": Student(name="Ann", **ALLOWED)}
    with pytest.raises(Refused, match="There is a student 'Ann' already"):
        students.add(school.store, taught, "Ann", {}, TODAY)


@pytest.mark.parametrize("name", ["", " ", "Ann ", "\tAnn", "A\nB", "A\u202eB", "\x1b[1mA", "\ud800", "x" * 81])
def test_a_name_is_one_line_of_text_that_can_be_seen(taught, school, name):
    with pytest.raises(Refused, match="A name is 1 to 80 letters on one line"):
        students.add(school.store, taught, name, {}, TODAY)
    assert people.everyone(school.store) == {}


@pytest.mark.parametrize("name", ["Ann", "Zoë Ångström", "李雷", "x" * 80, "-5", "me too"])
def test_names_of_all_the_world_are_names(taught, school, name):
    students.add(school.store, taught, name, {}, TODAY)
    assert list(people.everyone(school.store)) == [name]


def test_who_was_removed_comes_back_with_the_old_settings_and_the_new_on_top(taught, school):
    students.add(school.store, taught, "Ann", ALLOWED, TODAY)
    students.remove(school.store, "Ann", erase=False)
    student, back = students.add(school.store, taught, "Ann", {"minutes": 5}, TODAY)
    assert (student, back) == (Student(name="Ann", **{**ALLOWED, "minutes": 5}), True)


def test_settings_of_me_need_no_adding_those_of_others_do(taught, school):
    assert students.set_(school.store, taught, "me", {"minutes": 5}, TODAY).minutes == 5
    with pytest.raises(Refused, match="no student 'Ann'"):
        students.set_(school.store, taught, "Ann", {"minutes": 5}, TODAY)


def test_who_was_erased_is_added_anew(taught, school):
    students.add(school.store, taught, "Ann", ALLOWED, TODAY)
    people.erase(school.store, "Ann")
    assert students.add(school.store, taught, "Ann", {}, TODAY) == (Student(name="Ann"), False)


def test_settings_do_not_bring_back_who_is_erased_while_they_are_changed(taught, school, monkeypatch):
    students.add(school.store, taught, "Ann", {}, TODAY)
    ann = people.find(school.store, "Ann")
    people.erase(school.store, "Ann")
    monkeypatch.setattr(people, "find", lambda *_: ann)
    with pytest.raises(Refused, match="Ann was erased here, so nothing was stored"):
        students.set_(school.store, taught, "Ann", {"minutes": 5}, TODAY)
    assert people.everyone(school.store) == {}


def test_a_refused_setting_changes_nothing(taught, school):
    students.set_(school.store, taught, "me", {"minutes": 5}, TODAY)
    with pytest.raises(Refused):
        students.set_(school.store, taught, "me", {"minutes": 20, "zone": "Mars"}, TODAY)
    assert people.find(school.store, "me").minutes == 5


def test_everyone_is_listed_by_name_with_entries_and_the_day_of_the_last_answer(taught, school, hands):
    students.add(school.store, taught, "Zoë", {}, TODAY)
    students.add(school.store, taught, "Ann", {}, TODAY)
    hands.answer(school.begin(day=2))
    school.flown(5, "1")
    assert [(one.student.name, one.entries, one.last) for one in students.listed(school.store)] == [
        ("Ann", 0, None),
        ("Zoë", 0, None),
        ("me", 1, date(2026, 6, 3)),
    ]


def test_a_removed_student_keeps_the_entries(school, hands):
    hands.answer(school.begin())
    assert students.remove(school.store, "me", erase=False) == 1
    assert students.listed(school.store) == []
    assert len(school.log()) == 1


@pytest.mark.parametrize("removed_first", [False, True])
def test_an_erased_student_leaves_nothing_and_the_guards_stand(school, hands, removed_first):
    hands.answer(school.begin())
    if removed_first:
        students.remove(school.store, "me", erase=False)
    assert students.remove(school.store, "me", erase=True) == 1
    assert school.log() == []
    assert people.everyone(school.store) == people.everyone(school.store, hidden=True) == {}


@pytest.mark.parametrize("erase", [False, True])
def test_nobody_can_be_removed_who_is_not_there(school, erase):
    with pytest.raises(Refused, match="nothing stored of `me`"):
        students.remove(school.store, "me", erase=erase)
    with pytest.raises(Refused, match="no student 'Ann'"):
        students.remove(school.store, "Ann", erase=erase)


def test_a_student_removed_already_cannot_be_removed_again(taught, school):
    students.add(school.store, taught, "Ann", {}, TODAY)
    students.remove(school.store, "Ann", erase=False)
    with pytest.raises(Refused, match="no student 'Ann'"):
        students.remove(school.store, "Ann", erase=False)


@pytest.mark.parametrize(("said", "kept"), [("Clipped, pace 120", "pace 120, clipped"), ("on", "on"), ("", "off")])
def test_how_one_listens_is_kept_in_one_form(school, taught, said, kept):
    assert students.set_(school.store, taught, "me", {"listen": said}, TODAY).listen == kept
