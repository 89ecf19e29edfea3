import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import load


def test_wings_level_is_one_g_and_the_plain_stall_speed():
    assert load.load_factor(0) == 1
    assert load.stall_speed(45, 0) == 45
    assert load.bank_for(1) == 0


@given(st.floats(0, 89))
def test_a_turn_is_the_same_to_either_side_and_its_load_gives_its_bank(bank):
    assert load.load_factor(bank) == load.load_factor(-bank) >= 1
    assert load.bank_for(load.load_factor(bank)) == pytest.approx(bank, abs=1e-5)


@given(st.floats(0, 85), st.floats(30, 80))
def test_the_stall_speed_goes_with_the_square_root_of_the_load(bank, vs):
    assert load.stall_speed(vs, bank) ** 2 == pytest.approx(vs**2 * load.load_factor(bank))


@pytest.mark.parametrize("bank", [90, -90, 120, 89.9999999999999999, float("nan")])
def test_a_turn_on_edge_is_not_level(bank):
    for turn in (load.load_factor, lambda bank: load.stall_speed(45, bank)):
        with pytest.raises(ValueError, match="below 90"):
            turn(bank)


@pytest.mark.parametrize("factor", [0.99, 0, -2, float("nan")])
def test_no_level_turn_has_less_than_one_g(factor):
    with pytest.raises(ValueError, match="1 or more"):
        load.bank_for(factor)


def test_the_gyroscopic_moment_doubles_with_each_of_its_parts():
    once = load.gyroscopic_moment(1.2, 2400, 15)
    assert load.gyroscopic_moment(2.4, 2400, 15) == pytest.approx(2 * once)
    assert load.gyroscopic_moment(1.2, 4800, 15) == pytest.approx(2 * once)
    assert load.gyroscopic_moment(1.2, 2400, 30) == pytest.approx(2 * once)
    assert load.gyroscopic_moment(1.2, 2400, 0) == 0


def test_endurance_is_the_time_until_the_reserve():
    assert load.endurance(80, 20, 10) == 3.5
    assert load.endurance(80, 20, 0) == 4
    assert load.endurance(80, 20, 80) == 0


@pytest.mark.parametrize(
    ("fuel", "burn", "reserve", "message"),
    [(80, 0, 10, "burn"), (80, -5, 10, "burn"), (80, 20, 90, "reserve"), (80, 20, -1, "reserve")],
)
def test_endurance_needs_a_burn_and_a_reserve_that_is_on_board(fuel, burn, reserve, message):
    with pytest.raises(ValueError, match=message):
        load.endurance(fuel, burn, reserve)
