import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import wind

runways = st.integers(1, 36)
directions = st.integers(0, 360)


def test_a_crosswind_from_the_right_is_positive_and_from_the_left_negative():
    assert wind.crosswind(24, 270, 12) > 0
    assert wind.crosswind(24, 210, 12) < 0


def test_a_wind_across_or_along_has_nothing_of_the_other():
    assert (wind.headwind(18, 270, 10), wind.crosswind(18, 270, 10)) == (0, 10)
    assert (wind.headwind(24, 60, 8), wind.crosswind(24, 60, 8)) == (-8, 0)


@given(runways, directions)
def test_the_angle_off_the_runway_is_the_same_from_either_side(runway, wind_from):
    off = wind.off_runway(runway, wind_from)
    assert 0 <= off <= 180
    assert off == wind.off_runway(runway, 20 * runway - wind_from)


@pytest.mark.parametrize(("runway", "wind_from", "off"), [(36, 10, 10), (1, 350, 20), (6, 240, 180), (33, 15, 45)])
def test_the_angle_off_the_runway_is_counted_through_north(runway, wind_from, off):
    assert wind.off_runway(runway, wind_from) == off


@pytest.mark.parametrize("runway", [0, 37, 240, -6, 6.5])
@pytest.mark.parametrize("function", [wind.headwind, wind.crosswind, lambda *given: wind.off_runway(*given[:2])])
def test_only_a_designator_is_a_runway(function, runway):
    with pytest.raises(ValueError, match="from 1 to 36"):
        function(runway, 240, 10)


@pytest.mark.parametrize(
    ("angle", "share"), [(0, 0), (15, 0.25), (20, 1 / 3), (30, 0.5), (45, 0.75), (60, 1), (90, 1), (150, 0.5), (180, 0)]
)
def test_the_clock_code_reads_an_angle_as_minutes_of_an_hour(angle, share):
    assert wind.clock_code(angle) == share


@pytest.mark.parametrize("angle", [-1, 181])
def test_the_clock_code_knows_no_other_angles(angle):
    with pytest.raises(ValueError, match="from 0 to 180"):
        wind.clock_code(angle)


@given(runways, directions)
def test_the_clock_code_is_never_far_from_the_crosswind(runway, wind_from):
    exact = abs(wind.crosswind(runway, wind_from, 1))
    assert exact - 0.01 <= wind.clock_code(wind.off_runway(runway, wind_from)) <= exact + 0.135


def test_one_steers_into_the_wind():
    assert wind.wind_correction(90, 0, 90, 20) > 0
    assert wind.wind_correction(90, 0, 270, 20) < 0
    assert wind.wind_correction(90, 0, 0, 20) == wind.wind_correction(90, 0, 180, 20) == 0


def test_a_wind_along_the_track_changes_the_speed_by_all_of_itself():
    assert wind.groundspeed(90, 60, 60, 20) == 70
    assert wind.groundspeed(90, 60, 240, 20) == 110


@pytest.mark.parametrize("function", [wind.wind_correction, wind.groundspeed])
@pytest.mark.parametrize(("tas", "speed", "message"), [(0, 5, "above 0"), (-9, 5, "above 0"), (40, 41, "stronger")])
def test_a_wind_that_cannot_be_held_has_no_correction(function, tas, speed, message):
    with pytest.raises(ValueError, match=message):
        function(tas, 0, 90, speed)


def test_a_headwind_stronger_than_the_airspeed_carries_backwards():
    assert wind.groundspeed(40, 0, 0, 40) == 0
    with pytest.raises(ValueError, match="backwards"):
        wind.groundspeed(40, 0, 0, 41)
