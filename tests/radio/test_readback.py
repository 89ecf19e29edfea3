import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import callsign, readback, tokens

FORMS = callsign.forms("G-QTWA", "uk")


def fared(said, *wanted, rules="uk"):
    """How each item fared: `right`, `missing`, or what was said of it."""
    items = [readback.item(text, rules) for text in wanted]
    heard = tokens.hear(said, FORMS, rules=rules)
    found = readback.match(heard, heard.tokens, items)
    assert [one.item for one in found] == items
    return ["right" if one.right else one.said or one.why or "missing" for one in found]


def right(said, *wanted, rules="uk"):
    return fared(said, *wanted, rules=rules) == ["right"] * len(wanted)


# an answer


def test_the_callsign_is_one_token_and_its_letters_join_nothing():
    heard = tokens.hear("G-WA, runway two golf whiskey alfa four, line up", FORMS)
    assert [heard.quoted(*span) for span in heard.callsigns] == ["G-WA", "golf whiskey alfa"]
    assert [token.text for token in heard.tokens] == ["@", "runway", "02", "@", "4", "line up"]


def test_places_of_tokens_are_those_in_the_whole_answer():
    heard = tokens.hear("G-WA, Runway 24 LEFT, QNH 1008", FORMS)
    quoted = [heard.quoted(token.at, token.after) for token in heard.tokens]
    assert quoted == ["G-WA", "Runway", "24", "LEFT", "QNH", "1008"]


# items


def test_an_item_is_read_back_missing_or_wrong():
    said = "taxi holding point A1, runway 25, G-WA"
    assert fared(said, "holding point A1", "runway 24", "QNH 1008") == ["right", "25", "missing"]


def test_what_was_said_is_quoted_as_it_was_said():
    assert fared("Runway Two Fife", "runway 24") == ["Two Fife"]
    assert fared("holding point A2", "holding point A1") == ["A2"]
    assert fared("holding point B1", "holding point A1") == ["B1"]
    assert fared("via Charlie", "via B") == ["Charlie"]
    assert fared("runway 24R", "runway 24L") == ["R"]
    assert fared("left turn", "right turn") == ["left turn"]


def test_the_order_of_items_is_free_and_that_of_their_words_is_not():
    assert right("QNH 1008, via B, runway 24", "runway 24", "via Bravo", "QNH 1008")
    assert not right("QNH hectopascals 998", "QNH 998 hectopascals")
    assert not right("24 runway", "runway 24")


def test_a_value_without_its_word_is_not_read_back_and_that_is_said():
    assert fared("wind 270", "heading 270") == ["you said 270 without the word heading"]
    assert fared("heading 240, wind 270 12", "heading 270") == ["240"]
    assert fared("1008", "QNH 1008") == ["you said 1008 without the word QNH"]


def test_runways_swapped_are_wrong():
    assert right("cross runway 15, runway 24", "runway 24", "cross runway 15")
    assert not right("cross runway 24, runway 15", "runway 24", "cross runway 15")


def test_an_item_within_another_is_wanted_besides():
    wanted = "behind the landing biplane", "behind"
    assert right("behind the landing biplane, line up behind", *wanted)
    assert fared("behind the landing biplane, line up", *wanted) == ["right", "missing"]
    assert fared("line up behind", *wanted) == ["missing", "right"]


def test_the_same_item_twice_is_wanted_twice():
    assert right("stop, stop", "stop", "stop")
    assert fared("stop", "stop", "stop") == ["right", "missing"]


def test_what_is_taken_back_is_not_read_back_unless_the_item_holds_the_word_itself():
    heard = tokens.hear("not cleared to land", FORMS)
    for wanted, right in (("cleared to land", False), ("not cleared to land", True)):
        (found,) = readback.match(heard, heard.tokens, [readback.item(wanted, "uk")], {1: {0}, 2: {0}})
        assert found.right is right


