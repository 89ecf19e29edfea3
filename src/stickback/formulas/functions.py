"""The functions a formula may call, by name: sums, trigonometry in degrees, the trade's own, and conversions of units.

A conversion is named after its two units, `kt_to_mph` or `degf_to_degc`, for any two that measure the same.
"""

import math
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from functools import partial
from typing import NamedTuple

from stickback.trade import air, angle, load, units, wind

_MANY = 20  # arguments of min and max
_FINEST = 12  # decimals that round takes
_WHOLE = 2.0**53  # from here on every float is a whole number


class Function(NamedTuple):
    """A function and how many arguments it takes.

    Args:
        call: takes and gives floats; raises ValueError, with a sentence, where it has no value.
    """

    call: Callable[..., float]
    least: int
    most: int


def square_root(value: float) -> float:
    """The square root.

    Errors: ValueError below 0.
    """
    if value < 0:
        raise ValueError("A negative number has no square root.")
    return math.sqrt(value)


def rounded(value: float, decimals: float = 0) -> float:
    """The value to so many decimals; a half goes away from nought, as on paper, and not to the even neighbour.

    Errors: ValueError unless the decimals are a whole number from -12 to 12.
    """
    if decimals != int(decimals) or abs(decimals) > _FINEST:
        raise ValueError(f"Decimals are a whole number from -{_FINEST} to {_FINEST}.")
    if abs(value) >= _WHOLE:
        return value
    step = Decimal(1).scaleb(-int(decimals))
    return float((Decimal(repr(value)) / step).to_integral_value(ROUND_HALF_UP) * step) + 0.0


def _conversions() -> dict[str, Function]:
    """One function for every two units of the same quantity."""
    return {
        f"{one.spellings[0]}_to_{units.UNITS[other].spellings[0]}": Function(
            partial(units.convert, unit=name, to=other), 1, 1
        )
        for name, one in units.UNITS.items()
        for other in units.siblings(name)
    }


FUNCTIONS: dict[str, Function] = {
    "abs": Function(abs, 1, 1),
    "round": Function(rounded, 1, 2),
    "floor": Function(math.floor, 1, 1),
    "ceil": Function(math.ceil, 1, 1),
    "sqrt": Function(square_root, 1, 1),
    "min": Function(min, 2, _MANY),
    "max": Function(max, 2, _MANY),
    "sin": Function(angle.sin, 1, 1),
    "cos": Function(angle.cos, 1, 1),
    "tan": Function(angle.tan, 1, 1),
    "asin": Function(angle.asin, 1, 1),
    "acos": Function(angle.acos, 1, 1),
    "atan": Function(angle.atan, 1, 1),
    "turn": Function(angle.turn, 2, 2),
    "off_runway": Function(wind.off_runway, 2, 2),
    "headwind": Function(wind.headwind, 3, 3),
    "crosswind": Function(wind.crosswind, 3, 3),
    "clock_code": Function(wind.clock_code, 1, 1),
    "wind_correction": Function(wind.wind_correction, 4, 4),
    "groundspeed": Function(wind.groundspeed, 4, 4),
    "isa_temperature": Function(air.isa_temperature, 1, 1),
    "isa_pressure": Function(air.isa_pressure, 1, 1),
    "pressure_altitude": Function(air.pressure_altitude, 2, 2),
    "density_altitude": Function(air.density_altitude, 2, 2),
    "density_altitude_rule": Function(air.density_altitude_rule, 2, 2),
    "load_factor": Function(load.load_factor, 1, 1),
    "stall_speed": Function(load.stall_speed, 2, 2),
    "bank_for": Function(load.bank_for, 1, 1),
    "gyroscopic_moment": Function(load.gyroscopic_moment, 3, 3),
    "endurance": Function(load.endurance, 3, 3),
    **_conversions(),
}
