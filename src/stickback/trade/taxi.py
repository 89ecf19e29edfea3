"""Where the stick belongs while taxiing a tailwheel aeroplane, by the wind's quarter and strength.

Sources: FAA-H-8083-3C (Airplane Flying Handbook), chapter 2, *Taxiing*, and chapter 14; no wind and the direct
crosswind are common practice.
"""

from typing import Literal

Elevator = Literal["forward", "level", "back"]
Aileron = Literal["left", "middle", "right"]
Position = tuple[Elevator, Aileron]

ELEVATORS: tuple[Elevator, ...] = ("forward", "level", "back")
AILERONS: tuple[Aileron, ...] = ("left", "middle", "right")
POSITIONS: tuple[Position, ...] = tuple((elevator, aileron) for elevator in ELEVATORS for aileron in AILERONS)
STRENGTHS = ("light", "moderate", "strong")
# Clockwise from the nose, each 45 degrees wide.
QUARTERS = ("ahead", "ahead-right", "right", "behind-right", "behind", "behind-left", "left", "ahead-left")
NO_WIND = "none"


def quarter(heading: float, wind_from: float) -> str:
    """The quarter that a wind comes from, seen from the aeroplane; both in degrees."""
    return QUARTERS[int(((wind_from - heading) % 360 + 22.5) // 45) % 8]


def positions(where: str, strength: str) -> tuple[Position, ...]:
    """The stick positions that are right, the plainest first.

    Args:
        where: one of `QUARTERS`, or `none`.
        strength: one of `STRENGTHS`.
    Errors: ValueError for other words.
    """
    if strength not in STRENGTHS or where not in {*QUARTERS, NO_WIND}:
        raise ValueError(f"{where} {strength}")
    aileron = _aileron(where)
    return tuple((elevator, aileron) for elevator in _elevators(where, strength))


def _aileron(where: str) -> Aileron:
    """Climb into a wind from ahead or abeam, dive away from one from behind."""
    if where in {"ahead-left", "left", "behind-right"}:
        return "left"
    if where in {"ahead-right", "right", "behind-left"}:
        return "right"
    return "middle"


def _elevators(where: str, strength: str) -> tuple[Elevator, ...]:
    if where.startswith("behind"):
        # The propeller's wash wins over a light wind from behind, so that back still holds the tail down.
        if strength == "strong":
            return ("forward",)
        return ("forward", "back") if strength == "moderate" else ("back", "forward")
    if where in {"left", "right"}:
        return ("back", "level")
    # A strong wind from ahead may lift a wing or the tail's own weight holds it: nearer neutral is taught too.
    return ("back", "level") if strength == "strong" and where != NO_WIND else ("back",)
