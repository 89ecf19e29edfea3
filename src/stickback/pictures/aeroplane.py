"""The one aeroplane of all pictures, from above, from the side and from behind, and the arrows that act on it.

It is invented. Lengths are in hundredths of half its span: `STATION` names places by how far aft of the main wheels
they lie, `HEIGHT` how high above the ground they stand when the body is level. Every view is drawn from them, so that
the wheels, the weight and the eye are in one place whichever way it is looked at. As in the real ones, the main wheels
stand a little ahead of the centre of gravity, about 20 degrees seen from where they touch the ground.

Source: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Landing Gear*, for the wheels and the weight.
"""

from collections.abc import Sequence
from math import atan2, degrees

from stickback.pictures import canvas
from stickback.pictures.canvas import LINE, THIN, Element, Point, circle, line, part, shape, step, times, turned

STATION = {"propeller": -29, "cowling": -25, "wheels": 0, "weight": 12, "eye": 23, "tailwheel": 111}
HEIGHT = {"propeller": 29, "cowling": 35, "weight": 34, "eye": 43.5, "tailwheel": 21, "wing": 55}
COWLING_HALF, TRACK_HALF, DISC = 9, 20, 20.5  # half the width of the cowling and between the wheels; radius of the disc
MIDDLE = 34  # station of the middle of the wing seen from above, around which it is placed
INCIDENCE = 4.5  # of the wing's chord to the body, degrees; larger than life, so that it can be seen
THREE_POINT = degrees(atan2(HEIGHT["tailwheel"], STATION["tailwheel"]))  # nose up, where the tailwheel touches too
LEADING, CHORD = (1, -HEIGHT["wing"]), 35  # the wing's leading edge from the side, and its chord
BIG_WHEEL, SMALL_WHEEL = 7, 3.5

# Half of it from nose to tail, in half spans around the middle of the wing: x to its right, y to its tail.
_HALF = ((0, -0.62), (0.09, -0.56), (0.11, -0.32), (0.95, -0.3), (1, -0.22), (1, -0.06), (0.94, -0.02), (0.11, 0.02))
_TAIL = ((0.05, 0.62), (0.36, 0.64), (0.39, 0.71), (0.36, 0.79), (0.04, 0.81), (0, 0.9))

# From the side, level, nose to the left, around the point where its main wheels touch the ground.
BODY = (
    (-26, -25), (-28, -29), (-25, -35), (-4, -38), (5, -53.5), (39, -51), (49, -44), (100, -33), (110, -49),
    (118, -52), (124, -45), (123, -30), (114, -26), (46, -20), (-17, -19),
)  # fmt: skip
_WINDOW = ((0, -39.5), (7, -51), (35, -49), (39, -40))
_HINGE = (115, -51), (114, -27)
_TAILPLANE = (101, -35), (124, -33.5)
_STRUT = (14, -22), (23, -53)
_SECTION = ((0, 0), (0.05, -0.05), (0.2, -0.09), (0.45, -0.08), (1, 0), (0.7, 0.01), (0.3, 0.03), (0.05, 0.03))

# Half of it from behind, around the ground under its middle.
_BEHIND = ((0, -54), (8, -52), (10, -40), (8, -24), (0, -20))
_WING_BEHIND = ((0, -58), (96, -60), (100, -58.5), (96, -56.5), (0, -54))


def _mirrored(half: Sequence[Point]) -> list[Point]:
    """A half with its other half, where the first and the last point lie on the line between them."""
    return [*half, *((-x, y) for x, y in half[-2:0:-1])]


def spot(at: Point, half_span: float, heading: float, station: float, beside: float = 0) -> Point:
    """A place of an aeroplane seen from above, by its station and how far to the right of its middle it lies."""
    return turned(at, times((beside, station - MIDDLE), half_span / 100), heading)


def above(at: Point, half_span: float, heading: float = 0) -> Element:
    """An aeroplane from above; `at` is the middle of its wing."""
    placed = [turned(at, times(each, half_span), heading) for each in _mirrored(_HALF + _TAIL)]
    blades = [turned(at, times((x, -0.66), half_span), heading) for x in (-0.2, 0.2)]
    return part("aeroplane", shape(*placed, fill=0.15, width=THIN), line(*blades))


def tyres(at: Point, half_span: float, heading: float, mains: float, third: float) -> list[Element]:
    """Its main wheels and its third wheel from above, by their stations; they show through the aeroplane."""
    drawn = []
    for station, beside, long in ((mains, -TRACK_HALF, 9), (mains, TRACK_HALF, 9), (third, 0, 5)):
        ends = (spot(at, half_span, heading, station + far, beside) for far in (-long, long))
        drawn.append(line(*ends, width=5))
    return drawn


def weight(at: Point, size: float = 6) -> Element:
    """The centre of gravity: a solid dot in a ring."""
    return part("weight", circle(at, size, width=THIN), circle(at, size * 0.6, fill=1, width=THIN))


def put(wheels: Point, scale: float, pitch: float, *points: Point) -> list[Point]:
    """Places of an aeroplane from the side; `wheels`: where its main wheels stand; `pitch`: nose up, degrees."""
    return [turned(wheels, times(point, scale), pitch) for point in points]


