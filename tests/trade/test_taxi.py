from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import taxi

MIRROR = {"left": "right", "right": "left", "middle": "middle"}
WINDS = [*product((*taxi.QUARTERS, taxi.NO_WIND), taxi.STRENGTHS)]


def mirrored(where):
    return "-".join(MIRROR.get(word, word) for word in where.split("-"))


@pytest.mark.parametrize(
    ("off", "quarter"),
    [
        (0, "ahead"),
        (22, "ahead"),
        (23, "ahead-right"),
        (67, "ahead-right"),
        (68, "right"),
        (112, "right"),
        (113, "behind-right"),
        (157, "behind-right"),
        (158, "behind"),
        (180, "behind"),
        (202, "behind"),
        (203, "behind-left"),
        (270, "left"),
        (337, "ahead-left"),
        (338, "ahead"),
        (360, "ahead"),
    ],
)
def test_a_wind_comes_from_the_quarter_it_is_nearest_to(off, quarter):
    for heading in (0, 90, 200, 360):
        assert taxi.quarter(heading, (heading + off) % 360) == quarter


@given(st.integers(0, 360), st.integers(0, 360), st.integers(0, 360))
def test_only_the_angle_between_nose_and_wind_counts(heading, wind, turn):
    assert taxi.quarter(heading, wind) == taxi.quarter(heading + turn, wind + turn)


def test_each_quarter_is_an_eighth_of_the_compass():
    found = [taxi.quarter(0, tenth / 10) for tenth in range(3600)]
    assert {quarter: found.count(quarter) for quarter in taxi.QUARTERS} == dict.fromkeys(taxi.QUARTERS, 450)


@pytest.mark.parametrize(("where", "strength"), WINDS)
def test_a_wind_from_the_other_side_asks_for_the_other_aileron_and_the_same_elevator(where, strength):
    other = [(elevator, MIRROR[aileron]) for elevator, aileron in taxi.positions(where, strength)]
    assert list(taxi.positions(mirrored(where), strength)) == other


@pytest.mark.parametrize(("where", "strength"), WINDS)
def test_the_positions_that_are_right_are_some_of_the_nine_with_one_aileron(where, strength):
    found = taxi.positions(where, strength)
    assert set(found) <= set(taxi.POSITIONS)
    assert len(found) == len(set(found)) >= 1
    assert len({aileron for _, aileron in found}) == 1


def test_there_are_nine_positions():
    assert len(set(taxi.POSITIONS)) == 9


@pytest.mark.parametrize(("where", "strength"), [("north", "light"), ("ahead", "breezy"), ("", "light"), ("ahead", "")])
def test_other_words_are_no_wind(where, strength):
    with pytest.raises(ValueError, match=where or strength):
        taxi.positions(where, strength)
