import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import SVG, bearing, boxes, points, read
from stickback.pictures import canvas

bearings = st.integers(0, 359)


def picture(*inside, title="Title", sentence="What it shows."):
    return read(canvas.svg(90, title, sentence, *inside))


def test_a_picture_is_as_wide_as_its_page_up_to_its_own_size():
    root = picture()
    assert (root.get("viewBox"), root.get("width"), root.get("height")) == ("0 0 360 90", "360", "90")
    assert (root.get("stroke"), root.get("fill")) == ("currentColor", "none")


@given(st.text(), st.text())
def test_any_text_at_all_is_escaped_and_read_back(title, text):
    def allowed(typed):
        return re.sub("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "\ufffd", typed)

    root = picture(canvas.label((1, 2), text), title=title)
    assert (root[0].text or "") == allowed(title).replace("\r\n", "\n").replace("\r", "\n")
    (drawn,) = root.iter(f"{SVG}text")
    assert (drawn.text or "") == allowed(text).replace("\r\n", "\n").replace("\r", "\n")


def test_an_attribute_is_escaped():
    root = picture(canvas.part("\"><script>'&", canvas.circle((1, 1), 1)))
    assert root[2].get("data-part") == "\"><script>'&"


@pytest.mark.parametrize(
    ("number", "written"),
    [(2, "2"), (2.0, "2"), (2.5, "2.5"), (1 / 3, "0.33"), (-0.001, "0"), (0.0, "0"), (-12.50, "-12.5"), (100, "100")],
)
def test_numbers_are_written_short(number, written):
    assert canvas.element("g", x=number).attributes == (("x", written),)


@given(*[st.tuples(st.integers(0, 300), st.integers(0, 300))] * 2, st.booleans())
def test_an_arrow_ends_at_its_tip_and_its_head_points_along_it(start, tip, solid):
    if start == tip:
        return
    shaft, head = (points(each) for each in picture(canvas.arrow(start, tip, solid=solid)).iter() if each.get("points"))
    assert shaft[0] == start
    assert head[1] == tip
    middle = ((head[0][0] + head[2][0]) / 2, (head[0][1] + head[2][1]) / 2)
    along = (tip[0] - middle[0]) * (tip[0] - start[0]) + (tip[1] - middle[1]) * (tip[1] - start[1])
    assert along > 0


def test_a_text_is_taken_for_wider_than_most_letters_are():
    assert canvas.text_width("four", 10) == pytest.approx(24)
    assert canvas.text_width("four", 10, bold=True) > canvas.text_width("four", 10)


@pytest.mark.parametrize(("degrees", "x", "y"), [(0, 0, -1), (90, 1, 0), (180, 0, 1), (270, -1, 0)])
def test_north_is_up_and_east_is_to_the_right(degrees, x, y):
    assert canvas.toward(degrees) == pytest.approx((x, y))


@given(bearings, st.integers(1, 99))
def test_a_point_ahead_comes_to_lie_in_the_direction_that_it_is_turned_to(degrees, far):
    assert bearing((0, 0), canvas.turned((0, 0), (0, -far), degrees)) == pytest.approx(degrees, abs=1e-6)
    assert canvas.turned((0, 0), (far, 0), degrees) == pytest.approx(canvas.toward(degrees + 90, far))


@given(bearings, st.lists(st.text("m", min_size=1, max_size=20), min_size=1, max_size=3))
def test_a_text_moved_by_its_reach_leaves_the_line_behind_it(degrees, texts):
    away = canvas.toward(degrees)
    at = canvas.step((180, 180), canvas.times(away, canvas.reach(away, *texts)))
    root = read(canvas.svg(360, "", "", canvas.lines(at, *texts)))
    for box in boxes(root):
        corners = [(x - 180, y - 180) for x in (box.left, box.right) for y in (box.top, box.bottom)]
        assert min(x * away[0] + y * away[1] for x, y in corners) > -1.5