def chord(pitch: float) -> float:
    """The angle between the wing's chord and the ground, degrees."""
    return pitch + INCIDENCE


def side(wheels: Point, scale: float, pitch: float) -> list[Element]:
    """An aeroplane from the side, nose to the left; `scale`: of a hundredth of half its span."""

    def placed(*points: Point) -> list[Point]:
        return put(wheels, scale, pitch, *points)

    (edge,) = placed(LEADING)
    section = [turned(edge, times(each, CHORD * scale), chord(pitch)) for each in _SECTION]
    hub, tail = (step(each, (0, -radius * scale)) for each, radius in _contacts(wheels, scale, pitch))
    disc = (STATION["propeller"], -HEIGHT["propeller"] - DISC), (STATION["propeller"], -HEIGHT["propeller"] + DISC)
    front, back, leg = placed((-4, -20), (9, -20), (116, -28))
    big = scale > 1
    return [
        part(
            "body",
            shape(*placed(*BODY), fill=0.12, width=LINE if big else THIN),
            shape(*placed(*_WINDOW), width=THIN),
            line(*placed(*_HINGE), width=THIN),
            line(*placed(*_TAILPLANE), width=4 if big else 3),
        ),
        part("propeller", line(*placed(*disc), width=3)),
        part("wing", line(*placed(*_STRUT), width=THIN), shape(*section, fill=0.7, width=THIN)),
        part("main-wheel", line(front, hub, back), circle(hub, BIG_WHEEL * scale, fill=0.3)),
        part("tailwheel", line(leg, tail), circle(tail, SMALL_WHEEL * scale, fill=0.6)),
    ]


def _contacts(wheels: Point, scale: float, pitch: float) -> list[tuple[Point, float]]:
    """Where its main wheels and its tailwheel are lowest, and their radii."""
    (tail,) = put(wheels, scale, pitch, (STATION["tailwheel"], -HEIGHT["tailwheel"]))
    return [(wheels, BIG_WHEEL), (tail, SMALL_WHEEL)]


def behind(ground: Point, scale: float, bank: float, side_down: int) -> tuple[list[Element], dict[str, Point]]:
    """An aeroplane from behind in a slip, standing on one main wheel, and some of its places.

    Args:
        ground: where the lower main wheel touches; `scale`: of a hundredth of half its span.
        bank: degrees; `side_down`: 1 when its right wing is the lower one, else -1.
    """
    at = side_down * TRACK_HALF

    def placed(*points: Point) -> list[Point]:
        return [turned(ground, times((x - at, y), scale), side_down * bank) for x, y in points]

    legs = [line(*placed((x * 0.4, -24), (x, -6)), width=LINE) for x in (-TRACK_HALF, TRACK_HALF)]
    wheels = [
        part("wheel", shape(*placed((x - 2.5, -13), (x + 2.5, -13), (x + 2.5, 0), (x - 2.5, 0)), fill=0.6, width=THIN))
        for x in (-TRACK_HALF, TRACK_HALF)
    ]
    up, down = ([(x * sign, -57 - 7 * rise) for x in (55, 90)] for sign, rise in ((side_down, 1), (-side_down, -1)))
    ailerons = [
        part(name, shape(*placed((edge[0][0], -57), (edge[1][0], -57), *reversed(edge)), fill=0.7, width=THIN))
        for name, edge in (("aileron-up", up), ("aileron-down", down))
    ]
    away = -side_down * 9
    rudder = placed((0, -47), (0, -74), (away, -71), (away, -44))
    drawn = [
        part("wing", shape(*placed(*_mirrored(_WING_BEHIND)), fill=0.3, width=THIN)),
        part("body", shape(*placed(*_mirrored(_BEHIND)), fill=0.15, width=THIN)),
        line(*placed((-32, -42), (32, -42)), width=3),
        part("fin", line(*placed((0, -40), (0, -74)), width=3)),
        part("rudder", shape(*rudder, fill=0.7, width=THIN)),
        *legs, *wheels, *ailerons,
    ]  # fmt: skip
    names = {"wing": (0, -57), "low": (side_down * 100, -58), "high": (-side_down * 100, -58), "rudder": (away, -60)}
    return drawn, {name: placed(point)[0] for name, point in names.items()}


def wind(tip: Point, comes_from: float, count: int = 1, length: float = 40, apart: float = 17) -> Element:
    """The wind as arrows side by side that come from a direction; `tip`: where the middle of them ends."""
    drawn = []
    for each in range(count):
        beside = canvas.toward(comes_from + 90, (each - (count - 1) / 2) * apart)
        start = step(tip, canvas.toward(comes_from, length), beside)
        drawn.append(canvas.arrow(start, step(tip, beside), width=3, size=13))
    return part("wind", *drawn)


def force(start: Point, tip: Point) -> Element:
    """A force: the heaviest of the arrows."""
    return canvas.arrow(start, tip, width=canvas.HEAVY, size=14)


def turn(at: Point, far: float, start: float, end: float) -> Element:
    """A curved arrow around a place, from one compass direction to another: what turns."""
    points = [step(at, canvas.toward(start + (end - start) * each / 12, far)) for each in range(13)]
    before, tip = points[-3], points[-1]
    head = canvas.head(tip, (tip[0] - before[0], tip[1] - before[1]))
    return part("turn", line(*points[:-1]), head)
