import pytest

import worlds
from worlds import Typist


def listed(place):
    """The rows of the list, by name."""
    head, *rows = (line.split() for line in place.does("student", "list").splitlines())
    return {row[0]: row[1:] for row in rows} if head[0] == "Name" else {}


def settings(place, name):
    """What is stored of a student, in one line."""
    return place.does("student", "set", name).rstrip()


def test_a_student_is_added_with_settings_and_listed(place):
    shown = place.does("student", "add", "Ann", "--aircraft", "dunmere", "--minutes", 15, "--zone", "Europe/London")
    line = "Ann, aeroplane Dunmere, radio rules UK, 15 minutes a day, fresh from 90 %, zone Europe/London"
    assert (shown, settings(place, "Ann")) == (f"Added: {line}\n", line)
    assert listed(place)["Ann"][:2] == ["Dunmere", "15"]


def test_the_list_says_how_much_each_answered_and_when_last(school):
    assert {name: row[-2:] for name, row in listed(school).items()} == {
        "Bea": ["2", "2026-06-01"],
        "me": ["4", "2026-06-01"],
    }


def test_where_no_one_studies_yet_the_list_says_how_to_begin(place):
    assert place.does("student", "list").startswith("No one studies here yet; `stickback review` begins as `me`")


def test_settings_of_me_can_be_made_on_a_new_machine(tmp_path, place):
    new = worlds.Place(place.course, tmp_path / "not-there-yet.db")
    assert "me, aeroplane Dunmere," in new.does("student", "set", "me", "--aircraft", "dunmere")
    assert "Dunmere (G-QTWE)" in new.does()


def test_the_shipped_aeroplanes_are_taken_on_a_new_machine(tmp_path):
    result = worlds.run("student", "set", "me", "--aircraft", "pendlewick", db=tmp_path / "new.db")
    assert (result.exit_code, result.stdout.partition(", radio")[0]) == (0, "me, aeroplane Pendlewick")


@pytest.mark.parametrize(
    ("option", "says"),
    [
        (("--aircraft", "spit"), "The course has no aircraft sheet 'spit'; it has cawdale, dunmere."),
        (("--phraseology", "UK"), "'UK' is no phraseology; use one of icao, uk, faa."),
        (("--next", "9"), "The plan has no lesson '9'; it has ground, landing, take-off."),
        (("--on", "2026-07-01"), "A date for the next lesson needs the lesson: add --next LESSON."),
        (("--minutes", "0"), "Minutes a day are 1 to 120, not 0."),
        (("--minutes", "121"), "Minutes a day are 1 to 120, not 121."),
        (("--target", "0.69"), "The target is 0.70 to 0.97, not 0.69."),
        (("--target", "0.98"), "The target is 0.70 to 0.97, not 0.98."),
        (("--target", "nan"), "The target is 0.70 to 0.97, not nan."),
        (("--zone", "London"), "There is no time zone 'London'; write one such as Europe/London or +01:00."),
    ],
    ids=" ".join,
)
def test_a_setting_that_cannot_be_is_refused_with_those_that_can(place, option, says):
    assert place.fails("student", "set", "me", *option) == says
    assert place.raw("SELECT * FROM students") == []


def test_a_student_is_not_added_with_a_setting_that_cannot_be(place):
    assert "it has cawdale, dunmere" in place.fails("student", "add", "Ann", "--aircraft", "spit")
    assert place.raw("SELECT * FROM students") == []


def test_settings_are_kept_and_said(place):
    given = ("--minutes", 120, "--target", 0.7, "--phraseology", "faa", "--zone", "+05:30")
    ahead = ("--next", "2", "--on", "2026-07-01", "--checkride", "2026-08-01")
    shown = place.does("student", "set", "me", *given, *ahead)
    assert shown == (
        "me, aeroplane Cawdale, radio rules FAA, 120 minutes a day, fresh from 70 %, "
        "next Lesson 2: Take-off on 1 July 2026, differences sign-off on 1 August 2026, zone +05:30\n"
    )
    assert settings(place, "me") == shown.rstrip()


def test_setting_one_thing_leaves_the_others_as_they_are(school):
    school.does("student", "set", "Bea", "--minutes", 20)
    shown = school.does("student", "set", "Bea", "--phraseology", "icao")
    assert shown == "Bea, aeroplane Dunmere, radio rules ICAO, 20 minutes a day, fresh from 90 %\n"


def test_a_setting_can_be_taken_away(place):
    ahead = ("--next", "2", "--on", "2026-07-01", "--checkride", "2026-08-01")
    place.does("student", "set", "me", "--aircraft", "dunmere", "--zone", "+01:00", *ahead)
    words = {"on": "on 1 July", "next": "Take-off", "checkride": "sign-off", "aircraft": "Dunmere", "zone": "zone"}
    for clear, gone in words.items():
        assert gone in settings(place, "me")
        assert gone not in place.does("student", "set", "me", "--clear", clear)


