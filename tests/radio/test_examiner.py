from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stickback.radio import examiner
from stickback.radio.exchange import Exchange

LAND = "G-WA, runway 24 cleared to land, surface wind 230 8"
TAXI = "G-WA, taxi holding point A1 runway 24 via taxiway Bravo, QNH 1008"
AT_DISCRETION = "G-QTWA, Eldermoor Information, runway 24, take off at your discretion, surface wind 230 6"


def reply(heard, *wanted, rules="uk", station="tower", unable=False, sign=""):
    sign = sign or ("N07TW" if rules == "faa" else "G-QTWA")
    return Exchange(
        wanted=wanted, callsign=sign, phraseology=rules, station=station, heard=heard, unable=unable, name="Brackle"
    )


def call(model, *wanted, rules="uk"):
    sign = "N07TW" if rules == "faa" else "G-QTWA"
    return Exchange(wanted=wanted, callsign=sign, phraseology=rules, model=model, name="Brackle")


LANDING = reply(LAND, "runway 24", "cleared to land")
TAXIING = reply(TAXI, "holding point A1", "runway 24", "via Bravo", "QNH 1008")
SQUAWK = reply("November 7TW, squawk 4320", "squawk 4320", rules="faa")
NINE_LEFT = reply("November 7TW, runway 9 left, cleared to land", "runway 9 left", "cleared to land", rules="faa")
FULL = reply("G-QTWA, Eldermoor Tower, runway 24", "runway 24")
REFUSABLE = reply("G-WA, line up and wait runway 15", "line up and wait", "runway 15", unable=True)
DOWNWIND = call("G-WA, downwind, touch and go", "downwind", "touch and go")
RADIO_CHECK = call("Eldermoor Tower, G-QTWA, radio check 118.305", "Eldermoor Tower", "radio check 118.305")
MAYDAY = call("Mayday mayday, G-QTWA, engine failure, 2 miles south", "mayday mayday", "engine failure")
SLIP = call("Runway 24, hold short of runway 15, G-WA", "runway 24", "hold short of runway 15")


def right(one, said):
    return examiner.mark(one, said).right


def remarks(one, said):
    return examiner.mark(one, said).remarks


# read back


@pytest.mark.parametrize(
    "said",
    [
        "Runway 24 cleared to land, G-WA",
        "runway two four cleared to land golf whiskey alfa",
        "cleared to land runway two four golf whiskey alpha",
        "CLEARED LAND RWY24 GWA",
        "cleared to land, surface wind 230 8, runway twenty-four, G-QTWA",
        "roger, cleared to land runway 24, thank you, G-WA",
        "runway two five, correction, runway two four, cleared to land, G-WA",
        "runway two five, correction, two four, cleared to land, G-WA",
        "cleared touch and go, correction, cleared to land, runway 24, G-WA",
        "G-WA, runway 24, cleared to land, G-WA",
        "runway too fower cleared to land golf-whiskey-alpha.",
        "run\u00adway\u00a02\u200b4 cleared\tto land \u202eG-WA",
        "runway \u0662\u0664 cleared to land G-WA",
    ],
)
def test_a_read_back_is_right_however_it_is_said(said):
    assert examiner.mark(LANDING, said) == examiner.Verdict(True, 1.0, ())


@pytest.mark.parametrize(
    "said",
    [
        *("", " ", ",,,", "...", "\u202e", "G-WA", "roger, G-WA", "wilco", "unable, G-WA"),
        *("runway 24, G-WA", "cleared to land, G-WA", "runway 24 cleared to land"),
        "runway 25 cleared to land, G-WA",
        "runway 24L cleared to land, G-WA",
        "runway 24, runway 25, cleared to land, G-WA",
        "runway 24, correction, runway 25, cleared to land, G-WA",
        "runway 24 not cleared to land, G-WA",
        "runway 24 cleared touch and go, G-WA",
        "runway 24 cleared to land, cleared for take-off, G-WA",
        "unable, runway 24 cleared to land, G-WA",
        "runway 24 cleared to land, G-WB",
        "G-WA, runway 24 cleared to land",
        "runway 24 cleared to land golf whiskey",
        "runway 24 cleared to land wagwag",
        "runway 24\u0665 cleared to land, G-WA",
        "runway 24 cleared to land, squawk 7000, G-WA",
        f"runway 24 cleared to land, {'very ' * 2000}, G-WA",
    ],
)
def test_what_a_good_examiner_would_not_take_is_wrong(said):
    verdict = examiner.mark(LANDING, said)
    assert not verdict.right
    assert 0 <= verdict.score < 1
    assert verdict.remarks


