from math import atan2, degrees

import pytest

from pictures import SVG, arrow, boxes, centre, crosses, outline, part, parts, points, read, segments
from stickback.pictures import figure


def drawn(show):
    return read(figure.draw({"scene": "bounce", "show": show}))


def steps():
    root = drawn("skip")
    return [part(root, f"step{each}") for each in (1, 2, 3)]


def above_ground(panel, name):
    """How far a wheel stays above the ground."""
    earth = points(panel[0])[0][1]
    return earth - max(float(each.get("cy")) + float(each.get("r")) for each in part(panel, name).iter(f"{SVG}circle"))


def angle(panel):
    """Between the chord and the air."""
    behind, ahead = points(part(panel, "chord")[0])
    return degrees(atan2(behind[1] - ahead[1], behind[0] - ahead[0]))


def test_the_main_wheels_touch_then_stay_while_the_tail_drops_and_then_leave_the_ground():
    assert [above_ground(each, "main-wheel") > 1 for each in steps()] == [False, False, True]


def test_the_tail_drops_and_is_clear_of_the_ground_in_every_step():
    first, second, _ = (above_ground(each, "tailwheel") for each in steps())
    assert first > second
    assert all(above_ground(each, "tailwheel") > 3 for each in steps())


def test_the_angle_of_attack_grows_as_the_tail_drops():
    first, second, third = map(angle, steps())
    assert second > first + 4
    assert third >= second


def test_it_sinks_first_and_lifts_after():
    first, second, third = steps()
    start, tip = arrow(part(first, "sinks"))
    assert tip[1] > start[1]
    start, tip = arrow(part(second, "drops"))
    assert tip[1] > start[1]
    assert start[0] > centre(part(second, "main-wheel"))[0]
    for each in (second, third):
        start, tip = arrow(part(each, "lift"))
        assert tip[1] < start[1]


def test_each_leap_of_a_porpoise_is_higher_than_the_one_before_in_the_way_the_nose_points():
    root = drawn("porpoise")
    tops = [min(y for _, y in outline(part(each, "main-wheel"))) for each in parts(root, "leap")]
    assert tops == sorted(tops, reverse=True)
    xs = [centre(each)[0] for each in parts(root, "touch")]
    assert xs == sorted(xs, reverse=True)  # the nose is on the left
    for each in parts(root, "leap"):
        assert outline(part(each, "body"))[0][0] < centre(part(each, "tailwheel"))[0]
    assert figure.sentence({"scene": "bounce", "show": "porpoise"}).endswith("go around.")


@pytest.mark.parametrize("show", ["skip", "porpoise"])
def test_no_text_lies_on_a_line(show):
    root = drawn(show)
    pieces = list(segments(root))
    for box in boxes(root, wide=0.55):
        assert not any(crosses(box, piece) for piece in pieces), box