def test_a_date_goes_with_its_lesson(place):
    place.does("student", "set", "me", "--next", "2", "--on", "2026-07-01")
    assert "2026" not in place.does("student", "set", "me", "--clear", "next")


def test_a_lesson_without_a_date_says_what_is_missing(place):
    assert "no date yet: add --on DATE" in place.does("student", "set", "me", "--next", "2")
    assert "no date yet" not in place.does("student", "set", "me", "--on", "2026-07-01")
    assert "no date yet" not in place.does("student", "set", "me", "--next", "3")


@pytest.mark.parametrize("given", [("--checkride",), ("--next", "2", "--on")])
def test_a_date_in_the_past_is_refused(place, given):
    assert (
        place.fails("student", "set", "me", *given, "2026-05-31") == "2026-05-31 is in the past; today is 2026-06-01."
    )
    place.does("student", "set", "me", *given, "2026-06-01")


def test_a_date_that_has_gone_by_keeps_no_one_from_changing_something_else(place):
    place.does("student", "set", "me", "--checkride", "2026-06-11")
    place.does("student", "set", "me", "--minutes", 5, today="2026-07-01")


def test_an_unknown_student_is_refused_with_those_there_are(school):
    assert school.fails("student", "set", "Zoe") == (
        "There is no student 'Zoe' (there is: Bea, me); `stickback student add` adds one."
    )


def test_a_name_is_taken_once(school):
    assert "There is a student 'Bea' already" in school.fails("student", "add", "Bea")


@pytest.mark.parametrize("name", ["", " ", " Ann", "Ann ", "a\nb", "a\x1bb", "x" * 81])
def test_a_name_is_one_line_of_text(place, name):
    assert place.fails("student", "add", name).startswith("A name is 1 to 80 letters on one line")


def test_a_removed_student_is_on_no_list_and_in_the_log_and_can_come_back(school):
    exported = school.does("log", "export")
    assert school.does("student", "remove", "Bea").startswith("Bea and 3 entries removed")
    assert set(listed(school)) == {"me"}
    assert "Bea" not in school.fails("debrief", student="Bea").partition("there is:")[2]
    assert school.does("log", "export") == exported
    assert school.does("student", "add", "Bea").startswith("Back again: Bea, aeroplane Dunmere")
    assert listed(school)["Bea"][-2:] == ["2", "2026-06-01"]


def test_a_removed_me_who_studies_again_is_listed_again(school):
    school.does("student", "remove", "me")
    school.does("review", "--questions", 1, typed=Typist())
    assert "me" in listed(school)


def test_an_erased_student_leaves_nothing(school):
    shown = school.does("student", "remove", "Bea", "--erase", "--yes")
    assert shown == "Bea and 3 entries erased.\n"
    assert "Bea" not in school.does("log", "export")
    assert len(school.stored()) == 5
    assert "WRONG" not in school.does("log", "verify")


def test_someone_who_was_removed_can_still_be_erased(school):
    school.does("student", "remove", "Bea")
    assert school.does("student", "remove", "Bea", "--erase", "--yes") == "Bea and 3 entries erased.\n"


@pytest.mark.parametrize("answer", ["n\n", "\n", ""])
def test_nothing_is_erased_without_a_yes(school, answer):
    before = school.stored()
    assert school("student", "remove", "Bea", "--erase", typed=answer).exit_code == 1
    assert school.stored() == before


def test_a_yes_erases(school):
    assert school.does("student", "remove", "Bea", "--erase", typed="y\n").endswith("Bea and 3 entries erased.\n")


@pytest.mark.parametrize("erase", [(), ("--erase", "--yes")])
def test_who_is_not_there_cannot_be_removed(place, erase):
    assert "no student 'Zoe'" in place.fails("student", "remove", "Zoe", *erase)
    assert "nothing stored of `me`" in place.fails("student", "remove", "me", *erase)


def test_who_wants_to_hear_the_radio_is_told_what_the_machine_lacks(place, monkeypatch):
    monkeypatch.setattr("stickback.services.listen.player", lambda: None)
    said = place.does("student", "set", "me", "--listen", "noise heavy")
    assert "transmissions heard (noise heavy)" in said
    assert "Until then transmissions are shown." in said
    assert "heard" not in place.does("student", "set", "me", "--listen", "off")


def test_other_states_rules_are_a_setting(place):
    assert "other states' rules too" in place.does("student", "set", "me", "--abroad", "yes")
    assert "other states' rules" not in place.does("student", "set", "me", "--abroad", "no")
    assert "abroad" in place.fails("student", "set", "me", "--abroad", "perhaps", status=2)


def test_the_date_of_the_end_is_set_by_either_word(place):
    for word in ("--checkride", "--sign-off"):
        assert "differences sign-off on 1 July 2026" in place.does("student", "set", "me", word, "2026-07-01")
    assert "sign-off on" not in place.does("student", "set", "me", "--clear", "sign-off")
