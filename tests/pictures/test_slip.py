import pytest

from pictures import arrow, bearing, boxes, crosses, outline, part, parts, points, read, segments
from stickback.pictures import figure, slip
from stickback.pictures.scene import sign
from stickback.trade import yaw

sides = pytest.mark.parametrize("side", ["left", "right"])


def drawn(side):
    return read(figure.draw({"scene": "slip", "wind_from": side}))


def middle(around):
    return sum(x for x, _ in around) / len(around), sum(y for _, y in around) / len(around)


@sides
def test_the_upwind_wing_is_low_and_its_wheel_alone_touches(side):
    root, way = drawn(side), sign(side)
    start, tip = arrow(part(root, "wind") if len(parts(root, "wind")) == 1 else parts(root, "wind")[0])
    assert (start[0] - tip[0]) * way > 0
    behind = part(root, "behind")
    earth = points(behind[0])[0][1]
    wheels = {middle(outline(each))[0] * way: max(y for _, y in outline(each)) for each in parts(behind, "wheel")}
    (_, downwind), (_, upwind) = sorted(wheels.items())
    assert upwind == pytest.approx(earth, abs=1.5)
    assert downwind < earth - 5
    wing = outline(part(behind, "wing"))
    tips = sorted(((x * way, y) for x, y in wing))
    assert tips[-1][1] > tips[0][1] + 20


@sides
def test_the_ailerons_hold_the_upwind_wing_down_and_the_rudder_is_the_other_foots(side):
    behind, way = part(drawn(side), "behind"), sign(side)
    up, down = (middle(outline(part(behind, name))) for name in ("aileron-up", "aileron-down"))
    assert (up[0] - down[0]) * way > 0
    fin = middle(outline(part(behind, "fin")))
    assert (middle(outline(part(behind, "rudder")))[0] - fin[0]) * way < 0
    told = figure.sentence({"scene": "slip", "wind_from": side})
    assert f"{yaw.opposite(side)} rudder is held" in told
    assert f"the {side} main wheel touches first" in told


@sides
def test_a_crab_points_into_the_wind_and_a_slip_along_the_runway_and_both_go_along_it(side):
    root = drawn(side)
    for name, points_at in (("crab", slip.CRAB * sign(side)), ("wing-low", 0)):
        panel = part(root, name)
        nose, tail = (outline(part(panel, "aeroplane"))[each] for each in (0, 13))
        assert (bearing(tail, nose) + 180) % 360 - 180 == pytest.approx(points_at, abs=0.2)
        start, tip = arrow(part(panel, "track"))
        assert (start[0], start[1] > tip[1]) == (tip[0], True)


@sides
def test_no_text_lies_on_a_line(side):
    root = drawn(side)
    pieces = list(segments(root))
    for box in boxes(root, wide=0.55):
        assert not any(crosses(box, piece) for piece in pieces), box
