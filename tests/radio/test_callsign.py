import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import atoms, callsign

UK = callsign.forms("G-QTWA", "uk")
FAA = callsign.forms("N07TW", "faa", "Brackle")


def found(said, forms=UK):
    """The callsigns in a transmission, each in the words that were said."""
    pieces = atoms.atoms(said)
    return [said[pieces[start].start : pieces[end - 1].end] for start, end in callsign.find(pieces, forms)]


def left(said, forms):
    """What stands before the callsign, in atoms."""
    pieces = atoms.atoms(said)
    ((start, _),) = callsign.find(pieces, forms)
    return "".join(each.text for each in pieces[:start])


@pytest.mark.parametrize(
    ("sign", "rules", "short"),
    [
        ("G-QTWA", "uk", "G-WA"),
        ("G-QTWA", "icao", "G-WA"),
        ("G-QTWA", "faa", "G-TWA"),
        ("N07TW", "uk", "N7TW"),
        ("N07TW", "faa", "N7TW"),
        ("PH-QTW", "icao", "P-TW"),
        ("GQTWA", "uk", "GWA"),
        ("G-WA", "uk", "G-WA"),
        ("Cobbler 12", "uk", "Cobbler 12"),
        ("", "uk", ""),
        ("-", "uk", "-"),
    ],
)
def test_a_registration_is_shortened_to_its_beginning_and_its_end(sign, rules, short):
    assert callsign.short(sign, rules) == short


def test_short_forms_keep_two_characters_at_the_least_and_three_of_american_ones():
    assert UK == ("gqtwa", "gwa", "gtwa")
    assert callsign.forms("N31029", "uk") == ("n31029", "n029", "n1029")


def test_faa_pilots_may_say_the_type_or_nothing_in_place_of_the_n():
    assert FAA == ("n07tw", "brackle07tw", "07tw", "n7tw", "brackle7tw", "7tw")
    assert callsign.full("N07TW", "faa", "Brackle") == FAA[:3]
    assert callsign.full("N07TW", "uk", "Brackle") == ("n07tw",)


@pytest.mark.parametrize("sign", ["Cobbler 12", "A" * 5000, "A B " * 500, "", "G"])
def test_what_is_no_registration_has_one_form(sign):
    assert len(callsign.forms(sign, "faa", "Brackle")) == 1


@pytest.mark.parametrize(
    "said",
    [
        *("G-WA", "g wa", "GWA", "golf whiskey alfa", "Golf Whisky Alpha", "golf WA", "G whiskey A", "G-QTWA", "G-TWA"),
        *("golf quebec tango whiskey alfa", "golf-tango-whiskey-alpha"),
    ],
)
def test_a_callsign_is_found_written_spoken_and_partly_spoken(said):
    assert found(f"runway 24, {said}") == [said]


@pytest.mark.parametrize("said", ["GWAL", "wagwag", "big war", "WA", "golf whiskey", "G-WB", "G-AW", "alfa", ""])
def test_what_is_within_a_word_or_lacks_a_letter_is_no_callsign(said):
    assert found(f"runway 24 {said}") == []


@pytest.mark.parametrize(
    ("said", "before"),
    [
        ("squawk four three two zero november seven tango whiskey", "squawk4320"),
        ("squawk four three two zero november zero seven tango whiskey", "squawk4320"),
        ("squawk four three two zero seven tango whiskey", "squawk4320"),
        ("squawk four three two seven seven tango whiskey", "squawk4327"),
        ("squawk 4320 07TW", "squawk4320"),
        ("squawk 4320 zero seven tango whiskey", "squawk4320"),
        ("squawk four three two zero, zero seven tango whiskey", "squawk4320"),
        ("runway three three Brackle seven tango whiskey", "runway33"),
        ("runway 33, 7TW", "runway33"),
    ],
)
def test_figures_that_run_into_a_callsign_stay_with_what_stands_before(said, before):
    assert left(said, FAA) == before


def test_a_letter_that_runs_into_a_callsign_stays_with_what_stands_before():
    assert left("runway two four golf whiskey alfa", UK) == "runway24"
    assert left("via golf golf whiskey alfa", UK) == "viag"


def test_a_callsign_said_twice_is_found_twice_and_as_long_as_it_can_be():
    assert found("G-WA, runway 24, G-QTWA") == ["G-WA", "G-QTWA"]


@pytest.mark.parametrize("said", ["G-WB", "golf whiskey bravo", "G-VA", "G-QTWB", "G-QTVB"])
def test_a_character_or_two_off_is_taken_for_an_attempt(said):
    pieces = atoms.atoms(f"runway 24, {said}")
    start, end = callsign.nearest(pieces, UK)
    assert (start, end) == (2, len(pieces))


@pytest.mark.parametrize("said", ["", "runway 24", "H-WA", "G", "G-QTWAB", "november 7 tango whiskey"])
def test_what_begins_otherwise_or_is_of_another_length_is_no_attempt(said):
    assert callsign.nearest(atoms.atoms(said), UK) is None


@given(st.text() | st.text(alphabet="g wGA-7tq,"), st.text(max_size=9), st.sampled_from(["uk", "faa"]))
def test_any_text_may_be_searched_for_any_callsign(said, sign, rules):
    forms, pieces = callsign.forms(sign, rules, "Brackle"), atoms.atoms(said)
    spans = callsign.find(pieces, forms)
    assert spans == sorted(spans)
    assert all("".join(each.text for each in pieces[start:end]) in forms for start, end in spans)
    callsign.nearest(pieces, forms)


@pytest.mark.parametrize(
    ("own", "rules", "other"),
    [("G-QTWA", "uk", "G-WB"), ("N07TW", "faa", "N7TX"), ("G-QTWZ", "icao", "G-WA"), ("N0712", "faa", "N713")],
)
def test_another_aeroplane_has_a_callsign_much_like_it(own, rules, other):
    signs = callsign.signs(own, rules)
    assert signs["other_callsign_short"] == callsign.short(signs["other_callsign"], rules) == other
    assert not callsign.find(atoms.atoms(signs["other_callsign"]), callsign.forms(own, rules))


@pytest.mark.parametrize(
    ("sign", "name", "said"), [("N07TW", "Brackle", "Brackle 07TW"), ("G-QTWA", "Pendlewick", "Pendlewick G-QTWA")]
)
def test_behind_its_type_an_american_registration_has_no_n(sign, name, said):
    assert callsign.signs(sign, "faa", name)["callsign_with_type"] == said
    assert callsign.compact(said) in callsign.full(sign, "faa", name) or not sign.startswith("N")
