from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import aloud, callsign, tokens

RULES = ("icao", "uk", "faa")
numbers = st.integers(0, 99_999).map(str)


@pytest.mark.parametrize(
    ("rules", "item", "value", "said"),
    [
        ("faa", "runway", "9L", "runway niner left"),
        ("icao", "runway", "09L", "runway zero niner left"),
        ("uk", "altitude", "2,500 feet", "two thousand five hundred feet"),
        ("uk", "heading", "155", "one five five"),
        ("faa", "wind", "220 10", "wind two two zero at one zero"),
        ("uk", "callsign", "G-WA", "golf whiskey alfa"),
        ("icao", "QNH", "998 hectopascals", "QNH niner niner eight hectopascals"),
    ],
)
def test_a_value_is_said_as_the_phraseology_has_it(rules, item, value, said):
    assert aloud.say(item, value, rules) == said


def test_an_item_that_is_not_on_the_list_is_refused():
    with pytest.raises(KeyError):
        aloud.say("mood", "5", "uk")


def test_a_transmission_is_spoken_whole():
    text = "G-QTWA, taxi holding point A1, runway 24L via taxiway B, surface wind 270 12, QNH 998hPa, 118.305"
    assert aloud.aloud(text, "uk") == (
        "golf quebec tango whiskey alfa, taxi holding point alfa one, runway two four left via taxiway bravo, "
        "surface wind two seven zero degrees one two knots, QNH niner niner eight hPa, "
        "one one eight decimal three zero five"
    )


def test_what_is_written_without_a_space_is_spoken_apart():
    assert aloud.aloud("climb 2500ft", "uk") == "climb two thousand five hundred ft"
    assert aloud.aloud("Stand7b", "uk") == "Stand seven b"


SAMPLES = (
    *("runway 24L, cleared to land", "runway 09", "QNH 998 hectopascals", "QNH 1000", "squawk 7000", "squawk 4320"),
    *("altitude 2500 feet", "climb altitude 12000 feet", "flight level 100", "FL75", "heading 080", "118.000"),
    *("118.305", "121.5", "holding point A1", "via B", "wind 230 degrees 12 knots"),
    *("height 800 feet", "altimeter 30.10", "2500ft", "998hPa", "number 2", "maintain 3,000", "land 24L"),
)


def heard(text):
    """What is heard of it, without the words that the FAA leaves out of a wind."""
    return [each.text for each in tokens.tokens(text) if each.text not in {"degrees", "knots"}]


@pytest.mark.parametrize(("text", "rules"), [*product(SAMPLES, RULES)])
def test_what_is_spoken_is_heard_as_it_was_written(text, rules):
    assert heard(aloud.aloud(text, rules)) == heard(text)


@pytest.mark.parametrize("sign", ["G-QTWA", "G-WA", "N07TW", "N7TW"])
def test_a_callsign_spoken_is_the_callsign(sign):
    assert callsign.compact(aloud.aloud(sign, "uk")) == callsign.compact(sign)


@given(numbers, st.sampled_from(["runway", "QNH", "squawk", "altitude", "heading", "flight level", "point A"]))
def test_any_number_is_heard_as_it_was_written(number, word):
    text = f"{word} {number}"
    assert heard(aloud.aloud(text, "icao")) == heard(text)


@given(st.text(), st.sampled_from(RULES))
def test_any_text_can_be_spoken_and_takes_its_time(text, rules):
    assert aloud.seconds(text, rules) == pytest.approx(len(aloud.aloud(text, rules).split()) * 0.6)


def test_hundred_words_take_a_minute():
    assert aloud.seconds("holding " * 100, "uk") == 60
    assert aloud.seconds("runway 24", "uk") == pytest.approx(3 * 0.6)
    assert aloud.seconds("", "uk") == 0
