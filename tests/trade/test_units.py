import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import units
from stickback.trade.units import Measured

names = st.sampled_from(sorted(units.UNITS))
sides = st.sampled_from(["", "left", "right"])


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
    assert units.read(text) == measured


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
    assert units.read(f"{text} ft") == Measured(value, "ft")


@pytest.mark.parametrize("figure", ["14", "14 kt"])
@pytest.mark.parametrize(
    "form", ["{} left", "{} from the left", "{}, from left", "left {}", "From the LEFT, {}", "{} on the left."]
)
def test_a_side_may_stand_before_or_behind(form, figure):
    assert units.read(form.format(figure)) == Measured(14, "kt" if "kt" in figure else "", "left")


def test_a_sign_and_a_side_are_both_kept():
    assert units.read("-8 kt from the right") == Measured(-8, "kt", "right")


@pytest.mark.parametrize("text", ["2 h 30 min", "2h30", "2:30", "2 hrs 30 m", "2 hours 30 minutes"])
def test_hours_and_minutes_come_out_in_minutes(text):
    assert units.read(text) == Measured(150, "min")


@pytest.mark.parametrize("text", ["\u200f１４　ｋｔ\u202c", "\ufeff14\u200b kt", "\u206614 kt\u2069"])
def test_full_width_signs_and_marks_that_turn_text_change_nothing(text):
    assert units.read(text) == Measured(14, "kt")


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "kt", "fourteen", "14 15", "14 kt 15 kt", "1,2,3", "12,50,000", "--5", "1e5", "0x10", "inf", "nan"),
        *("14 furlongs", "14 gal", "4 miles", "29.92 inches", "14 nmm", "left 8 right", "left", "14leftkt", "12²"),
        *("14\x00kt", "14 kt\x1b[2J", "2:75", "٣ kt"),
    ],
)
def test_what_is_not_one_figure_with_a_known_unit_is_not_read(text):
    assert units.read(text) is None


@pytest.mark.parametrize(
    "piece", ["1", "1,", "1 ", "1,234", "a", "from the ", "left ", " ", "\u200f", ".", "-", "1 a", "1 ,", "9:5"]
)
def test_an_answer_of_ten_thousand_characters_and_more_is_none(piece):
    assert units.read((piece * 10_001)[:10_000]) is None
    assert units.read(piece * 10_001) is None
    assert units.read((piece * 201)[:201]) is None


@given(st.text())
def test_any_text_is_a_finite_figure_or_none(text):
    found = units.read(text)
    assert found is None or (math.isfinite(found.value) and (found.unit == "" or found.unit in units.UNITS))


@given(st.decimals(-99_999, 99_999, places=2), names, sides, st.booleans())
def test_a_figure_as_printed_is_read_back(value, name, side, from_the):
    text = f"{value} {name} {'from the ' * bool(side and from_the)}{side}"
    assert units.read(text) == Measured(float(value), name, side)


@given(st.integers(0, 999_999), names)
def test_a_figure_with_thousands_is_read_back(value, name):
    assert units.read(f"{value:,} {name}") == Measured(value, name)


def test_every_spelling_means_one_unit_and_is_written_in_lower_case():
    spellings = [spelling for unit in units.UNITS.values() for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))
    assert all(spelling == spelling.casefold() for spelling in spellings)


@pytest.mark.parametrize(("name", "unit"), units.UNITS.items())
def test_a_unit_is_known_by_its_name_and_all_its_spellings(name, unit):
    for spelling in (name, *unit.spellings, name.upper(), f" {name}. "):
        assert units.name(spelling) == name
        assert units.quantity(spelling) == unit.quantity


@pytest.mark.parametrize("unit", ["", "furlong", "gal", "miles", "inch", ".", "k" * 10_000])
def test_what_is_no_unit_measures_nothing_and_has_no_siblings(unit):
    assert (units.name(unit), units.quantity(unit), units.siblings(unit)) == (None, None, ())


def test_siblings_measure_the_same():
    assert units.siblings("knots") == ("m/s", "mph", "km/h", "ft/min")
    assert units.siblings("deg") == ()


@given(st.floats(-1e6, 1e6), names, st.data())
def test_there_and_back_is_the_same_value(value, name, data):
    other = data.draw(st.sampled_from([name, *units.siblings(name)]))
    assert units.convert(units.convert(value, name, other), other, name) == pytest.approx(value, rel=1e-12, abs=1e-9)


@given(st.floats(-1e6, 1e6), names)
def test_a_value_in_its_own_unit_stays_as_it_is(value, name):
    assert units.convert(value, name, name) == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize(
    ("unit", "to", "message"),
    [
        ("kt", "ft", "kt is a unit of speed, ft one of length."),
        ("furlong", "ft", "'furlong' is no unit."),
        ("ft", "furlong", "'furlong' is no unit."),
        ("", "", "'' is no unit."),
    ],
)
def test_units_of_different_things_are_not_converted(unit, to, message):
    with pytest.raises(ValueError) as caught:
        units.convert(1, unit, to)
    assert str(caught.value) == message


def test_the_freezing_and_boiling_points_are_exact():
    assert units.convert(0, "C", "F") == 32
    assert units.convert(100, "C", "F") == 212
    assert units.convert(212, "F", "C") == 100
    assert units.convert(-40, "F", "C") == -40
