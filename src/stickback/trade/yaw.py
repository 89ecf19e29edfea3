"""Which way the nose goes: each yaw effect of a propeller from its moment about the yaw axis.

Axes fixed in the aeroplane: x forward, y right, z down. A positive turn about z is nose RIGHT, about y nose UP, about x
right wing DOWN. Sizes are left out: only the sides matter here.

Sources: the effects as in FAA-H-8083-25C (Pilot's Handbook of Aeronautical Knowledge), chapter 5, which describes the
clockwise propeller; the anticlockwise one follows from the same products.
"""

from typing import Literal

Side = Literal["left", "right"]
Vector = tuple[float, float, float]

PROPELLERS = ("clockwise", "anticlockwise")

_FORWARD, _BACKWARD = (1, 0, 0), (-1, 0, 0)
_NOSE_UP, _NOSE_DOWN = (0, 1, 0), (0, -1, 0)
_FIN = (-1, 0, -1)  # behind the centre of gravity and above the shaft


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product a × b."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def side(y: float) -> Side:
    """The side of a positive or negative y, and of a turn about z."""
    return "right" if y > 0 else "left"


def opposite(of: Side) -> Side:
    """The other side."""
    return "left" if of == "right" else "right"


def spin(propeller: str) -> Vector:
    """The spin vector by the right-hand rule, for a propeller seen from the cockpit.

    Errors: ValueError unless `propeller` is one of `PROPELLERS`.
    """
    return _FORWARD if PROPELLERS.index(propeller) == 0 else _BACKWARD


def precession(propeller: str, turn: Vector) -> Vector:
    """The moment with which the spinning propeller answers a turn of the aeroplane: M = L × w."""
    return cross(spin(propeller), turn)


def torque_wheel(propeller: str) -> Side:
    """The main wheel pressed down by the reaction to the engine's torque, which rolls against the spin."""
    return side(-spin(propeller)[0])


def slipstream_fin(propeller: str) -> Side:
    """The side of the fin that the corkscrew slipstream strikes: above the shaft the air moves as the disc does."""
    return opposite(side(cross(spin(propeller), (0, 0, -1))[1]))


def down_blade(propeller: str) -> Side:
    """The side on which the blade goes down: there its velocity, spin × arm, points along +z."""
    return side(cross(spin(propeller), (0, 1, 0))[2])


def _toward(arm: Vector, force: Vector) -> Side:
    """The way a force at an arm turns the nose."""
    return side(cross(arm, force)[2])


def _y(where: Side) -> Vector:
    return (0, 1, 0) if where == "right" else (0, -1, 0)


def yaw_sides(propeller: str) -> dict[str, Side]:
    """Every side that follows from the propeller's direction, by the name that decks use.

    The nose under each effect (`torque_yaw`, `slipstream_yaw`, `p_factor_yaw`, `tail_up_yaw`, `tail_down_yaw`); what
    causes it (`torque_wheel`, `slipstream_fin`, `down_blade`); the take-off `swing` that the first four share, with the
    foot that holds it; and the crosswind that adds to it or eases it, since a crosswind turns the nose into wind.

    Source of the crosswind's side: FAA-H-8083-3C (Airplane Flying Handbook), chapters 6 and 14.
    """
    wheel, fin, blade = torque_wheel(propeller), slipstream_fin(propeller), down_blade(propeller)
    swing = side(precession(propeller, _NOSE_DOWN)[2])
    return {
        "torque_wheel": wheel,
        "torque_yaw": _toward(_y(wheel), _BACKWARD),  # the pressed wheel drags
        "slipstream_fin": fin,
        "slipstream_yaw": _toward(_FIN, _y(opposite(fin))),  # the fin is pushed away from the side that is struck
        "down_blade": blade,
        "p_factor_yaw": _toward(
            _y(blade), _FORWARD
        ),  # the blade that goes down pulls more when the disc is tilted back
        "tail_up_yaw": swing,
        "tail_down_yaw": side(precession(propeller, _NOSE_UP)[2]),
        "swing": swing,
        "other_side": opposite(swing),
        "rudder_foot": opposite(swing),
        "other_foot": swing,
        "adding_wind": swing,
        "easing_wind": opposite(swing),
    }
