import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import bearing, boxes, outline, parts, points, read
from stickback.pictures import canvas, shapes

bearings = st.integers(0, 359)


@pytest.mark.parametrize(("degrees", "x", "y"), [(0, 0, -1), (90, 1, 0), (180, 0, 1), (270, -1, 0)])
def test_north_is_up_and_east_is_to_the_right(degrees, x, y):
    assert shapes.toward(degrees) == pytest.approx((x, y))


@given(bearings, st.integers(1, 99))
def test_a_point_ahead_comes_to_lie_in_the_direction_that_it_is_turned_to(degrees, far):
    assert bearing((0, 0), shapes.turned((0, 0), (0, -far), degrees)) == pytest.approx(degrees, abs=1e-6)
    assert shapes.turned((0, 0), (far, 0), degrees) == pytest.approx(shapes.toward(degrees + 90, far))


@given(bearings)
def test_an_aeroplane_flies_nose_first(heading):
    root = read(canvas.svg(360, "", "", shapes.aeroplane((180, 180), 50, heading)))
    around = outline(parts(root, "aeroplane")[0])
    nose, tail = around[0], around[13]
    assert abs((bearing((180, 180), nose) - heading + 180) % 360 - 180) < 0.1
    assert abs((bearing(tail, nose) - heading + 180) % 360 - 180) < 0.1
    blades = points(parts(root, "aeroplane")[0][1])
    middle = tuple(sum(each) / 2 for each in zip(*blades, strict=True))
    assert abs((bearing((180, 180), middle) - heading + 180) % 360 - 180) < 0.1


@given(bearings, st.lists(st.text("m", min_size=1, max_size=20), min_size=1, max_size=3))
def test_a_text_moved_by_its_reach_leaves_the_line_behind_it(degrees, texts):
    away = shapes.toward(degrees)
    at = shapes.step((180, 180), shapes.times(away, shapes.reach(away, *texts)))
    root = read(canvas.svg(360, "", "", shapes.lines(at, *texts)))
    for box in boxes(root):
        corners = [(x - 180, y - 180) for x in (box.left, box.right) for y in (box.top, box.bottom)]
        assert min(x * away[0] + y * away[1] for x, y in corners) > -1.5