@pytest.mark.parametrize(
    "said",
    [
        "taxiing holding point alfa one, runway two four, via Bravo, QNH one zero zero eight, golf whiskey alfa",
        "QNH 1008, via B, runway 24, holding point A1, G-WA",
        "holding point A1 runway 24 taxiway B QNH 1008 G-WA",
    ],
)
def test_items_are_read_back_in_any_order(said):
    assert right(TAXIING, said)


@pytest.mark.parametrize(
    "said",
    [
        "squawk four three two zero seven tango whiskey",
        "7TW, squawk 4320",
        "squawk 4320 Brackle 7TW",
        "squawk 4320 07TW",
    ],
)
def test_the_faa_has_the_callsign_at_either_end_and_in_its_own_forms(said):
    assert right(SQUAWK, said)


@pytest.mark.parametrize("said", ["squawk 4320", "squawk 4320 N8TW", "squawk 43207 TW", "squawk 4320 tango whiskey"])
def test_a_callsign_without_a_part_is_none(said):
    assert not right(SQUAWK, said)


@pytest.mark.parametrize(
    ("runway", "good"), [("9L", True), ("09L", True), ("niner left", True), ("9", False), ("9R", False), ("90L", False)]
)
def test_the_faa_leaves_the_nought_of_a_runway_out(runway, good):
    assert right(NINE_LEFT, f"runway {runway}, cleared to land, 7TW") is good


def test_figures_that_run_into_the_callsign_are_told_apart():
    four = reply("G-WA, squawk 4327", "squawk 4327")
    assert right(four, "squawk four three two seven golf whiskey alfa")
    assert right(SQUAWK, "squawk four three two zero november seven tango whiskey")


# remarks


def test_each_item_is_named():
    said = "taxi holding point A2, runway 24, QNH 1008"
    assert examiner.mark(TAXIING, said) == examiner.Verdict(
        False,
        pytest.approx(2 / 5),
        (
            "Read back: runway 24, QNH 1008.",
            "Wrong: holding point A1 (you said A2).",
            "Missing: via Bravo.",
            "Missing: callsign.",
        ),
    )


def test_a_wrong_callsign_and_one_out_of_place_are_named():
    assert remarks(LANDING, "runway 24 cleared to land, golf whiskey bravo")[-1] == (
        "Wrong: callsign (you said golf whiskey bravo)."
    )
    assert "at the end of a reply" in remarks(LANDING, "G-WA, runway 24 cleared to land")[-1]
    assert "at the beginning of a call" in remarks(DOWNWIND, "downwind, touch and go, G-WA")[-1]


def test_an_acknowledgement_is_no_read_back():
    assert remarks(LANDING, "roger, G-WA")[-1] == "'Roger' is no read-back."
    assert remarks(LANDING, "roger, runway 24 cleared to land, G-WA") == ()


def test_wilco_answers_a_report_and_is_no_read_back_of_anything_else():
    asked = reply("G-WA, squawk 4320, report overhead the lake", "squawk 4320")
    assert remarks(asked, "wilco, G-WA") == ("Missing: squawk 4320.",)
    assert remarks(LANDING, "wilco, G-WA")[-1] == "'Wilco' is no read-back."


def test_an_american_runway_may_go_without_its_word():
    faa = reply("N7TW, runway 9, cleared to land", "runway 9", "cleared to land", rules="faa")
    assert right(faa, "cleared to land niner, 7TW")
    assert remarks(faa, "cleared to land 27, 7TW")[0] == "Read back: cleared to land."
    assert not right(LANDING, "cleared to land 24, G-WA")


def test_what_was_claimed_comes_first():
    up = reply("G-WA, line up and wait runway 24", "line up and wait", "runway 24")
    first, *_ = remarks(up, "line up runway 24, cleared for take-off, G-WA")
    assert first == "You claimed a clearance that was not given: cleared for take-off."


def test_one_wrong_thing_costs_at_least_one_item():
    verdict = examiner.mark(LANDING, "runway 24, runway 25, cleared to land, G-WA")
    assert (verdict.right, verdict.score) == (False, pytest.approx(2 / 3))


@pytest.mark.parametrize("said", ["runway 24, ready for take-off, G-WA", "runway 24, taking off, G-WA"])
def test_take_off_is_a_word_for_its_clearance_alone(said):
    assert any("departure" in each for each in remarks(reply("G-WA, runway 24", "runway 24"), said))


