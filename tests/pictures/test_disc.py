import pytest

from stickback.pictures import disc
from stickback.pictures.disc import EFFECTS, Disc
from stickback.trade import yaw

both = pytest.mark.parametrize("propeller", yaw.PROPELLERS)


def of(propeller, tail="raised", *, answer=True):
    return Disc((100, 100), 50, propeller, tail, answer)


@both
def test_a_push_comes_out_a_quarter_turn_on_where_the_blades_go(propeller):
    assert disc.comes_out(propeller, "raised") == yaw.down_blade(propeller)
    assert disc.comes_out(propeller, "lowered") == yaw.opposite(yaw.down_blade(propeller))


def test_the_top_of_the_disc_moves_right_when_it_turns_clockwise_seen_from_behind():
    assert [of(each).mirrored() for each in yaw.PROPELLERS] == [1, -1]


def test_a_side_lies_in_the_picture_where_the_pilot_sees_it():
    assert (disc.sign("left"), disc.sign("right")) == (-1, 1)
    assert of("clockwise").place(1, -1) == (150, 50)


@both
@pytest.mark.parametrize("effect", EFFECTS)
def test_every_effect_shows_more_with_its_answer_than_without(propeller, effect):
    drawn = EFFECTS[effect]
    assert str(drawn(of(propeller))) != str(drawn(of(propeller, answer=False)))
