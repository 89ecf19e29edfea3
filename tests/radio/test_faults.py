import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import faults, spoken
from stickback.radio.examiner import mark
from stickback.radio.exchange import Exchange
from stickback.radio.faults import Situation


def at(given="", rules="uk", reply=True, tower=True):
    return Situation(spoken.tokens(given), rules, reply, tower)


def claims(said, given="", **situation):
    return list(faults.claimed(spoken.tokens(said), at(given, **situation)))


def wrong_figures(said, given, told=(), **situation):
    return list(faults.figures(spoken.tokens(said), at(given, **situation), told))


# clearances


@pytest.mark.parametrize(
    ("said", "what"),
    [
        ("cleared for take-off", "cleared for take-off"),
        ("cleared to land", "cleared to land"),
        ("cleared touch and go", "cleared touch and go"),
        ("cleared for immediate take-off", "cleared for take-off"),
        ("cleared for the option", "cleared option"),
        ("cleared to cross runway 15", "cleared to cross"),
        ("cleared", "cleared"),
    ],
)
def test_a_clearance_that_was_not_given_is_claimed(said, what):
    assert claims(said, "continue approach") == [f"You claimed a clearance that was not given: {what}."]
    assert claims(said, said) == []


def test_another_clearance_than_was_given_is_claimed():
    assert claims("cleared to land", "cleared touch and go") != []
    assert len(claims("cleared to land, cleared to land", "cleared touch and go")) == 1


def test_where_nobody_clears_anybody_that_is_said():
    (remark,) = claims("cleared for take-off", "take off at your discretion", tower=False)
    assert remark.endswith("Here nobody clears anybody: the pilot decides.")
    assert claims("taking off", "take off at your discretion", tower=False) == []


@pytest.mark.parametrize("said", ["not cleared to land", "confirm cleared to land", "request landing clearance"])
def test_a_denial_or_a_question_claims_nothing(said):
    assert claims(said, "continue approach") == []


@pytest.mark.parametrize("what", ["line up", "cross runway 15", "enter runway 24", "backtrack"])
def test_a_permission_that_was_not_given_is_claimed(what):
    (remark,) = claims(what, "taxi holding point A1")
    assert remark.startswith("You claimed a permission that was not given: ")
    assert claims(what, f"{what} approved") == claims(what, reply=False) == claims(what, tower=False) == []


@pytest.mark.parametrize("said", ["request backtrack", "unable to line up", "hold short, ready to line up"])
def test_what_is_asked_for_or_refused_is_not_claimed(said):
    assert claims(said, "taxi holding point A1") == []


@pytest.mark.parametrize("said", ["landing", "continue approach, landing runway 24"])
def test_to_land_without_a_clearance_is_claimed(said):
    (remark,) = claims(said, "continue approach")
    assert remark == "You claimed a permission that was not given: land."
    assert claims(said, "runway 24 cleared to land") == claims(said, "land at your discretion", tower=False) == []


@pytest.mark.parametrize("said", ["landing traffic in sight", "number 2 to land", "expect landing", "request landing"])
def test_the_landing_of_others_and_a_later_one_are_not_claimed(said):
    assert claims(said, "continue approach, number 2") == []


def test_a_bare_cleared_claims_nothing_where_something_was_cleared():
    assert claims("runway 24, cleared", "runway 24 cleared to land") == []


def test_a_crossing_may_be_called_cleared_where_it_was_permitted():
    assert claims("cleared to cross runway 15", "cross runway 15") == []


@pytest.mark.parametrize("said", ["unable, need time to line up", "unable, need to line up first"])
def test_what_a_refusal_still_needs_is_not_claimed(said):
    assert claims(said) == []


# refusing


def test_unable_is_heard_where_nobody_spoke_of_it():
    refused = faults.refused(spoken.tokens("unable, cleared to land"), at("cleared to land"))
    assert [remark.split()[0] for remark in refused] == ["'Unable'"]
    assert not list(faults.refused(spoken.tokens("unable"), at("unable to approve that")))


# the word


