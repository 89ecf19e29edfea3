import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio.examiner import mark
from stickback.radio.exchange import Exchange

HEARD = "G-WA, number 2, turn right, climb to altitude 3000 feet"


def at(heard="G-WA, continue approach", *wanted, rules="uk", station="tower", model=""):
    return Exchange(
        wanted=wanted,
        callsign="G-QTWA",
        phraseology=rules,
        station=station,
        heard=heard,
        model=model,
        name="Pendlewick",
    )


def remarks(one, said):
    return list(mark(one, f"{said}, G-WA").remarks)


@pytest.mark.parametrize(
    ("said", "what"),
    [
        ("cleared for take-off", "cleared for take-off"),
        ("cleared to land", "cleared to land"),
        ("approved to land", "cleared to land"),
        ("landing clearance copied", "cleared to land"),
        ("cleared touch and go", "cleared touch and go"),
        ("cleared for immediate take-off", "cleared for take-off"),
        ("cleared for the option", "cleared option"),
        ("cleared to cross", "cleared to cross"),
        ("cleared", "cleared"),
    ],
)
def test_a_clearance_that_was_not_given_is_claimed(said, what):
    assert remarks(at(), said)[0] == f"You claimed a clearance that was not given: {what}."
    assert remarks(at(f"G-WA, {said}"), said) == []


def test_where_nobody_clears_anybody_that_is_said():
    one = at("G-WA, take off at your discretion", station="information", model="Taking off, G-WA")
    assert remarks(one, "cleared for take-off")[0].endswith("Here nobody clears anybody: the pilot decides.")
    assert remarks(one, "taking off") == []


@pytest.mark.parametrize("what", ["line up", "cross", "enter", "backtrack", "land", "touch and go", "taking off"])
def test_a_permission_that_was_not_given_is_claimed(what):
    assert remarks(at("G-WA, report final"), f"Wilco, {what}")[0].startswith(
        "You claimed a permission that was not given: "
    )


@pytest.mark.parametrize(
    "said", ["landing traffic in sight", "number 2 to land", "expect landing", "not cleared to land"]
)
def test_the_landing_of_others_a_later_one_and_a_denied_one_are_not_claimed(said):
    assert remarks(at("G-WA, continue approach, number 2"), said) == []


@pytest.mark.parametrize(
    ("said", "remark"),
    [
        ("Left turn, climb to altitude 3000 feet", "You said left turn; it is right turn."),
        ("Right turn, descend to altitude 3000 feet", "You said descend; it is climb."),
        ("Right turn, climb to altitude 3000 feet, number 3", "You said number 3; it is 2."),
        ("Right turn, climb to altitude 3500 feet", "You said altitude 3500; it is 3000."),
        ("Right turn, climb to altitude 3000 metres", "You said altitude 3000 metres: that is no unit of it."),
        ("Right turn, squawk 7000", "Nobody said squawk 7000."),
        ("Right turn 33", "Nobody said 33."),
        ("Right turn, QFE 998", "Nobody said QFE 998."),
        ("Right turn, via C2", "Nobody said route C2."),
        ("Right turn, information Delta", "Nobody said information D."),
        ("Negative right turn", "'Negative' takes back what it stands beside: right turn."),
        ("Standby", "'Standby' is no answer to this."),
        ("Unable right turn", "'Unable' refuses: nothing here asks for that, and it is no read-back."),
    ],
)
def test_what_was_not_given_is_named(said, remark):
    assert remark in remarks(at(HEARD), said)
    assert remarks(at(HEARD), "Right turn, climb to altitude 3000 feet, number 2") == []


def test_what_is_named_as_a_wrong_item_is_not_named_again():
    assert remarks(at("G-WA, runway 24", "runway 24"), "runway 25") == ["Wrong: runway 24 (you said 25)."]


def test_who_begins_may_say_more_but_nothing_else_beside_it():
    one = at("", "runway 24", model="G-WA, downwind, runway 24")
    assert mark(one, "G-WA, downwind, runway 24, touch and go").remarks == ()
    assert mark(one, "G-WA, downwind, runway 24, runway 25").remarks[0] == "You said runway 25; it is 24."


@pytest.mark.parametrize("wish", ["request landing clearance", "request line up", "request take-off"])
def test_nobody_is_asked_for_permission_where_nobody_gives_any(wish):
    asked = "Nobody here gives permission: say what you intend."
    assert asked in remarks(at("G-WA, report final", station="radio"), f"Wilco, {wish}")
    assert asked not in remarks(at("G-WA, report final"), f"Wilco, {wish}")


@pytest.mark.parametrize("said", ["any traffic please advise", "any conflicting traffic in the area, advise"])
def test_others_are_not_asked_to_speak_where_nobody_answers(said):
    advise = "'Any traffic please advise' is no call: say where you are and what you do, and listen."
    assert advise in remarks(at("", "base", model="G-WA, base", station="unattended"), f"base, {said}")
    assert advise not in remarks(at("", "base", model="G-WA, base"), f"base, {said}")


@given(st.text(), st.text(), st.sampled_from(["icao", "uk", "faa"]), st.sampled_from(["tower", "radio", "unattended"]))
def test_any_text_may_be_said_to_any_transmission(said, heard, rules, station):
    for one in (at(heard, rules=rules, station=station), at("", model=heard, rules=rules, station=station)):
        assert all(remark.endswith((".", "?")) for remark in mark(one, said).remarks)
