import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import yaw

FOUR = ("torque_yaw", "slipstream_yaw", "p_factor_yaw", "tail_up_yaw")

every_propeller = pytest.mark.parametrize("propeller", yaw.PROPELLERS)
vectors = st.tuples(*[st.integers(-9, 9)] * 3)


def dot(a, b):
    return sum(x * y for x, y in zip(a, b, strict=True))


def test_a_vector_product_follows_the_right_hand():
    assert yaw.cross((1, 0, 0), (0, 1, 0)) == (0, 0, 1)
    assert yaw.cross((0, 1, 0), (0, 0, 1)) == (1, 0, 0)
    assert yaw.cross((0, 0, 1), (1, 0, 0)) == (0, 1, 0)


@given(vectors, vectors)
def test_a_vector_product_stands_upright_on_both_and_turns_round_with_them(a, b):
    product = yaw.cross(a, b)
    assert dot(product, a) == dot(product, b) == 0
    assert yaw.cross(b, a) == tuple(-x for x in product)
    assert dot(product, product) == dot(a, a) * dot(b, b) - dot(a, b) ** 2


def test_a_positive_turn_or_place_is_on_the_right():
    assert (yaw.side(0.5), yaw.side(-0.5)) == ("right", "left")


def test_each_side_has_an_opposite():
    assert (yaw.opposite("left"), yaw.opposite("right")) == ("right", "left")


def test_a_clockwise_propeller_spins_about_an_axis_that_points_forward():
    assert yaw.spin("clockwise") == (1, 0, 0)
    assert yaw.spin("anticlockwise") == (-1, 0, 0)


@pytest.mark.parametrize("word", ["", "Clockwise", "counterclockwise", "left"])
def test_a_direction_that_is_none_is_refused(word):
    with pytest.raises(ValueError, match="not in tuple"):
        yaw.spin(word)
    with pytest.raises(ValueError, match="not in tuple"):
        yaw.yaw_sides(word)


@every_propeller
@given(turn=vectors)
def test_precession_comes_out_a_quarter_turn_away_from_its_cause(propeller, turn):
    moment = yaw.precession(propeller, turn)
    assert dot(moment, turn) == dot(moment, yaw.spin(propeller)) == 0


@given(vectors, st.integers(-4, 4))
def test_precession_grows_with_the_rate_and_turns_round_with_it(turn, times):
    faster = yaw.precession("clockwise", tuple(times * x for x in turn))
    assert faster == tuple(times * x for x in yaw.precession("clockwise", turn))


@every_propeller
def test_a_roll_about_the_shaft_makes_no_precession(propeller):
    assert yaw.precession(propeller, (1, 0, 0)) == (0, 0, 0)


def test_every_side_is_the_other_one_with_the_other_propeller():
    clockwise, anticlockwise = map(yaw.yaw_sides, yaw.PROPELLERS)
    assert anticlockwise == {name: yaw.opposite(side) for name, side in clockwise.items()}


@pytest.mark.parametrize("effect", FOUR)
@every_propeller
def test_the_four_effects_of_the_take_off_share_the_swing(propeller, effect):
    sides = yaw.yaw_sides(propeller)
    assert sides[effect] == sides["swing"]


@pytest.mark.parametrize(
    ("name", "same"),
    [
        ("other_side", False),
        ("rudder_foot", False),
        ("other_foot", True),
        ("adding_wind", True),
        ("easing_wind", False),
        ("tail_down_yaw", False),
    ],
)
@every_propeller
def test_what_goes_with_the_swing_and_what_against_it(propeller, name, same):
    sides = yaw.yaw_sides(propeller)
    assert (sides[name] == sides["swing"]) is same


@every_propeller
def test_each_cause_is_told_as_its_own_function_tells_it(propeller):
    sides = yaw.yaw_sides(propeller)
    assert sides["torque_wheel"] == yaw.torque_wheel(propeller)
    assert sides["slipstream_fin"] == yaw.slipstream_fin(propeller)
    assert sides["down_blade"] == yaw.down_blade(propeller)


def test_the_names_that_decks_use_are_these():
    names = "adding_wind down_blade easing_wind other_foot other_side p_factor_yaw rudder_foot slipstream_fin"
    more = "slipstream_yaw swing tail_down_yaw tail_up_yaw torque_wheel torque_yaw"
    assert sorted(yaw.yaw_sides("clockwise")) == f"{names} {more}".split()
