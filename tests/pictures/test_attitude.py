from math import atan2, degrees

import pytest

from pictures import SVG, boxes, centre, part, parts, points, read, said
from stickback.pictures import figure
from stickback.pictures.attitude import PITCH, angle_of_attack

every_attitude = pytest.mark.parametrize("attitude", PITCH)


def drawn(attitude):
    return read(figure.draw({"scene": "attitude", "attitude": attitude}))


def ground(root):
    (start, end) = points(part(root, "ground")[0])
    assert start[1] == end[1]
    return start[1]


def clearance(root, name):
    """How far the circles or lines of a part stay above the ground."""
    lowest = [float(each.get("cy")) + float(each.get("r")) for each in part(root, name).iter(f"{SVG}circle")]
    lowest += [y for each in part(root, name).iter() if each.get("points") for _, y in points(each)]
    return ground(root) - max(lowest)


def drawn_angle(root):
    """From the chord as drawn to the horizontal."""
    behind, ahead = points(part(root, "chord")[0])
    return degrees(atan2(behind[1] - ahead[1], behind[0] - ahead[0]))


@every_attitude
def test_the_main_wheels_stand_on_the_ground(attitude):
    assert clearance(drawn(attitude), "main-wheel") == pytest.approx(0, abs=0.1)


def test_the_tailwheel_stands_on_the_ground_in_the_three_point_attitude_alone():
    three, level, high = (clearance(drawn(name), "tailwheel") for name in ("three-point", "level", "tail-high"))
    assert three == pytest.approx(0, abs=0.1)
    assert 10 < level < high


def test_the_nose_comes_down_as_the_tail_comes_up():
    three, level, high = (clearance(drawn(name), "propeller") for name in ("three-point", "level", "tail-high"))
    assert three > level > high > 0


@every_attitude
def test_the_angle_drawn_is_the_angle_of_attack(attitude):
    root = drawn(attitude)
    assert drawn_angle(root) == pytest.approx(angle_of_attack(attitude), abs=0.1)
    ((left, y), (right, other)) = sorted(points(part(root, "level-air")[0]))
    assert y == other
    arc = points(part(root, "angle")[0])
    assert arc[0][1] == pytest.approx(y, abs=0.01)
    assert left < arc[0][0] < right


def test_the_angles_of_attack_are_in_order_and_none_is_negative():
    three, level, high = (drawn_angle(drawn(name)) for name in ("three-point", "level", "tail-high"))
    assert three > level > high > 0
    assert drawn_angle(drawn("level")) == pytest.approx(angle_of_attack("level"), abs=0.1)


@every_attitude
def test_the_air_comes_along_the_ground_from_ahead(attitude):
    root = drawn(attitude)
    wheel = centre(part(root, "main-wheel"))
    for each in part(root, "air"):
        if each.tag == f"{SVG}g":
            start, tip = points(each[0])
            assert start[1] == tip[1]
            assert start[0] < tip[0] < wheel[0]


@pytest.mark.parametrize(
    ("attitude", "size"), [("three-point", "large"), ("level", "small"), ("tail-high", "very small")]
)
def test_the_size_of_the_angle_is_said_in_the_picture_and_in_the_sentence(attitude, size):
    assert f"angle of attack: {size}" in said(drawn(attitude))
    sentence = figure.sentence({"scene": "attitude", "attitude": attitude})
    assert sentence.endswith(f"; the angle of attack is {size}.")
    assert attitude.capitalize() in sentence


def test_all_three_stand_under_one_another():
    root = drawn("all")
    tops = [min(box.top for box in boxes(part(root, name))) for name in PITCH]
    assert tops == sorted(tops)
    assert len(parts(root, "ground")) == 3
    assert all(name.capitalize() in figure.sentence({"scene": "attitude", "attitude": "all"}) for name in PITCH)
