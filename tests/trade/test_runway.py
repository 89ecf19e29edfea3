from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import runway, yaw
from stickback.trade.runway import Runway, Wind

runways = st.builds(Runway, st.integers(1, 36), st.sampled_from(["", "L", "C", "R"]))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("24", "06"),
        ("06", "24"),
        ("36", "18"),
        ("18", "36"),
        ("01", "19"),
        ("24L", "06R"),
        ("09R", "27L"),
        ("15C", "33C"),
    ],
)
def test_a_runway_has_another_number_from_its_other_end(one, other):
    assert runway.runway(one).other.name == other


@given(runways)
def test_the_other_end_of_the_other_end_is_this_one(strip):
    assert strip.other.other == strip
    assert (strip.other.direction - strip.direction) % 360 == 180
    assert runway.runway(strip.name) == strip


@pytest.mark.parametrize("text", ["", "0", "37", "24X", "x"])
def test_what_is_no_runway_is_refused(text):
    with pytest.raises(ValueError, match="no runway"):
        runway.runway(text)


@given(runways, st.integers(0, 360), st.integers(0, 99))
def test_the_parts_are_those_of_a_right_angled_triangle(strip, comes_from, knots):
    wind = Wind(strip, comes_from, knots)
    off = radians(comes_from - 10 * strip.number)
    assert (wind.along, wind.across) == pytest.approx((cos(off), sin(off)), abs=1e-9)
    assert [wind.share(name) for name in wind.names] == pytest.approx([abs(cos(off)), abs(sin(off))], abs=1e-9)
    for name in wind.names:
        assert abs(wind.part_knots(name) - wind.share(name) * knots) <= 0.5 + 1e-6


@pytest.mark.parametrize(
    ("text", "comes_from", "knots", "along", "across", "side"),
    [
        ("17", 140, 25, "headwind 22", 13, "left"),  # FAA-H-8083-25C chapter 11, Sample Problem 10
        ("24", 270, 15, "headwind 13", 8, "right"),
        ("09", 300, 10, "tailwind 9", 5, "left"),
    ],
)
def test_the_parts_of_a_wind_are_those_of_the_chart(text, comes_from, knots, along, across, side):
    wind = Wind(runway.runway(text), comes_from, knots)
    assert f"{wind.names[0]} {wind.part_knots(wind.names[0])}" == along
    assert wind.part_knots(wind.names[1]) == across
    assert wind.side == side
    assert yaw.side(wind.across) == side


@pytest.mark.parametrize(("bearing", "written"), [(0, "360"), (360, "360"), (5, "005"), (80, "080"), (270, "270")])
def test_a_direction_has_three_figures(bearing, written):
    assert runway.degrees(bearing) == written
