import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import arrow, bearing, boxes, centre, crosses, outline, part, parts, points, read, said, segments
from stickback.pictures import figure, ground
from stickback.trade import yaw

sides = pytest.mark.parametrize("side", ["left", "right"])


def drawn(scene, **words):
    return read(figure.draw({"scene": scene, **words}))


def sentence(scene, **words):
    return figure.sentence({"scene": scene, **words})


def size(around):
    """The area of an outline."""
    pairs = zip(around, [*around[1:], around[0]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def heading(plane):
    """Where an aeroplane points, -180 to 180."""
    nose, tail = (outline(plane)[each] for each in (0, 13))
    return (bearing(tail, nose) + 180) % 360 - 180


def moment(root, name):
    """How the push on the tyres turns an aeroplane about its weight; positive to the right."""
    panel = part(root, name)
    start, tip = arrow(part(panel, "tyres"))
    x, y = centre(part(panel, "weight"))
    return (start[0] - x) * (tip[1] - start[1]) - (start[1] - y) * (tip[0] - start[0])


def turning(root, name):
    shaft, head = (points(each) for each in part(part(root, name), "turn"))
    return head[1][0] - shaft[0][0]


# swerve


@sides
def test_the_push_on_the_tyres_turns_the_nose_further_only_with_the_weight_behind_the_wheels(side):
    root, way = drawn("swerve", nose=side), ground.sign(side)
    assert moment(root, "tailwheel") * way > 0
    assert moment(root, "nosewheel") * way < 0
    assert turning(root, "tailwheel") * way > 0
    assert turning(root, "nosewheel") * way < 0


@sides
def test_the_momentum_goes_straight_on_from_the_weight_while_the_nose_points_aside(side):
    root = drawn("swerve", nose=side)
    for name in ("nosewheel", "tailwheel"):
        panel = part(root, name)
        start, tip = arrow(part(panel, "momentum"))
        assert start == centre(part(panel, "weight"))
        assert (tip[0], tip[1] < start[1]) == (start[0], True)
        assert heading(part(panel, "aeroplane")) * ground.sign(side) > 10


@sides
def test_the_tyres_are_pushed_square_to_the_way_they_point_against_their_slide(side):
    root = drawn("swerve", nose=side)
    for name in ("nosewheel", "tailwheel"):
        start, tip = arrow(part(part(root, name), "tyres"))
        nose = heading(part(part(root, name), "aeroplane"))
        assert bearing(start, tip) == pytest.approx((nose + 90 * ground.sign(side)) % 360, abs=0.5)


@sides
def test_the_foot_is_pressed_once_against_the_swing_and_comes_off_as_the_nose_answers(side):
    root = drawn("swerve", show="stopped", nose=side)
    pressed = []
    for pair in parts(root, "pedals"):
        bars = parts(pair, "pedal")
        pressed.append([bar[0].get("fill-opacity") == "1" for bar in bars])
        left, right = (min(y for _, y in outline(bar)) for bar in bars)
        assert (left < right, right < left) == tuple(pressed[-1])
    foot = [yaw.opposite(side) == each for each in ("left", "right")]
    assert pressed == [[False, False], foot, [False, False], [False, False]]
    headings = [heading(each) * ground.sign(side) for each in parts(root, "aeroplane")]
    assert headings[0] == headings[3] == 0
    assert headings[1] > headings[2] > 0
    assert f"firm {yaw.opposite(side)} rudder at once" in sentence("swerve", show="stopped", nose=side)


@sides
def test_a_swerve_takes_the_aeroplane_to_the_side_of_its_nose(side):
    root = drawn("swerve", show="stopped", nose=side)
    xs = [(outline(each)[0][0] + outline(each)[13][0]) / 2 * ground.sign(side) for each in parts(root, "aeroplane")]
    assert xs == sorted(xs)


# weathercock


@sides
def test_more_of_the_side_lies_behind_the_main_wheels_than_ahead_of_them(side):
    root = drawn("weathercock", wind_from=side)
    ahead, behind = (outline(part(root, name)) for name in ("ahead", "behind"))
    assert size(behind) > 2 * size(ahead)
    assert max(x for x, _ in ahead) == min(x for x, _ in behind)


@sides
def test_the_wind_pushes_the_tail_away_and_the_nose_turns_into_it(side):
    root, way = drawn("weathercock", wind_from=side), ground.sign(side)
    start, tip = arrow(part(root, "wind"))
    assert (start[0] - tip[0]) * way > 0
    start, tip = arrow(part(root, "push"))
    assert (tip[0] - start[0]) * way < 0
    assert start[1] > centre(part(root, "pivot"))[1]
    shaft, head = (points(each) for each in part(root, "turn"))
    assert (head[1][0] - shaft[0][0]) * way > 0
    assert said(root)[-2:] == [f"the nose turns {side}, into the wind;", f"{yaw.opposite(side)} rudder holds it"]


@given(st.integers(1, 9))
def test_an_outline_is_cut_into_two_that_share_it(x):
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    left, right = ground.cut(square, x, -1), ground.cut(square, x, 1)
    assert (size(left), size(right)) == (10 * x, 100 - 10 * x)


# weave


def test_the_cowling_hides_a_strip_and_the_way_ahead_is_seen_past_its_other_side():
    root = drawn("weave")
    for panel, side in zip(parts(root, "weave"), ("left", "right"), strict=True):
        way = ground.sign(side)
        eye = centre(part(panel, "eye"))
        nose = heading(part(panel, "aeroplane"))
        assert nose * way > 0
        start, tip = arrow(part(panel, "look"))
        assert start == eye
        looks = (bearing(start, tip) - nose + 180) % 360 - 180
        assert looks * way < -ground.hidden()
        rays = [(bearing(eye, at) - nose + 180) % 360 - 180 for at in outline(part(panel, "hidden"))]
        assert [round(abs(each), 1) for each in rays] == [round(ground.hidden(), 1)] * 4
        assert said(panel) == [f"nose swung {side}:", f"look past the {yaw.opposite(side)}"]


@sides
def test_one_swing_alone_stands_in_the_middle(side):
    root = drawn("weave", nose=side)
    assert len(parts(root, "weave")) == 1
    assert f"With the nose swung {side}" in sentence("weave", nose=side)
    assert f"swung {yaw.opposite(side)}" not in sentence("weave", nose=side)


@sides
@pytest.mark.parametrize("scene", ["swerve", "weathercock"])
def test_no_text_lies_on_a_line(scene, side):
    root = drawn(scene, **{"nose" if scene == "swerve" else "wind_from": side})
    pieces = list(segments(root))
    for box in boxes(root, wide=0.55):
        assert not any(crosses(box, piece) for piece in pieces), box