@pytest.mark.parametrize("station", ["information", "radio", "unattended"])
def test_where_there_is_no_tower_nobody_is_cleared(station):
    free = reply(AT_DISCRETION, station=station)
    assert right(free, "taking off, G-QTWA")
    assert "nobody clears anybody" in remarks(free, "cleared for take-off, G-QTWA")[0]


# the short callsign


def test_a_short_callsign_before_the_station_used_it_is_right_with_a_remark():
    assert remarks(FULL, "runway 24, G-WA") == ("The station has not shortened your callsign yet: say it in full.",)
    assert right(FULL, "runway 24, G-WA")
    assert remarks(FULL, "runway 24, G-QTWA") == remarks(LANDING, "runway 24, cleared to land, G-WA") == ()


def test_the_name_of_the_type_leaves_nothing_out():
    faa = reply("Brackle 07TW, runway 33", "runway 33", rules="faa")
    assert remarks(faa, "runway 33, November 07TW") == remarks(faa, "runway 33, Brackle 07TW") == ()
    assert remarks(faa, "runway 33, 7TW") != ()
    assert remarks(SQUAWK, "squawk 4320, 7TW") == ()


def test_a_reply_that_is_put_right_may_be_short_with_a_remark():
    one = replace(
        call("Runway 33, hold short of runway 27, N07TW", "runway 33", "hold short of runway 27", rules="faa"),
        scene="Cobbler Ground said: runway 33, taxi via Alpha, hold short of runway 27.",
    )
    said = "Runway 33 via Alpha, hold short 27, N7TW"
    assert (right(one, said), len(remarks(one, said))) == (True, 1)


# calls


def test_a_call_begins_with_the_callsign_behind_the_station_called():
    assert right(DOWNWIND, "golf whiskey alfa, downwind for touch and go")
    assert right(DOWNWIND, "Eldermoor Tower, G-WA, downwind, touch and go")
    assert right(RADIO_CHECK, "Eldermoor Tower, G-QTWA, radio check one one eight decimal three zero five")


def test_transmitting_blind_opens_a_call_before_or_behind_the_callsign():
    one = call("Transmitting blind, Eldermoor Tower, G-QTWA, downwind", "transmitting blind", "downwind")
    assert right(one, "Transmitting blind, Eldermoor Tower, G-QTWA, downwind")
    assert right(one, "Eldermoor Tower, G-QTWA, transmitting blind, downwind")
    assert not right(one, "Transmitting blind, downwind, G-QTWA")


@pytest.mark.parametrize(
    "said",
    [
        "Eldermoor Tower, radio check 118.305, G-QTWA",
        "G-QTWA, radio check 118.305",
        "Eldermoor Radio, G-QTWA, radio check 118.305",
        "Eldermoor Tower, G-QTWA, radio check",
    ],
)
def test_a_call_needs_all_its_parts_in_their_places(said):
    assert not right(RADIO_CHECK, said)
    assert not any(remark.startswith("Read back") for remark in remarks(RADIO_CHECK, said))


def test_where_the_model_has_the_callsign_in_between_it_may_stand_anywhere():
    assert right(MAYDAY, MAYDAY.model)
    assert right(MAYDAY, "G-QTWA, mayday mayday, engine failure")
    assert right(MAYDAY, MAYDAY.composed())
    assert not right(MAYDAY, "mayday mayday, engine failure")


def test_a_slip_is_put_right_as_its_model_is_spoken():
    assert right(SLIP, "runway 24, hold short runway 15, G-WA")
    assert not right(SLIP, "G-WA, runway 24, hold short runway 15")
    assert not right(SLIP, "runway 15, hold short runway 24, G-WA")


def test_the_faa_has_the_callsign_at_either_end_of_a_call():
    traffic = call("Brackle 07TW, left downwind runway 33", "left downwind runway 33", rules="faa")
    assert right(traffic, "left downwind runway 33, Brackle 07TW")
    assert right(traffic, "N07TW, left downwind runway 33")
    between = "Runway 9 left, 7TW, cleared to land"
    assert remarks(NINE_LEFT, between)[-1].endswith("it stands at the beginning or the end).")


# refusing


@pytest.mark.parametrize(
    "said",
    ["unable, G-WA", "Unable runway 15 due crosswind, request runway 24, G-WA", "line up and wait runway 15, G-WA"],
)
def test_a_refusal_is_right_where_it_is_allowed(said):
    assert right(REFUSABLE, said)


def test_a_refusal_needs_a_callsign_and_no_clearance():
    assert remarks(REFUSABLE, "unable") == ("Missing: callsign.",)
    assert not right(REFUSABLE, "unable, cleared for take-off, G-WA")


# the right answer


