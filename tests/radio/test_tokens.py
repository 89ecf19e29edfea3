import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import alphabet, tokens

words = st.sampled_from(
    [
        *("runway", "altimeter", "decimal", "point", "thousand", "hundred", "left", "right", "L", "to", "touch", "and"),
        *("24", "9", "1,000", "118.3", ",", "-", "A1", "go", "take", "off", "feet", "QNH", "\u0664", "\u202e"),
        *alphabet.FIGURES,
        *alphabet.TEENS,
        *alphabet.TENS,
    ]
)


def plain(said):
    return " ".join(token.text for token in tokens.tokens(said))


def with_words(said):
    return tuple(tokens.with_words(said))


def same(*said):
    assert {plain(one) for one in said} == {plain(said[0])} != {""}


# numbers


def test_figures_said_one_by_one_are_one_number():
    same("QNH 1013", "QNH one zero one three", "qnh wun zero wun tree", "QNH 1 0 1 3", "QNH 1-0-1-3")


def test_numbers_apart_are_not_joined():
    assert plain("runway two four, two seven zero degrees") == "runway 24 270 degrees"
    assert plain("runway 24 270 degrees") == "runway 24 270 degrees"
    assert plain("two four/three") == "24 3"


def test_tens_take_the_figure_behind_them():
    same("runway 24", "runway twenty-four", "runway twenty four", "runway two four", "rwy24")
    assert plain("twenty twelve") == "2012"
    assert plain("twenty zero") == "20"


def test_thousands_and_hundreds_are_reckoned():
    same("2500 feet", "two thousand five hundred feet", "2,500 ft", "2 thousand 500 feet", "2 thousand 5 hundred feet")
    same("12000", "one two thousand", "twelve thousand", "12 thousand", "12,000")
    same("12500", "one two thousand five hundred")
    same("1000", "one thousand", "one tousand")
    same("flight level 100", "FL100", "flight level one hundred", "fl 100")


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("one thousand thousand thousand", "1000 thousand thousand"),
        ("thousand five", "thousand 5"),
        ("one thousand, five hundred", "1000 500"),
        ("one thousand five", "1000 5"),
        ("two thousand 24", "2000 24"),
        ("1.5 thousand", "1.5 thousand"),
        ("hundred hundred", "hundred hundred"),
    ],
)
def test_other_thousands_are_left_as_they_were_said(said, read):
    assert plain(said) == read


def test_a_number_of_hundreds_of_figures_is_only_a_long_number():
    assert plain(f"squawk {'7' * 400}") == f"squawk {'7' * 400}"
    assert plain(f"{'seven ' * 300}thousand") == f"{'7' * 300} thousand"


def test_decimals_are_the_same_in_all_their_forms():
    same("118.3", "118.300", "118,3", "118,300", "one one eight decimal three", "118 decimal 3", "118 point 300")
    same("118.3", "one one eight dayseemal tree zero zero", "one eighteen decimal three")
    same("118.005", "118,005", "one one eight decimal zero zero five")
    same("118.0", "118.000", "one one eight decimal zero")


@pytest.mark.parametrize("said", ["decimal", "decimal five", "five decimal", "118.1 decimal 5", "1 decimal 2 decimal"])
def test_a_decimal_without_its_figures_is_a_word(said):
    assert "decimal" in plain(said).split()


def test_an_altimeter_setting_has_no_point():
    same(
        "altimeter 2992",
        "altimeter 29.92",
        "altimeter two niner niner two",
        "altimeter setting 29 point 92",
    )
    same("altimeter 3010", "altimeter 30.1", "altimeter 30.10")


def test_the_nought_of_a_runway_may_be_left_out_and_no_other():
    same("runway 09L", "runway 9L", "runway niner left", "runway zero niner left", "runway 9 left")
    assert plain("heading 80") != plain("heading 080")
    assert plain("runway 024") != plain("runway 24")


# words


def test_the_side_of_a_runway_is_said_or_written():
    same("runway 24 left", "runway 24L", "runway 24 L", "runway two four left", "RWY 24l")
    same("runway 24 centre", "runway 24C", "runway 24 center")
    assert plain("point 24 L") == "point 24 l"
    assert plain("holding point C2") == "holding point c 2"


def test_the_forms_of_a_word_are_one_word():
    same("taxi via taxiway Bravo", "taxiing via B", "taxying taxiway bravo")
    same("line up and wait", "lining up and waiting", "lineup and wait", "line-up and wait")
    same("hold position", "holding", "holding position")
    same("cleared for take-off", "cleared takeoff", "cleared for take off", "clear for takeoff")
    same("cleared touch and go", "cleared touch-and-go", "cleared for a touch and go")
    same("turn left", "left turn", "turning left", "left hand turn")
    same("998 hPa", "998hPa", "998 hectopascals", "998 millibars")
    same("via X", "via x-ray", "via xray", "via X ray")


def test_what_differs_in_meaning_stays_apart():
    for one, other in [
        ("hold position", "holding point"),
        ("hold short", "hold position"),
        ("taking off", "take-off"),
        ("left turn", "right turn"),
        ("QNH 1008", "QFE 1008"),
    ]:
        assert plain(one) != plain(other)


def test_small_words_and_courtesies_do_not_count():
    same("hold short runway 15", "hold short of the runway 15, please, sir", "Good morning, hold short of runway 15")
    assert plain("to the and, please") == ""


def test_a_token_knows_the_atoms_it_was_made_of():
    assert [(token.at, token.after) for token in tokens.tokens("line up the runway two four")] == [
        (0, 2),
        (3, 4),
        (4, 6),
    ]


@given(st.text() | st.lists(words, max_size=40).map(" ".join) | st.lists(words, max_size=40).map("".join))
def test_any_text_has_tokens_and_reading_them_again_changes_no_number(said):
    numbers = [token.text for token in tokens.tokens(said) if token.number]
    assert all(token.text for token in tokens.tokens(said))
    assert [token.text for number in numbers for token in tokens.tokens(number)] == [_shorter(n) for n in numbers]


def _shorter(number):
    """A number as read when it stands alone."""
    whole, _, rest = number.partition(".")
    return f"{whole}.{rest.rstrip('0') or '0'}" if rest else whole


@pytest.mark.parametrize(
    "said", ["cleared to land {}", "hold short of {}", "taxi to {} via Alfa", "clear of {}", "left base {}"]
)
def test_a_figure_that_can_only_be_a_runways_is_one(said):
    for figure, runway in (("33", "33"), ("niner", "09"), ("three three left", "33 left")):
        brief = with_words(tokens.tokens(said.format(figure)))
        full = tokens.tokens(said.format(f"runway {runway}"))
        assert [token.text for token in brief] == [token.text for token in full]


@pytest.mark.parametrize("said", ["final 4 miles", "wind 330 12", "runway 33, number 2", "taxi 4320", "landing"])
def test_another_figure_is_no_runway(said):
    assert with_words(tokens.tokens(said)) == tokens.tokens(said)


@given(st.lists(words).map(" ".join))
def test_no_token_is_lost_where_words_are_put_in(said):
    heard = tokens.tokens(said)
    assert bare(with_words(heard)) == bare(heard)


def bare(said):
    """The tokens without the words that may be put in."""
    plain = (token.text.replace(".", "").strip("0").removesuffix(" turn") for token in said)
    return [text for text in plain if text not in {"runway", "heading", "altimeter"}]
