from math import radians, tan

import pytest

from pictures import arrow, bearing, boxes, crosses, outline, part, parts, points, read, said, segments
from stickback.pictures import figure, seat
from stickback.pictures.aeroplane import THREE_POINT


def drawn(scene, **words):
    return read(figure.draw({"scene": scene, **words}))


def view(tail):
    return part(drawn("view", tail=tail), "view")


def horizon(panel):
    """The height of the horizon in a picture."""
    heights = {y for each in part(panel, "horizon") for _, y in points(each)}
    (height,) = {round(each, 1) for each in heights}
    return height


def cowling(panel):
    return min(y for _, y in outline(part(panel, "cowling")))


def test_the_cowling_keeps_its_place_and_the_horizon_sinks_by_the_three_point_angle():
    up, down = view("up"), view("down")
    assert cowling(up) == cowling(down)
    assert horizon(down) - horizon(up) == pytest.approx(150 * tan(radians(THREE_POINT)), abs=0.1)


def test_with_the_tail_down_the_cowling_reaches_the_horizon():
    # The cowling can hide everything straight ahead: FAA-H-8083-3C, chapter 14, Visibility.
    assert horizon(view("up")) < cowling(view("up"))
    assert cowling(view("down")) <= horizon(view("down"))
    assert seat.cowling() < THREE_POINT


def test_with_the_tail_up_the_runway_is_seen_to_its_end_and_with_the_tail_down_its_edges_are():
    for tail, ends_meet in (("up", True), ("down", False)):
        panel = view(tail)
        left, right = (points(each)[1] for each in part(panel, "runway"))
        assert (left == right) is ends_meet
        hood = outline(part(panel, "cowling"))
        edge = points(part(panel, "runway")[0])
        assert edge[0][0] < min(x for x, _ in hood) or tail == "up"


@pytest.mark.parametrize(("tail", "told"), [("up", "is in sight"), ("down", "hides the middle of the runway")])
def test_each_view_is_told(tail, told):
    assert told in figure.sentence({"scene": "view", "tail": tail})
    assert told in figure.sentence({"scene": "view"})


# pedals


def foot(brakes, doing):
    return part(drawn("pedals", brakes=brakes), f"{brakes}-{doing}")


def floor(panel):
    return points(part(panel, "floor")[0])[0][1]


@pytest.mark.parametrize(
    ("brakes", "doing", "lifted"),
    [("toe", "steering", False), ("toe", "braking", True), ("heel", "steering", True), ("heel", "braking", True)],
)
def test_the_heel_is_on_the_floor_only_while_toe_brakes_are_not_used(brakes, doing, lifted):
    panel = foot(brakes, doing)
    lowest = max(y for _, y in outline(part(panel, "foot")))
    assert (floor(panel) - lowest > 5) is lifted


def test_toe_brakes_are_pressed_high_on_the_pedal_and_steered_with_low():
    shares = []
    for doing in ("steering", "braking"):
        panel = foot("toe", doing)
        low, high = points(part(panel, "pedal")[0])
        _, tip = arrow(part(panel, "press"))
        shares.append((low[1] - tip[1]) / (low[1] - high[1]))
    assert shares[0] < 0.5 < shares[1]


@pytest.mark.parametrize("brakes", ["toe", "heel"])
def test_the_pedal_is_pressed_square_while_steering(brakes):
    panel = foot(brakes, "steering")
    low, high = points(part(panel, "pedal")[0])
    start, tip = arrow(part(panel, "press"))
    assert (bearing(start, tip) - bearing(low, high)) % 360 == pytest.approx(90, abs=1)


def test_heel_brakes_are_pressed_straight_down_by_the_heel_while_the_toes_stay():
    steering, braking = foot("heel", "steering"), foot("heel", "braking")
    start, tip = arrow(part(braking, "press"))
    assert (start[0], tip[1] > start[1]) == (tip[0], True)
    pad = outline(part(braking, "pad"))
    assert abs(tip[0] - pad[0][0]) < 10
    tops = [min(y for _, y in outline(part(each, "pad"))) for each in (steering, braking)]
    assert tops[0] < tops[1]
    one, other = (points(part(each, "pedal")[0]) for each in (steering, braking))
    assert [x for x, _ in other] == [x + 180 for x, _ in one]


def test_only_the_brakes_asked_for_are_drawn():
    assert len(parts(drawn("pedals"), "foot")) == 4
    assert "Heel" not in figure.sentence({"scene": "pedals", "brakes": "toe"})
    assert "toe brakes, steering" not in said(drawn("pedals", brakes="heel"))


def test_no_text_lies_on_a_line():
    for root in (drawn("pedals"), drawn("view")):
        pieces = list(segments(root))
        for box in boxes(root, wide=0.55):
            assert not any(crosses(box, piece) for piece in pieces), box
