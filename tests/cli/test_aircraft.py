import pytest


def test_the_sheets_are_listed_with_their_propeller(place):
    shown = place.does("aircraft")
    assert [line.split()[:4] for line in shown.splitlines() if "propeller" in line] == [
        ["cawdale", "Cawdale", "propeller", "clockwise,"],
        ["dunmere", "Dunmere", "propeller", "anticlockwise,"],
    ]


def test_a_sheet_shows_what_was_typed_and_what_follows_from_it(place):
    typed, _, follows = place.does("aircraft", "dunmere").partition("From the propeller's direction")
    assert "Invented, not for flight." in typed
    assert "  approach speed  55\n" in typed
    assert "swing" not in typed
    assert [line.split() for line in follows.splitlines() if line.startswith(("  swing ", "  rudder foot "))] == [
        ["swing", "right"],
        ["rudder", "foot", "left"],
    ]


def test_an_unknown_sheet_is_refused_with_those_there_are(place):
    assert place.fails("aircraft", "spit") == "The course has no aircraft sheet 'spit'; it has cawdale, dunmere."


def test_two_sheets_are_compared_by_values_and_by_questions_to_learn_anew(place):
    shown = place.does("aircraft", "compare", "cawdale", "dunmere")
    assert "approach speed" in shown
    assert "Which way does it swing?" in shown


@pytest.mark.parametrize("words", [("compare", "cawdale"), ("cawdale", "dunmere"), ("a", "b", "c", "d")], ids=" ".join)
def test_other_words_are_wrong_use(place, words):
    assert "aircraft compare SHEET SHEET" in place.fails("aircraft", *words, status=2)