@pytest.mark.parametrize("said", ["ready for take-off", "ready for takeoff", "taking off"])
def test_take_off_is_said_only_in_its_clearance(said):
    words = spoken.tokens(said)
    assert list(faults.take_off(words, at("line up and wait"))) != []
    assert list(faults.take_off(words, at("line up and wait", rules="icao"))) != []
    for allowed in (at("cleared for take-off"), at("cancel take-off"), at(rules="faa"), at(tower=False)):
        assert list(faults.take_off(words, allowed)) == []


def test_departure_is_the_word_before():
    assert list(faults.take_off(spoken.tokens("ready for departure"), at("report ready"))) == []


# figures


def test_a_figure_said_right_and_wrong_is_wrong():
    assert wrong_figures("runway 24, runway 25", "runway 24") == ["You said runway 25; it is 24."]
    assert wrong_figures("runway 15, runway 24", "runway 24, cross runway 15") == []
    assert wrong_figures("heading 090", "runway 24, runway 06") == ["Nobody said heading 090."]
    assert wrong_figures("runway 33", "runway 24, runway 06") == ["You said runway 33; it is 24 or 06."]


def test_a_figure_that_is_told_already_is_not_told_twice():
    assert wrong_figures("runway 25", "runway 24", told={"runway"}) == []


def test_who_begins_may_say_more():
    assert wrong_figures("heading 090", "runway 24", reply=False) == []
    assert wrong_figures("runway 25", "runway 24", reply=False) != []


def test_a_wind_is_no_heading():
    assert wrong_figures("heading 270, wind 240 12", "heading 270, wind 240 12") == []
    assert wrong_figures("heading 240", "heading 270, wind 240 12") == ["You said heading 240; it is 270."]


@pytest.mark.parametrize(
    "said", ["any traffic please advise", "any conflicting traffic in the area, advise", "traffic in the area advise"]
)
def test_others_are_not_asked_to_speak_where_nobody_answers(said):
    assert list(faults.called(spoken.tokens(f"base, runway 33, {said}"), at(tower=False))) != []
    assert not list(faults.called(spoken.tokens(f"base, runway 33, {said}"), at(tower=True)))
    assert not list(faults.called(spoken.tokens("Cobbler Field traffic, base, runway 33"), at(tower=False)))


@given(st.text(), st.text(), st.sampled_from(["icao", "uk", "faa"]), st.booleans(), st.booleans())
def test_any_text_may_be_looked_at_in_any_situation(said, given, rules, reply, tower):
    words, situation = spoken.tokens(said), at(given, rules, reply, tower)
    found = [check(words, situation) for check in (faults.claimed, faults.refused, faults.take_off)]
    remarks = [remark for each in (*found, faults.figures(words, situation, ())) for remark in each]
    assert all(remark.endswith(".") for remark in remarks)
    assert said != given or not any(remark.startswith("You claimed a clearance") for remark in remarks)


def at_the_radio(*, tower, heard="G-WA, report final", rules="uk", wanted=()):
    return Exchange(wanted, "G-QTWA", rules, "tower" if tower else "radio", heard)


@pytest.mark.parametrize(
    ("said", "remark"),
    [
        ("Left turn, climb to altitude 3000 feet, G-WA", "You said left turn; it is right turn."),
        ("Right turn, descend to altitude 3000 feet, G-WA", "You said descend; it is climb."),
        ("Right turn, climb to altitude 3000 feet, number 3, G-WA", "You said number 3; it is 2."),
    ],
)
def test_the_contrary_of_what_was_given_is_a_fault_though_no_item(said, remark):
    one = at_the_radio(tower=True, heard="G-WA, number 2, turn right, climb to altitude 3000 feet")
    assert mark(one, said).remarks[0] == remark
    assert mark(one, "Right turn, climb to altitude 3000 feet, number 2, G-WA").right


@pytest.mark.parametrize("wish", ["request landing clearance", "request line up runway 24", "request take-off"])
def test_nobody_is_asked_for_permission_where_nobody_gives_any(wish):
    asked = "Nobody here gives permission: say what you intend."
    assert asked in mark(at_the_radio(tower=False), f"Wilco, {wish}, G-WA").remarks
    assert asked not in mark(at_the_radio(tower=True), f"Wilco, {wish}, G-WA").remarks


def test_who_may_backtrack_may_enter():
    one = at_the_radio(tower=True, heard="G-WA, backtrack runway 24", wanted=("backtrack runway 24",))
    assert mark(one, "Enter, backtrack runway 24, G-WA").right
