import inspect
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.formulas import functions
from stickback.formulas.functions import FUNCTIONS
from stickback.trade import air, load, units, wind


@pytest.mark.parametrize("module", [wind, air, load], ids=lambda module: module.__name__)
def test_every_function_of_the_trade_may_be_called_with_its_arguments(module):
    for name, function in inspect.getmembers(module, inspect.isfunction):
        if function.__module__ == module.__name__ and not name.startswith("_") and name != "direction":
            count = len(inspect.signature(function).parameters)
            assert FUNCTIONS[name] == (function, count, count)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_name_can_be_typed_in_a_formula(name):
    assert name.isidentifier()
    assert name == name.lower()
    assert name.isascii()


def test_every_two_units_of_a_quantity_have_their_conversion():
    assert FUNCTIONS["kt_to_mph"].call(1) == units.convert(1, "kt", "mph")
    assert FUNCTIONS["degf_to_degc"].call(50) == 10
    assert FUNCTIONS["fpm_to_mps"].call(1) == units.convert(1, "ft/min", "m/s")
    assert len([name for name in FUNCTIONS if "_to_" in name]) == sum(len(units.siblings(unit)) for unit in units.UNITS)


@pytest.mark.parametrize(
    ("value", "decimals", "whole"),
    [(2.5, 0, 3), (-2.5, 0, -3), (0.285, 2, 0.29), (1250, -2, 1300), (2.4, 0, 2), (1e300, 2, 1e300), (0.1, 12, 0.1)],
)
def test_a_half_is_rounded_away_from_nought(value, decimals, whole):
    assert functions.rounded(value, decimals) == whole


def test_no_minus_nought_is_left():
    assert math.copysign(1, functions.rounded(-0.2)) == 1


@given(st.floats(allow_nan=False, allow_infinity=False), st.integers(-12, 12))
def test_rounding_never_moves_a_value_by_more_than_half_a_step(value, decimals):
    assert abs(functions.rounded(value, decimals) - value) <= 0.5 * 10.0**-decimals * (1 + 1e-9) + abs(value) * 1e-15


@pytest.mark.parametrize("decimals", [0.5, 13, -13])
def test_decimals_are_a_small_whole_number(decimals):
    with pytest.raises(ValueError, match="whole number"):
        functions.rounded(1, decimals)


def test_a_negative_number_has_no_square_root():
    assert functions.square_root(9) == 3
    with pytest.raises(ValueError, match="square root"):
        functions.square_root(-1e-9)
