import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import angle

angles = st.floats(-1e5, 1e5)
unit = st.floats(-1, 1)


@pytest.mark.parametrize(
    ("degrees", "sine"),
    [(0, 0), (30, 0.5), (90, 1), (150, 0.5), (180, 0), (210, -0.5), (270, -1), (330, -0.5), (360, 0), (-30, -0.5)],
)
def test_sine_and_cosine_are_exact_where_the_eye_expects_it(degrees, sine):
    assert angle.sin(degrees) == sine
    assert angle.cos(degrees - 90) == sine
    assert math.copysign(1, angle.sin(degrees)) == (1 if sine >= 0 else -1), "no minus nought"


@given(angles)
def test_sine_cosine_and_tangent_are_those_of_the_library(degrees):
    assert angle.sin(degrees) == pytest.approx(math.sin(math.radians(degrees)), abs=1e-10)
    assert angle.cos(degrees) == pytest.approx(math.cos(math.radians(degrees)), abs=1e-10)
    if abs(angle.cos(degrees)) > 1e-3:
        assert angle.tan(degrees) == pytest.approx(math.tan(math.radians(degrees)), rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(("degrees", "tangent"), [(0, 0), (45, 1), (135, -1), (225, 1), (-45, -1)])
def test_a_tangent_is_exact_on_the_diagonals(degrees, tangent):
    assert angle.tan(degrees) == tangent


@pytest.mark.parametrize("degrees", [90, 270, -90, 450])
def test_the_tangent_of_a_right_angle_has_no_value(degrees):
    with pytest.raises(ValueError, match="right angle"):
        angle.tan(degrees)


@given(unit)
def test_the_angle_of_a_sine_or_cosine_has_that_sine_or_cosine(value):
    assert angle.sin(angle.asin(value)) == pytest.approx(value, abs=1e-9)
    assert angle.cos(angle.acos(value)) == pytest.approx(value, abs=1e-9)


def test_whole_angles_come_back_whole():
    assert (angle.asin(0.5), angle.asin(-0.5), angle.acos(0.5), angle.acos(-1)) == (30, -30, 60, 180)
    assert (angle.atan(1), angle.atan(-1), angle.atan(0)) == (45, -45, 0)


@pytest.mark.parametrize("value", [1.001, -2, 1e300])
@pytest.mark.parametrize("function", [angle.asin, angle.acos])
def test_no_angle_has_a_sine_or_cosine_beyond_one(function, value):
    with pytest.raises(ValueError, match="from -1 to 1"):
        function(value)


@pytest.mark.parametrize(
    ("start", "end", "turn"),
    [(350, 10, 20), (10, 350, -20), (0, 180, 180), (180, 0, -180), (360, 0, 0), (90, 90, 0), (0, 270, -90)],
)
def test_a_turn_takes_the_short_way(start, end, turn):
    assert angle.turn(start, end) == turn


@given(st.integers(0, 360), st.integers(0, 360))
def test_a_turn_leads_to_where_it_is_to_end(start, end):
    assert -180 <= angle.turn(start, end) <= 180
    assert (start + angle.turn(start, end) - end) % 360 == 0
