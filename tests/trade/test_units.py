import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import units

names = st.sampled_from(sorted(units.UNITS))


def test_every_spelling_means_one_unit_and_is_written_in_lower_case():
    spellings = [spelling for unit in units.UNITS.values() for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))
    assert all(spelling == spelling.casefold() for spelling in spellings)


@pytest.mark.parametrize(("name", "unit"), units.UNITS.items())
def test_a_unit_is_known_by_its_name_and_all_its_spellings(name, unit):
    for spelling in (name, *unit.spellings, name.upper(), f" {name}. "):
        assert units.name(spelling) == name
        assert units.quantity(spelling) == unit.quantity


@pytest.mark.parametrize("unit", ["", "furlong", "gal", "miles", "quart", ".", "k" * 10_000])
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


@pytest.mark.parametrize(
    ("unit", "offered"),
    [
        ("kt", ("kt", "mph")),
        ("knots", ("kt", "mph")),
        ("°F", ("°C", "°F")),
        ("nm", ("nm", "sm", "km")),
        ("deg", ("deg",)),
    ],
)
def test_a_unit_is_offered_beside_what_it_is_mixed_up_with(unit, offered):
    assert units.offered(unit) == offered


def test_where_no_unit_is_asked_for_none_is_offered():
    assert units.offered("") == ()


@pytest.mark.parametrize("unit", units.UNITS)
def test_what_is_offered_holds_the_unit_and_nothing_of_another_quantity(unit):
    assert unit in units.offered(unit)
    assert {units.quantity(each) for each in units.offered(unit)} == {units.quantity(unit)}
