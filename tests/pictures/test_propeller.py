from math import atan2, degrees

import pytest

from pictures import SVG, arrow, centre, outline, part, parts, points, read, said
from stickback.pictures import aeroplane, figure
from stickback.pictures import propeller as propellers
from stickback.pictures.propeller import EFFECTS, Disc
from stickback.trade import yaw

YAW = {
    "torque": "torque_yaw",
    "slipstream": "slipstream_yaw",
    "p-factor": "p_factor_yaw",
    "gyroscopic": "tail_up_yaw",
}

every_propeller = pytest.mark.parametrize("propeller", yaw.PROPELLERS)
every_effect = pytest.mark.parametrize("effect", EFFECTS)


def words(propeller, effect, show="answer", **more):
    return {"scene": "propeller", "propeller": propeller, "effect": effect, "show": show, **more}


def drawn(*given, **more):
    return read(figure.draw(words(*given, **more)))


def disc(root, effect):
    """The middle of the disc of an effect."""
    return centre(part(part(root, effect), "disc"))


def side_of(x, middle):
    return yaw.side(x - middle)


def nose_arrow(root):
    start, tip = arrow(part(root, "nose"))
    assert start[1] == tip[1]
    return yaw.side(tip[0] - start[0])


@every_propeller
@every_effect
def test_the_nose_goes_where_the_physics_says(propeller, effect):
    root = drawn(propeller, effect)
    side = yaw.yaw_sides(propeller)[YAW[effect]]
    assert nose_arrow(root) == side
    assert said(part(root, "nose")) == [f"the nose goes {side}"]
    assert figure.sentence(words(propeller, effect)).endswith(f"The nose goes {side}.")


@every_propeller
def test_a_tail_that_comes_down_turns_it_the_other_way(propeller):
    root = drawn(propeller, "gyroscopic", tail="lowered")
    assert nose_arrow(root) == yaw.yaw_sides(propeller)["tail_down_yaw"]
    assert centre(part(root, "push"))[1] > disc(root, "gyroscopic")[1]


@every_propeller
@pytest.mark.parametrize("effect", [*EFFECTS, "all"])
@pytest.mark.parametrize("show", ["question", "answer"])
def test_the_arrows_of_rotation_turn_as_the_propeller_does(propeller, effect, show):
    root = drawn(propeller, effect, show)
    clockwise = yaw.spin(propeller)[0] > 0
    for name in EFFECTS if effect == "all" else [effect]:
        x, y = disc(root, name)
        for each in part(part(root, name), "turn"):
            shaft, head = (points(piece) for piece in each)
            (x1, y1), (x2, y2) = shaft[0], head[1]
            assert ((x1 - x) * (y2 - y) - (y1 - y) * (x2 - x) > 0) is clockwise


@every_propeller
@pytest.mark.parametrize("whole", [True, False])
def test_the_pressed_wheel_is_on_its_side_and_solid(propeller, whole):
    root = drawn(propeller, "all" if whole else "torque")
    middle, side = disc(root, "torque")[0], yaw.torque_wheel(propeller)
    start, tip = arrow(part(root, "pressed"))
    assert side_of(start[0], middle) == side
    assert tip[1] > start[1]
    for wheel in parts(root, "wheel"):
        solid = wheel[0].get("fill-opacity") == "1"
        assert solid is (side_of(outline(wheel)[0][0], middle) == side)


@every_propeller
@pytest.mark.parametrize("whole", [True, False])
def test_the_slipstream_strikes_its_side_of_the_fin_and_pushes_the_tail_away(propeller, whole):
    root = drawn(propeller, "all" if whole else "slipstream")
    middle, side = disc(root, "slipstream")[0], yaw.slipstream_fin(propeller)
    shaft, head = (points(piece) for piece in part(root, "strikes").iter() if piece.get("points"))
    assert {side_of(x, middle) for x, _ in (*shaft, head[1])} == {side}
    left, right = sorted(x for x, _ in outline(part(root, "fin")))[1:3]
    assert min(abs(head[1][0] - left), abs(head[1][0] - right)) < 5
    start, tip = arrow(part(root, "tail"))
    assert yaw.side(tip[0] - start[0]) == yaw.opposite(side)
    assert side_of(start[0], middle) == yaw.opposite(side)


@every_propeller
@pytest.mark.parametrize("whole", [True, False])
def test_the_blade_that_goes_down_pulls_more(propeller, whole):
    root = drawn(propeller, "all" if whole else "p-factor")
    middle, side = disc(root, "p-factor")[0], yaw.down_blade(propeller)
    start, tip = arrow(part(root, "down-blade"))
    assert (side_of(tip[0], middle), tip[1] > start[1]) == (side, True)
    start, tip = arrow(part(root, "up-blade"))
    assert (side_of(tip[0], middle), tip[1] < start[1]) == (yaw.opposite(side), True)
    more, less = (next(part(root, name).iter(f"{SVG}circle")) for name in ("more", "less"))
    assert (side_of(float(more.get("cx")), middle), float(more.get("r")) > float(less.get("r"))) == (side, True)


