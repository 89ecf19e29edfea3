"""What a turn, a propeller and a tank ask for: load factor, stall speed, gyroscopic moment, endurance.

Sources: FAA-H-8083-25C (Pilot's Handbook of Aeronautical Knowledge), chapter 5, page 5-34, for load factor and stall
speed; Euler's equation of the spinning body for the moment; endurance is a definition.
"""

import math

from stickback.trade.angle import acos, cos


def load_factor(bank: float) -> float:
    """The load factor of a level, coordinated turn.

    Args:
        bank: degrees, to either side.
    Errors: ValueError for a bank of 90 degrees and more, in which no turn is level.
    Source: 1 / cos bank, FAA-H-8083-25C, chapter 5.
    """
    if not abs(bank) < 90 or cos(bank) == 0:
        raise ValueError("A level turn has a bank below 90 degrees.")
    return 1 / cos(bank)


def stall_speed(vs: float, bank: float) -> float:
    """The stall speed in a level turn, in the unit of `vs`, the stall speed with wings level.

    Errors: ValueError as `load_factor`.
    Source: the square root of the load factor, FAA-H-8083-25C, page 5-34.
    """
    return vs * math.sqrt(load_factor(bank))


def bank_for(load: float) -> float:
    """The bank of a level turn with a load factor, 0 to 90 degrees.

    Errors: ValueError for a load factor below 1.
    Source: `load_factor` solved for the bank.
    """
    if not load >= 1:
        raise ValueError("A level turn has a load factor of 1 or more.")
    return acos(1 / load)


def gyroscopic_moment(inertia: float, rpm: float, pitch_rate: float) -> float:
    """The mean moment in N·m with which a spinning propeller answers a turn about an axis across its shaft.

    Only the size; `trade.yaw` gives the direction.

    Args:
        inertia: of the propeller about its shaft, kg m².
        pitch_rate: degrees a second.
    Source: inertia times both turning rates in radians a second, from Euler's equation M = L × w.
    """
    return inertia * (rpm * math.tau / 60) * math.radians(pitch_rate)


def endurance(fuel: float, burn: float, reserve: float) -> float:
    """The hours that the fuel lasts until the reserve is reached.

    Args:
        fuel, reserve: usable fuel on board and what must be left of it, both in one unit of volume or mass.
        burn: of that unit, an hour.
    Errors: ValueError when the burn is not positive, or the reserve is not from 0 to the fuel.
    Source: the definition.
    """
    if not burn > 0:
        raise ValueError("A burn is above 0 an hour.")
    if not 0 <= reserve <= fuel:
        raise ValueError("A reserve is from 0 to the fuel on board.")
    return (fuel - reserve) / burn