@pytest.mark.parametrize(
    ("one", "answer"),
    [
        (LANDING, "runway 24, cleared to land, G-WA"),
        (FULL, "runway 24, G-QTWA"),
        (NINE_LEFT, "runway 9 left, cleared to land, N7TW"),
        (reply("G-WA, QNH 998", "QNH 998"), "QNH 998 hectopascals, G-WA"),
        (reply("G-WA, QNH 998hPa", "QNH 998hPa"), "QNH 998hPa, G-WA"),
        (DOWNWIND, "G-WA, downwind, touch and go"),
    ],
)
def test_the_right_answer_follows_from_the_items(one, answer):
    assert one.written == answer
    assert right(one, answer)


@given(
    st.text() | st.text(alphabet="runway24cleodtGWA-, "),
    st.sampled_from([LANDING, TAXIING, SQUAWK, FULL, REFUSABLE, DOWNWIND, RADIO_CHECK, MAYDAY, SLIP]),
)
@example("correction " * 900, TAXIING)
@example("one thousand " * 900, TAXIING)
@example("1 " * 5000, TAXIING)
def test_any_text_has_a_verdict_and_always_the_same(said, one):
    verdict = examiner.mark(one, said)
    assert verdict == examiner.mark(one, said)
    assert 0 <= verdict.score <= 1
    assert verdict.right == (verdict.score == 1)


@given(st.text(), st.text(), st.text(), st.sampled_from(["icao", "uk", "faa"]))
def test_any_text_may_be_an_exchange(heard, item, said, rules):
    for one in (reply(heard, item, rules=rules), call(heard, item, rules=rules), reply(heard, sign=item or "G")):
        examiner.mark(one, said)
        examiner.mark(one, one.written)


def test_a_first_call_says_the_callsign_in_full():
    one = call("Eldermoor Tower, G-QTWA, request taxi", "Eldermoor Tower", "request taxi")
    assert examiner.mark(one, "Eldermoor Tower, G-QTWA, request taxi").right
    assert examiner.mark(one, "Eldermoor Tower, G-WA, request taxi").remarks[-1] == (
        "Wrong: callsign (a first call says it in full)."
    )


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("said", ["Turning {}, heading 240, G-WA", "{} heading two four zero, G-WA"])
def test_a_turn_to_a_heading_may_be_shortened(said, side):
    one = reply("G-WA, turn left heading 240", "turn left", "heading 240")
    assert examiner.mark(one, said.format(side)).right == (side == "left")


# an exchange


@pytest.mark.parametrize(
    ("one", "answer"),
    [
        (LANDING, "runway 24, cleared to land, G-WA"),
        (FULL, "runway 24, G-QTWA"),
        (RADIO_CHECK, "Eldermoor Tower, G-QTWA, radio check 118.305"),
    ],
)
def test_items_are_composed_with_the_callsign_in_its_place(one, answer):
    assert one.composed() == answer
    assert LANDING.composed(own="") == "runway 24, cleared to land"


@pytest.mark.parametrize(
    ("one", "places"),
    [
        (LANDING, {"last"}),
        (RADIO_CHECK, {"first"}),
        (call("Holding, G-WA", "holding"), {"last"}),
        (call("Mayday, G-QTWA, engine failure", "mayday", "engine failure"), {"first"}),
        (reply("N7TW, runway 33", "runway 33", rules="faa"), {"first", "last"}),
    ],
)
def test_the_callsign_is_last_in_a_reply_first_in_a_call_and_where_the_model_has_it(one, places):
    assert one.places == places


def test_who_begins_is_who_heard_nothing_and_does_not_answer():
    assert RADIO_CHECK.begins
    assert not LANDING.begins
    assert not call("Holding, G-WA", "holding").begins


def test_the_name_that_ends_an_american_call_is_said_last():
    one = call(
        "Cobbler Field traffic, N07TW, base, Cobbler Field",
        "Cobbler Field traffic",
        "base",
        "Cobbler Field",
        rules="faa",
    )
    assert right(one, "Cobbler traffic, N07TW, base, Cobbler")
    assert not right(one, "Cobbler traffic, Cobbler, N07TW, base")
    assert "Missing: Cobbler Field." in remarks(one, "Cobbler traffic, N07TW, base")


def test_a_misspelt_letter_counts_and_is_asked_about():
    assert examiner.mark(LANDING, "Runway 24, cleared to land, Gulf Wiskey Alfa") == examiner.Verdict(
        True, 1.0, ("You wrote Gulf: did you mean golf?", "You wrote Wiskey: did you mean whiskey?")
    )
