import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import things, tokens

words = st.sampled_from(["correction", "runway", "24", "i", "say again", "two", "qnh", "left", "right", ","])


def rest(said):
    """What is left of it."""
    return " ".join(token.text for token in things.corrected(tokens.tokens(said), frozenset()))


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("runway two five correction runway two four", "runway 24"),
        ("runway 25, correction, runway 24, cleared to land", "runway 24 cleared land"),
        ("runway 25 cleared to land, correction, runway 24", "cleared land runway 24"),
        ("runway two five, correction, two four, cleared to land", "runway 24 cleared land"),
        ("QNH 1008, runway 25, correction, 24", "qnh 1008 runway 24"),
        ("runway 25 correction runway 26 correction runway 24", "runway 24"),
        ("runway 24 right correction left", "runway 24 left"),
        ("taxi A, correction, I say again, hold short", "hold short"),
        ("taxi A, correction, say again, hold short", "hold short"),
        ("hold short, correction", "hold short"),
        ("correction", ""),
        ("correction correction runway 24", "runway 24"),
        ("correction runway 24", "runway 24"),
        ("QNH 1008, correction, squawk 7000", "qnh 1008 squawk 7000"),
    ],
)
def test_what_is_taken_back_is_not_heard(said, meant):
    assert rest(said) == meant


# things


def kinds(said, places=frozenset()):
    return [
        f"{each.kind} {each.role} {each.value} {each.unit}".split()
        for each in things.things(tokens.tokens(said), places)
    ]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("cleared to land runway 24 left", [["clearance", "land"], ["runway", "24", "left"]]),
        ("runway 24, left base", [["runway", "24"], ["side", "left"], ["position", "base"]]),
        ("landing clearance copied", [["clearance", "land"]]),
        ("hold short of runway 15", [["runway", "hold", "short", "15"]]),
        (
            "leaving 2000 feet, climb altitude 3000 feet",
            [["left"], ["vertical", "climb"], ["level", "altitude", "3000", "feet"]],
        ),
        ("wind 270 degrees 12 knots gusting 20, heading 270", [["wind"], ["heading", "270"]]),
        ("QNH 998 hPa", [["qnh", "998", "hectopascals"]]),
        ("contact tower 118.1", [["act", "contact"], ["station", "tower"], ["frequency", "118.1"]]),
        ("via Bravo and Charlie", [["route", "b"], ["spelt", "c"]]),
        ("number 2 behind the tug", [["sequence", "2"]]),
        ("behind the landing biplane", [["condition", "biplane"]]),
        ("landing biplane in sight", [["traffic"]]),
        ("with information Kilo", [["letter", "k"]]),
        ("tug in the circuit, very nice", []),
    ],
)
def test_a_transmission_is_taken_thing_by_thing(said, found):
    assert kinds(said) == found


def test_a_station_is_a_name_before_its_service():
    assert kinds("Eldermoor Tower") == [["station", "eldermoor", "tower"]]
    assert kinds("roger, eldermoor radio", frozenset({"eldermoor"})) == [["station", "eldermoor", "radio"]]
    assert kinds("glider traffic in sight") == kinds("airfield information") == []


@pytest.mark.parametrize(
    ("said", "governed"),
    [
        ("negative runway 24, cleared to land", ["runway"]),
        ("negative, runway 24, cleared to land", ["runway"]),
        ("runway 24, cleared to land, negative", ["clearance"]),
        ("runway 24 cleared to land?", ["clearance"]),
        ("Basic Service not required", ["service"]),
        ("unable, runway 24", []),
        ("unable runway 15 due wind, request runway 24", ["runway", "runway"]),
        ("squawk standby", []),
    ],
)
def test_some_words_take_back_what_they_govern(said, governed):
    found = things.said(tokens.tokens(said))
    assert [each.kind for back in found.taken_back for each in back.of(found.things)] == governed


@given(st.text() | st.lists(words, max_size=30).map(" ".join))
def test_of_any_text_something_is_left_unless_it_ends_in_a_correction(said):
    left = things.corrected(tokens.tokens(said), frozenset())
    assert "correction" not in {token.text for token in left}
    assert set(left) <= set(tokens.tokens(said))
