"""Circuit: the places of its legs and runway in a picture, and where each phraseology has a call made and what it says.

A place is (x, y) of a picture with take-off up the page; x is 0 in the middle and positive on the circuit's side, so
that a left and a right circuit are one table. Not to scale.

Sources: CAP 413, *Designated positions in the traffic circuit*; ICAO Doc 9432, 4.7.1, for final and long final (it
leaves other reports to local procedures); AIM 4-1-9 and 4-3-2 for the US traffic pattern.
"""

from dataclasses import dataclass, replace

from stickback.pictures.canvas import Point

AXIS, DOWNWIND = -72, 90  # x of the runway and of the downwind leg
TOP, BASE = 66, 352  # y of the crosswind and base legs
FAR_END, NEAR_END, HALF = 150, 262, 16  # y of the runway's ends, and half its width


@dataclass(frozen=True)
class Call:
    """A call.

    Args:
        said: its words, in the lines they are drawn in; `where`: the place, without them.
        at: its point on the path; `ring`: where its letter stands from there.
        runs: which way its words run from there: -1 away from the downwind leg, 1 towards it, 0 below the ring.
    """

    said: str
    where: str
    at: Point
    ring: Point
    runs: int = -1


_INWARD, _OUTWARD, _BELOW = (-21, 0), (21, 0), (0, 23)
_FINAL = Call("final", "on the line of the runway, within 4 miles", (AXIS, 322), _OUTWARD, 1)
_LONG = Call("long final", "on the line of the runway, beyond 4 miles", (AXIS, 410), _OUTWARD, 1)
_ON_BASE = Call("base", "after the turn towards the runway's line", (66, BASE), _BELOW)
_AT_MIDDLE = Call("downwind", "abeam the middle of the runway", (DOWNWIND, 206), _INWARD)

CALLS = {
    "icao": (replace(_AT_MIDDLE, where="on the leg against the landing direction"), _ON_BASE, _FINAL, _LONG),
    "uk": (
        Call("downwind", "abeam the upwind end of the runway", (DOWNWIND, FAR_END), _INWARD),
        Call("late downwind", "past the runway's other end, if not called yet", (DOWNWIND, 284), _INWARD),
        replace(_ON_BASE, said="base, if asked"),
        _FINAL,
        _LONG,
    ),
    "faa": (
        _AT_MIDDLE,
        _ON_BASE,
        replace(_FINAL, where="on the line of the runway"),
        Call("clear of\nrunway", "off the runway", (AXIS - 38, 176), _INWARD, 0),
    ),
}


def legs(phraseology: str) -> tuple[str, ...]:
    """The legs as they are flown, by their names."""
    return ("departure" if phraseology == "faa" else "upwind", "crosswind", "downwind", "base", "final")
