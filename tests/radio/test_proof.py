import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import proof
from stickback.radio.exchange import Exchange


def found(heard="", *wanted, model="", rules="uk", station="tower", unable=False):
    """The codes and messages of one exchange."""
    one = Exchange(
        wanted=wanted,
        callsign="G-QTWA",
        phraseology=rules,
        station=station,
        heard=heard,
        model=model,
        unable=unable,
        name="Brackle",
    )
    return [(code, message) for code, message, _ in proof.problems(one, marked=bool(heard))]


def codes(*args, **more):
    return [code for code, _ in found(*args, **more)]


def test_a_letter_in_bold_without_its_word_is_told_as_such():
    told = found("", "Eldermoor Ground", "A", model="Eldermoor Ground, G-QTWA, information A")
    assert told == [("radio-fails", "'A' by itself is heard as nothing.")]
    assert not found("", "Eldermoor Ground", "information A", model="Eldermoor Ground, G-QTWA, information A")


# none


@pytest.mark.parametrize(
    ("heard", "wanted"),
    [
        ("G-WA, runway 24, cleared to land, wind 230 8", ("runway 24", "cleared to land")),
        ("G-WA, taxi holding point A1 via taxiway B, QNH 998hPa", ("holding point A1", "via taxiway B", "QNH 998hPa")),
        ("G-WA, climb altitude 2500ft, squawk 7000", ("altitude 2500ft", "squawk 7000")),
        ("G-WA, behind the landing biplane, line up behind", ("behind the landing biplane", "line up", "behind")),
        ("G-WA, runway 24L, line up and wait", ("runway 24L", "line up and wait")),
        ("G-WA, contact Eldermoor Ground 121.800", ("121.800",)),
    ],
)
def test_a_question_that_marks_as_it_should_has_no_problem(heard, wanted):
    assert found(heard, *wanted) == []


def test_a_call_that_marks_as_it_should_has_no_problem():
    model = "Eldermoor Tower, G-QTWA, radio check 118.305"
    assert found("", "Eldermoor Tower", "radio check 118.305", model=model) == []


# fails


def test_a_model_answer_that_lacks_an_item_is_told_with_what_it_lacks():
    ((code, message),) = found("", "final", "runway 24", model="G-WA, final")
    assert code == "radio-fails"
    assert message == "The right answer 'G-WA, final' is not marked right: Said: final. Missing: runway 24."


def test_a_model_answer_without_the_callsign_is_told():
    assert codes("", "final", model="final") == ["radio-fails"]


def test_an_item_that_may_be_left_out_and_the_answer_still_be_right_is_told():
    ((code, message),) = found("G-WA, unable runway 15", "unable", "runway 15", unable=True)[:1]
    assert code == "radio-fails"
    assert message == "'unable, G-WA' is marked right though 'runway 15' is missing or wrong in it."


def test_the_same_item_twice_is_wanted_twice():
    assert codes("", "stop", "stop", model="G-WA, stop, stop") == []
    assert codes("", "stop", "stop", model="G-WA, stop") == ["radio-fails"]


def test_an_item_without_a_word_is_told():
    assert codes("G-WA, runway 24 and", "runway 24", "and")[0] == "radio-fails"


def test_digits_that_are_no_decimals_stop_nothing():
    assert "radio-fails" not in codes("G-WA, runway 24, holding point A²", "runway 24", "holding point A²")
    assert isinstance(codes("G-WA, QNH \u1371", "QNH \u1371"), list)


@pytest.mark.parametrize(
    ("text", "other"),
    [("runway 24", "runway 25"), ("QNH 1009 hPa", "QNH 1000 hPa"), ("runway 24L", "runway 25L"), ("hold", "hold")],
)
def test_the_last_figure_is_changed_to_another(text, other):
    assert proof.changed(text) == other


# the author's judgement


def test_what_must_be_read_back_and_is_not_in_bold_is_told_with_its_source():
    ((code, message),) = found("G-WA, runway 24, cleared to land", "cleared to land")
    assert code == "radio-unmarked"
    assert message == "'runway 24' must be read back (the runway: CAP 413 edition 22, 2.69) and is not in bold."


def test_what_nothing_asks_for_is_told():
    ((code, message),) = found("G-WA, runway 24, report final", "runway 24", "report final")
    assert (code, message) == (
        "radio-unasked",
        "Nothing in the phraseology (uk) asks for 'report final' to be read back.",
    )


def test_where_a_refusal_is_right_too_not_everything_must_be_marked():
    assert codes("G-WA, line up and wait runway 15", "line up and wait", unable=True) == []


@pytest.mark.parametrize(
    ("station", "heard", "told"),
    [
        ("information", "G-QTWA, cleared to land", ["radio-station"]),
        ("information", "G-QTWA, report final", []),
        ("radio", "G-QTWA, report final", ["radio-station"]),
        ("unattended", "G-QTWA, cleared to land", ["radio-station"]),
        ("tower", "G-QTWA, cleared to land", []),
    ],
)
def test_a_word_that_a_station_does_not_say_is_told(station, heard, told):
    wanted = ("cleared to land",) if "cleared" in heard else ()
    model = "" if wanted else "Wilco, G-QTWA"
    body = found(heard, *wanted, model=model, station=station)
    assert [code for code, _ in body if code == "radio-station"] == told


def test_a_station_of_the_faa_may_say_report():
    heard = "G-QTWA, report final"
    assert codes(heard, model="Wilco, G-QTWA", rules="faa", station="radio") == []


@given(st.text(), st.text(), st.text(), st.sampled_from(["icao", "uk", "faa"]))
def test_any_text_may_be_proven(heard, item, model, rules):
    for one in (found(heard, item, rules=rules), found("", item, model=model, rules=rules)):
        assert {code for code, _ in one} <= {"radio-fails", *proof.JUDGEMENT}
