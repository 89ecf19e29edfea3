import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import figures
from stickback.trade.figures import Measured, Unread
from stickback.trade.units import UNITS

names = st.sampled_from(sorted(UNITS))
sides = st.sampled_from(["", "left", "right"])


def read(text, asked="", *, sided=False):
    """The figure; None where it is not read."""
    try:
        return figures.read(text, asked, sided=sided)
    except Unread:
        return None


@pytest.mark.parametrize(
    ("text", "measured"),
    [
        ("14", Measured(14)),
        ("14 kt", Measured(14, "kt")),
        ("14kts.", Measured(14, "kt")),
        ("14 Knots", Measured(14, "kt")),
        ("16 mph", Measured(16, "mph")),
        ("14,5 kt", Measured(14.5, "kt")),
        ("14.5 kt", Measured(14.5, "kt")),
        ("-5 °C", Measured(-5, "°C")),
        ("−5 deg C", Measured(-5, "°C")),
        ("minus 5 c", Measured(-5, "°C")),
        ("+5℃", Measured(5, "°C")),
        ("70 F", Measured(70, "°F")),
        ("240°", Measured(240, "deg")),
        ("090 degrees", Measured(90, "deg")),
        ("1013 mb", Measured(1013, "hPa")),
        ("29.92 in. Hg", Measured(29.92, "inHg")),
        ("500 fpm", Measured(500, "ft/min")),
        ("2 g", Measured(2, "g")),
        ("20 %", Measured(20, "%")),
        ("12 US gallons", Measured(12, "US gal")),
        ("79 N·m", Measured(79, "N·m")),
        ("  14\t kt ", Measured(14, "kt")),
        (".5 h", Measured(0.5, "h")),
        ("5.", Measured(5)),
    ],
)
def test_a_figure_is_read_with_its_unit_as_pilots_type_it(text, measured):
    assert read(text) == measured


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2,500", 2500),
        ("2,500.5", 2500.5),
        ("2 500", 2500),
        ("2\N{NO-BREAK SPACE}500,5", 2500.5),
        ("2’500", 2500),
        ("2.500,5", 2500.5),
        ("1,002,500", 1_002_500),
        ("1.002.500", 1_002_500),
        ("29.921", 29.921),
        ("0,125", 0.125),
        ("2,5000", 2.5),
        ("2500,125", 2500.125),
        (",5", 0.5),
    ],
)
def test_a_comma_is_a_decimal_sign_unless_three_figures_stand_behind_it(text, value):
    assert read(f"{text} ft") == Measured(value, "ft")


@pytest.mark.parametrize("figure", ["14", "14 kt"])
@pytest.mark.parametrize(
    "form", ["{} left", "{} from the left", "{}, from left", "left {}", "From the LEFT, {}", "{} on the left."]
)
def test_a_side_may_stand_before_or_behind(form, figure):
    assert read(form.format(figure)) == Measured(14, "kt" if "kt" in figure else "", "left")


def test_a_sign_and_a_side_are_both_kept():
    assert read("-8 kt from the right") == Measured(-8, "kt", "right")


@pytest.mark.parametrize("text", ["2 h 30 min", "2h30", "2:30", "2 hrs 30 m", "2 hours 30 minutes"])
def test_hours_and_minutes_come_out_in_minutes(text):
    assert read(text, "min") == Measured(150, "min")


@pytest.mark.parametrize("text", ["\u200f１４　ｋｔ\u202c", "\ufeff14\u200b kt", "\u206614 kt\u2069"])
def test_full_width_signs_and_marks_that_turn_text_change_nothing(text):
    assert read(text) == Measured(14, "kt")


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            " ",
            "kt",
            "fourteenth",
            "14 15",
            "14 kt 15 kt",
            "1,2,3",
            "12,50,000",
            "--5",
            "1e5",
            "0x10",
            "inf",
            "nan",
        ),
        *("14 furlongs", "14 gal", "4 miles", "4 quarts", "14 nmm", "left 8 right", "left", "14leftkt", "12²"),
        *("nan", "14\x00kt", "14 kt\x1b[2J", "2:75", "٣ kt"),
    ],
)
def test_what_is_not_one_figure_with_a_known_unit_is_not_read(text):
    assert read(text) is None


@pytest.mark.parametrize(
    "piece", ["1", "1,", "1 ", "1,234", "a", "from the ", "left ", " ", "\u200f", ".", "-", "1 a", "1 ,", "9:5"]
)
def test_an_answer_of_ten_thousand_characters_and_more_is_none(piece):
    assert read((piece * 10_001)[:10_000]) is None
    assert read(piece * 10_001) is None
    assert read((piece * 201)[:201]) is None


@given(st.text())
def test_any_text_is_a_finite_figure_or_none(text):
    found = read(text)
    assert found is None or (math.isfinite(found.value) and (found.unit == "" or found.unit in UNITS))


@given(st.decimals(-99_999, 99_999, places=2), names, sides, st.booleans())
def test_a_figure_as_printed_is_read_back(value, name, side, from_the):
    text = f"{value} {name} {'from the ' * bool(side and from_the)}{side}"
    assert read(text) == Measured(float(value), name, side)


@given(st.integers(0, 999_999), names)
def test_a_figure_with_thousands_is_read_back(value, name):
    assert read(f"{value:,} {name}") == Measured(value, name)