@every_propeller
@pytest.mark.parametrize("tail", ["raised", "lowered"])
def test_the_push_takes_effect_a_quarter_turn_on_with_the_rotation_and_turns_the_nose(propeller, tail):
    root = drawn(propeller, "gyroscopic", tail=tail)
    x, y = disc(root, "gyroscopic")
    push, effect = centre(part(root, "push")), centre(part(root, "effect"))
    assert ((push[1] < y), push[0], effect[1]) == (tail == "raised", x, y)
    arm = (0, effect[0] - x, 0)
    assert nose_arrow(root) == yaw.side(yaw.cross(arm, (1, 0, 0))[2])  # a pull forward at that side of the disc
    assert yaw.spin(propeller)[0] * ((push[0] - x) * (effect[1] - y) - (push[1] - y) * (effect[0] - x)) > 0


@every_propeller
@every_effect
def test_a_question_gives_no_side_away(propeller, effect):
    root = drawn(propeller, effect, "question")
    assert said(part(root, "question")) == ["which way does the nose go?"]
    for name in ("nose", "pressed", "strikes", "tail", "down-blade", "up-blade", "more", "less", "effect"):
        assert not parts(root, name)
    told = figure.sentence(words(propeller, effect, "question"))
    assert not {"left", "right"} & set(told.replace("?", " ").replace(";", " ").split())


@every_propeller
def test_all_four_share_the_swing(propeller):
    root = drawn(propeller, "all")
    assert [len(parts(root, name)) for name in EFFECTS] == [1, 1, 1, 1]
    assert nose_arrow(root) == yaw.yaw_sides(propeller)["swing"]
    assert figure.sentence(words(propeller, "all")).endswith(f"The nose goes {yaw.yaw_sides(propeller)['swing']}.")


def test_the_sentence_says_the_cause():
    assert figure.sentence(words("anticlockwise", "slipstream")) == (
        "The propeller disc seen from behind, turning anticlockwise. "
        "Slipstream: the right side of the fin is struck and the tail is pushed left. The nose goes right."
    )


def of(propeller, tail="raised", *, answer=True):
    return Disc((100, 100), 50, propeller, tail, answer)


@every_propeller
def test_a_push_comes_out_a_quarter_turn_on_where_the_blades_go(propeller):
    assert propellers.comes_out(propeller, "raised") == yaw.down_blade(propeller)
    assert propellers.comes_out(propeller, "lowered") == yaw.opposite(yaw.down_blade(propeller))


def test_the_top_of_the_disc_moves_right_when_it_turns_clockwise_seen_from_behind():
    assert [of(each).mirrored() for each in yaw.PROPELLERS] == [1, -1]


def test_a_place_is_given_in_disc_radii():
    assert of("clockwise").place(1, -1) == (150, 50)


@every_propeller
@pytest.mark.parametrize("effect", EFFECTS)
def test_every_effect_shows_more_with_its_answer_than_without(propeller, effect):
    drawn = EFFECTS[effect]
    assert str(drawn(of(propeller))) != str(drawn(of(propeller, answer=False)))


@every_propeller
@pytest.mark.parametrize(("tail", "up"), [("raised", True), ("lowered", False)])
def test_from_the_side_pitching_pushes_the_disc_forward_where_the_push_is_put_in(propeller, tail, up):
    side = part(drawn(propeller, "gyroscopic", tail=tail), "side")
    start, tip = arrow(part(side, "put-in"))
    blade = points(part(side, "propeller")[0])
    middle = sum(y for _, y in blade) / 2
    assert (tip[0] < start[0], start[1] < middle) == (True, up)  # the nose is on the left
    start, tip = arrow(part(side, "tail-moves"))
    assert (tip[1] < start[1]) is up


@every_propeller
def test_from_the_side_the_disc_of_p_factor_is_tilted_back_by_the_three_point_angle(propeller):
    side = part(drawn(propeller, "p-factor"), "side")
    (low_x, low), (high_x, high) = sorted(points(part(side, "propeller")[0]), key=lambda at: -at[1])
    assert degrees(atan2(high_x - low_x, low - high)) == pytest.approx(aeroplane.THREE_POINT, abs=0.2)
    start, tip = arrow(part(side, "air"))
    assert (start[1], start[0] < tip[0]) == (tip[1], True)


@every_propeller
@every_effect
def test_one_propeller_is_the_mirror_of_the_other(propeller, effect):
    other = next(each for each in yaw.PROPELLERS if each != propeller)
    here, there = (disc_points(drawn(each, effect), effect) for each in (propeller, other))
    assert sorted((round(360 - x), round(y)) for x, y in here) == sorted((round(x), round(y)) for x, y in there)


def disc_points(root, effect):
    """The points of what an effect draws at its disc, but for the blades, which are the same either way."""
    names = ("turn", "pressed", "strikes", "tail", "down-blade", "up-blade", "effect")
    groups = [group for name in names for group in parts(part(root, effect), name)]
    return [at for group in groups for each in group.iter() if each.get("points") for at in points(each)]
