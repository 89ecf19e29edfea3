from math import atan2, degrees, dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import SVG, arrow, bearing, centre, outline, part, parts, points, read
from stickback.pictures import aeroplane, canvas
from stickback.pictures.aeroplane import HEIGHT, STATION

bearings = st.integers(0, 359)


def drawn(*inside):
    return read(canvas.svg(360, "", "", *inside))


def off(one, other):
    """How far one direction is from another, degrees."""
    return abs((one - other + 180) % 360 - 180)


@given(bearings)
def test_an_aeroplane_flies_nose_first(heading):
    plane = part(drawn(aeroplane.above((180, 180), 50, heading)), "aeroplane")
    nose, tail = (outline(plane)[each] for each in (0, 13))
    assert off(bearing((180, 180), nose), heading) < 0.1
    assert off(bearing(tail, nose), heading) < 0.1
    blades = points(plane[1])
    middle = tuple(sum(each) / 2 for each in zip(*blades, strict=True))
    assert off(bearing((180, 180), middle), heading) < 0.1


def test_the_main_wheels_stand_ahead_of_the_weight_by_16_to_25_degrees():
    # Usual for tailwheel aeroplanes, from the ground under the wheels; from memory.
    assert 16 <= degrees(atan2(STATION["weight"], HEIGHT["weight"])) <= 25


def test_three_points_touch_together_at_an_angle_that_tailwheel_aeroplanes_have():
    # 10 to 14 degrees; from memory.
    assert 10 <= aeroplane.THREE_POINT <= 14
    root = drawn(*aeroplane.side((150, 140), 1, aeroplane.THREE_POINT))
    lowest = []
    for name in ("main-wheel", "tailwheel"):
        circle = next(part(root, name).iter(f"{SVG}circle"))
        lowest.append(float(circle.get("cy")) + float(circle.get("r")))
    assert lowest == pytest.approx([140, 140], abs=0.1)


@given(bearings)
def test_the_wheels_lie_at_one_station_from_above_and_from_the_side(heading):
    at, span = (180, 180), 60
    ahead = aeroplane.spot(at, span, heading, STATION["wheels"])
    behind = aeroplane.spot(at, span, heading, STATION["tailwheel"])
    assert off(bearing(behind, ahead), heading) < 0.1
    assert dist(ahead, behind) == pytest.approx(STATION["tailwheel"] * span / 100)


def test_the_views_from_above_and_from_the_side_are_of_one_length():
    above = outline(drawn(aeroplane.above((180, 180), 100, 0)))
    side = [x for x, _ in aeroplane.BODY]
    tall = max(y for _, y in above) - min(y for _, y in above)
    assert tall == pytest.approx(max(side) - min(side), rel=0.02)


@pytest.mark.parametrize("side", [-1, 1])
@given(st.integers(0, 12))
def test_in_a_slip_the_wing_on_the_ground_side_is_low_by_the_bank(side, bank):
    pieces, spots = aeroplane.behind((180, 200), 1, bank, side)
    run, rise = spots["high"][0] - spots["low"][0], spots["low"][1] - spots["high"][1]
    assert degrees(atan2(rise, abs(run))) == pytest.approx(bank)
    feet = [max(y for _, y in outline(each)) for each in parts(drawn(*pieces), "wheel")]
    low, high = feet if side < 0 else reversed(feet)
    assert low == pytest.approx(200, abs=0.6 + bank * 0.1)
    assert low - high == pytest.approx(0, abs=0.1) if bank == 0 else low > high


@given(bearings, st.integers(1, 3))
def test_the_wind_blows_from_where_it_comes_from(comes_from, count):
    group = part(drawn(aeroplane.wind((180, 180), comes_from, count)), "wind")
    assert len(list(group)) == count
    start, tip = arrow(group)
    assert off(bearing(tip, start), comes_from) < 0.5


def test_the_weight_is_a_ring_with_a_dot():
    ring = part(drawn(aeroplane.weight((30, 40))), "weight")
    assert centre(ring) == (30, 40)
    assert [each.get("fill-opacity") for each in ring] == ["0", "1"]