@pytest.mark.parametrize("text", ["", "to the", "...", "\u202e"])
def test_an_item_without_a_word_is_never_read_back(text):
    assert fared("", text) == fared("runway 24", text) == ["missing"]


# figures


@pytest.mark.parametrize("said", ["25", "240", "024", "42", "2", "2 4 0", "two four zero", "24.5", "24\u0665"])
def test_another_figure_is_another_runway(said):
    assert not right(f"runway {said}", "runway 24")


@pytest.mark.parametrize("said", ["24L", "24 left", "two four left", "24 L", "twenty-four left"])
def test_a_side_that_is_wanted_must_be_said(said):
    assert right(f"runway {said}", "runway 24L")
    assert not right("runway 24", "runway 24 left")
    assert not right(f"runway {said}", "runway 24 right")


@pytest.mark.parametrize("said", ["9L", "09L", "niner left", "zero niner left", "9 left"])
def test_the_nought_of_a_runway_may_be_missing(said):
    assert right(f"runway {said}", "runway 9L", rules="faa")
    assert not right(f"runway {said}", "runway 27L", rules="faa")


@pytest.mark.parametrize("said", ["118.01", "118", "1181", "118.11", "118 1", "18.1"])
def test_another_frequency_is_another(said):
    assert right("contact Tower 118.100", "118.1")
    assert not right(f"contact Tower {said}", "118.1")


def test_a_number_of_hundreds_of_figures_is_another_number():
    assert not right(f"QNH {'9' * 400}", "QNH 998")
    assert right(f"QNH {'9' * 400}", f"QNH {'9' * 400}", rules="icao")


# units


@pytest.mark.parametrize("said", ["hectopascals", "hPa", "millibars"])
def test_below_1000_the_uk_says_the_unit(said):
    assert right(f"QNH 998 {said}", "QNH 998 hectopascals")
    assert right(f"QNH 998 {said}", "QNH 998")
    assert right(f"QFE 998{said}", "QFE 998hPa")


def test_a_unit_that_must_be_said_is_missed():
    assert fared("QNH 998", "QNH 998 hectopascals") == ["below 1000 say hectopascals too"]
    assert right("QNH 998", "QNH 998 hectopascals", rules="icao")
    assert right("QNH 1008", "QNH 1008 hectopascals")


def test_a_unit_may_be_left_out_and_must_not_be_another():
    for said in ("altitude 2500 feet", "altitude 2500 ft", "altitude 2500"):
        assert right(said, "altitude 2500 feet")
    assert fared("altitude 2500 metres", "altitude 2500 feet") == ["you said metres"]
    assert not right("QNH 998 feet", "QNH 998 hectopascals")


# did you mean


def test_a_word_much_like_one_that_is_missing_is_asked_about():
    assert fared("runnway 24", "runway 24") == ["you said runnway: did you mean runway?"]


def test_a_figure_is_never_like_another():
    assert fared("1018", "QNH 1008") == ["missing"]
    assert fared("squawk4321", "4320") == ["missing"]


@given(
    st.text() | st.text(alphabet="runway 24QNH1008hPaleft,."),
    st.text() | st.sampled_from(["runway 24", "QNH 998"]),
    st.sampled_from(["icao", "uk", "faa"]),
)
def test_any_text_may_be_held_against_any_item(said, wanted, rules):
    assert len(fared(said, wanted, rules=rules)) == 1


@pytest.mark.parametrize("said", ["4320, Basic Service", "four three two zero", "squawking 4320"])
def test_a_code_needs_no_word_before_it(said):
    assert right(said, "squawk 4320")


@pytest.mark.parametrize("said", ["4321", "4320 feet", "squawk 4321"])
def test_another_figure_is_no_code(said):
    assert not right(said, "squawk 4320")


def test_a_level_may_be_climbed_to_instead_of_maintained():
    assert right("climbing to 4500", "maintain 4500", rules="faa")
    assert right("four thousand five hundred feet", "maintain 4500", rules="faa")
    assert not right("climbing to 5500", "maintain 4500", rules="faa")
