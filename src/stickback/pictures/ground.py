"""Scenes of the aeroplane on the ground, from above: `swerve`, `weathercock`, `weave`.

Words: `swerve`: `show: grows` (the forces, with the weight ahead of the main wheels and behind them) or `stopped` (the
feet, from the swing to straight), `nose`: the side it swings to. `weathercock`: `wind_from`: left or right. `weave`:
`nose`: left, right, or `both` beside one another.

Sources: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Instability*, *Ground Loop*, *Visibility* and
*Weathervaning*; chapter 9, *Ground Loop*, for the nosewheel. Past which side to look is common practice.
"""

from math import atan2, degrees

from stickback.pictures import aeroplane, canvas
from stickback.pictures.aeroplane import COWLING_HALF, STATION, spot
from stickback.pictures.canvas import DASHES, TEXT, THIN, Element, Point, circle, label, line, part, shape, step, toward
from stickback.pictures.scene import Drawing, Scene, Words, a_side, one_of, sign
from stickback.trade import yaw

_SWUNG = 24  # how far the nose points aside in a swerve that grows, degrees
_NOSEWHEEL = {"mains": STATION["weight"] + 12, "third": STATION["weight"] - 32}
_TAILWHEEL = {"mains": STATION["wheels"], "third": STATION["tailwheel"]}
_STAGES = (  # how far it has come aside, where the nose points, and the foot: 1 the one against the swing
    (0, 0, 0, ("1 straight", "feet level")),
    (4, 14, 1, ("2 nose swings {nose}", "firm {foot} rudder at", "once; {foot} brake too", "if the swerve is strong")),
    (13, 8, 0, ("3 it comes back", "feet level again")),
    (18, 0, 0, ("4 straight", "ready for the next")),
)


# swerve


def _swerve(words: Words) -> Drawing:
    way = sign(words["nose"])
    if words["show"] == "grows":
        return Drawing(330, "Why a swerve grows", [*_wheels_and_weight(90, way, True), *_wheels_and_weight(270, way)])
    return Drawing(376, "How a swerve is stopped", _stopped(way, words["nose"]))


def _wheels_and_weight(x: float, way: int, nosewheel: bool = False) -> list[Element]:
    """An aeroplane whose nose has swung aside while its weight goes straight on, and what that does."""
    at, span, heading = (x - 4 * way, 178), 74, way * _SWUNG
    wheels = _NOSEWHEEL if nosewheel else _TAILWHEEL
    name, *told = (
        ("nosewheel", "tyres behind CG:", "nose comes back")
        if nosewheel
        else ("tailwheel", "tyres ahead of CG:", "nose goes further")
    )
    middle, axle = (spot(at, span, heading, station) for station in (STATION["weight"], wheels["mains"]))
    pushed = step(axle, toward(heading + 90 * way, 16))
    bearings = (heading + 10 * way, heading - 18 * way) if nosewheel else (heading, heading + 36 * way)
    tip = step(middle, (0, -112))
    return [
        part(
            name,
            label((x, 20), name, TEXT, bold=True),
            aeroplane.above(at, span, heading),
            *aeroplane.tyres(at, span, heading, **wheels),
            part("axle", line(*(spot(at, span, heading, wheels["mains"], far) for far in (-20, 20)), width=THIN)),
            part("momentum", aeroplane.force(middle, tip), label((x, 46), "momentum")),
            part("tyres", aeroplane.force(pushed, step(pushed, toward(heading + 90 * way, 46)))),
            aeroplane.weight(middle),
            aeroplane.turn(middle, 84, *bearings),
            canvas.lines((x + 46 * way, 240), "push on", "the tyres"),
            line(step(middle, (-way * 8, 4)), step(middle, (-way * 40, 22)), width=THIN),
            label(step(middle, (-way * 50, 31)), "CG", bold=True),
            canvas.lines((x, 296), told[0], told[1], bold=True),
        )
    ]


def _stopped(way: int, nose: str) -> list[Element]:
    """From below to above: the swing, the foot against it, the feet level as soon as the nose answers."""
    middle, foot = 64, yaw.opposite(yaw.side(way))
    ys = [326 - 86 * each for each in range(len(_STAGES))]
    spots = [(middle + way * aside, y) for (aside, *_), y in zip(_STAGES, ys, strict=True)]
    edges = [line((x, 10), (x, 366)) for x in (8, 120)]
    dashes = line((middle, 366), (middle, 10), width=THIN, dashes="14 10")
    drawn = [part("runway", *edges, dashes), part("track", line((middle, 366), *spots, (spots[-1][0], 12), width=THIN))]
    for at, (_, swung, pressed, told) in zip(spots, _STAGES, strict=True):
        words = [text.format(nose=nose, foot=foot) for text in told]
        drawn.append(aeroplane.above(at, 34, way * swung))
        drawn.append(_pedals((146, at[1]), -way * pressed))
        first = canvas.lines((174, at[1] - 8 * (len(words) - 1)), words[0], anchor="start", bold=True)
        rest = canvas.lines((174, at[1] + 8), *words[1:], anchor="start")
        drawn.append(part("stage", first, rest))
    return drawn


def _pedals(at: Point, pressed: int) -> Element:
    """The two pedals from above; the pressed one is ahead and solid. `pressed`: -1 left, 1 right, 0 neither."""
    bars = []
    for side in (-1, 1):
        x, y, down = at[0] + 10 * side, at[1] - 7 * side * pressed, side == pressed
        corners = [(x - 7, y - 9), (x + 7, y - 9), (x + 7, y + 9), (x - 7, y + 9)]
        bars.append(part("pedal", shape(*corners, fill=1 if down else 0.1, width=THIN)))
    return part("pedals", *bars)


def _swerve_sentence(words: Words) -> str:
    nose, foot = words["nose"], yaw.opposite(yaw.side(sign(words["nose"])))
    if words["show"] == "stopped":
        return (
            f"A swerve on the runway from above, in four steps. Straight, feet level. The nose swings {nose}: firm "
            f"{foot} rudder at once, {foot} brake too if the swerve is strong. The nose begins to come back: feet "
            "level again. Straight, and ready for the next swing."
        )
    return (
        f"Two aeroplanes from above, each with its nose swung {nose} while momentum carries its centre of gravity (CG) "
        f"straight on; the ground pushes the main tyres to the {nose}. Nosewheel: the tyres are behind the CG and the "
        "nose comes back into line. Tailwheel: the tyres are ahead of the CG and the nose goes further out."
    )


SWERVE = Scene(
    {
        "show": one_of("grows", "stopped", default="grows"),
        "nose": a_side(yaw.side(1)),
    },
    _swerve_sentence,
    _swerve,
)

# weathercock


def _weathercock(words: Words) -> Drawing:
    way = sign(words["wind_from"])  # towards the wind
    wheels = (112, 132)
    at, span = (180, 296), 78
    tail = spot(at, span, 0, 112, -way * 5)
    pivot = spot(at, span, 0, STATION["wheels"])
    told = f"the nose turns {words['wind_from']}, into the wind;"
    foot = yaw.opposite(yaw.side(way))
    drawn = [
        *_side_areas(wheels),
        aeroplane.above(at, span),
        *aeroplane.tyres(at, span, 0, **_TAILWHEEL),
        part("pivot", circle(pivot, 5, fill=1)),
        aeroplane.wind((180 + way * 62, tail[1] - 30), 90 * way, 3, 70),
        label((180 + way * 97, tail[1] + 8), "wind", bold=True),
        part("push", aeroplane.force(tail, step(tail, (-way * 62, 0)))),
        canvas.lines((180 - way * 100, tail[1] + 22), "the push on", "the tail"),
        aeroplane.turn(pivot, 64, 8 * way, 62 * way),
        canvas.lines((180, 420), told, f"{foot} rudder holds it", bold=True),
    ]
    return Drawing(448, "Why the nose wants the wind", drawn)


def _side_areas(wheels: Point) -> list[Element]:
    """The aeroplane from the side; what lies behind the main wheels is darker than what lies ahead of them."""
    scale, pitch = 1.5, aeroplane.THREE_POINT
    around = aeroplane.put(wheels, scale, pitch, *aeroplane.BODY)
    areas = {"ahead": cut(around, wheels[0], -1), "behind": cut(around, wheels[0], 1)}
    shares = [shape(*areas[name], fill=fill, width=THIN) for name, fill in (("ahead", 0), ("behind", 0.45))]
    return [
        *(part(name, drawn) for name, drawn in zip(areas, shares, strict=True)),
        *aeroplane.side(wheels, scale, pitch)[1:],
        line((8, wheels[1]), (352, wheels[1]), width=3),
        line((wheels[0], wheels[1] + 8), (wheels[0], 14), width=THIN, dashes=DASHES),
        canvas.lines((wheels[0] - 30, 36), "ahead of", "the wheels", anchor="end"),
        canvas.lines((wheels[0] + 150, 36), "behind the wheels:", "more side for the wind"),
    ]


def cut(around: list[Point], x: float, way: int) -> list[Point]:
    """The part of an outline that lies to the right (1) or to the left (-1) of an upright line."""
    kept: list[Point] = []
    for (x1, y1), (x2, y2) in zip(around, [*around[1:], around[0]], strict=True):
        if (x1 - x) * way >= 0:
            kept.append((x1, y1))
        if (x1 - x) * (x2 - x) < 0:
            kept.append((x, y1 + (y2 - y1) * (x - x1) / (x2 - x1)))
    return kept


def _weathercock_sentence(words: Words) -> str:
    side = words["wind_from"]
    foot = yaw.opposite(yaw.side(sign(side)))
    return (
        "The aeroplane from the side: more of its side lies behind the main wheels than ahead of them. From above, "
        f"with the wind from the {side}: the wind pushes the tail {foot}, and the nose turns {side}, into the wind, "
        f"about the main wheels; {foot} rudder holds it."
    )


WEATHERCOCK = Scene({"wind_from": a_side()}, _weathercock_sentence, _weathercock)

# weave

_BOTH = "both"


def hidden() -> float:
    """How far to each side of the nose the cowling hides the ground, seen from the eye; degrees."""
    return degrees(atan2(COWLING_HALF, STATION["eye"] - STATION["cowling"]))


def _swings(words: Words) -> list[int]:
    return [-1, 1] if words["nose"] == _BOTH else [sign(words["nose"])]


def _weave(words: Words) -> Drawing:
    swings = _swings(words)
    drawn = [label((180, 20), "shaded: what the cowling hides", TEXT)]
    for way in swings:
        drawn += _swing(180 + 90 * way * (len(swings) - 1), way)
    return Drawing(330, "Where to look while weaving", drawn)


def _swing(x: float, way: int) -> list[Element]:
    """One swing of the weave: the hidden strip goes with the nose, the way ahead comes out on the other side."""
    span, heading, at = 56, way * 26, (x, 208)
    eye = spot(at, span, heading, STATION["eye"])
    corners = [spot(at, span, heading, STATION["cowling"], beside) for beside in (-COWLING_HALF, COWLING_HALF)]
    far = [step(eye, toward(heading + side * hidden(), 116)) for side in (1, -1)]
    look = step(eye, toward(-3 * way, 158))
    swung, past = yaw.side(way), yaw.opposite(yaw.side(way))
    return [
        part(
            "weave",
            *(line((x + edge, 40), (x + edge, 274), dashes=DASHES, width=THIN) for edge in (-72, 72)),
            part("hidden", shape(*corners, *far, fill=0.35, width=THIN)),
            aeroplane.above(at, span, heading),
            part("eye", circle(eye, 4, fill=1)),
            part("look", canvas.arrow(eye, look, width=3, dashes=DASHES)),
            canvas.lines((x, 300), f"nose swung {swung}:", f"look past the {past}", bold=True),
        )
    ]


def _weave_sentence(words: Words) -> str:
    told = " ".join(
        f"With the nose swung {yaw.side(way)}, the strip that the cowling hides lies to the {yaw.side(way)} of the way "
        f"ahead, and the eye sees along the taxiway past the {yaw.opposite(yaw.side(way))} side of the cowling."
        for way in _swings(words)
    )
    return f"An aeroplane on a taxiway, from above. {told}"


WEAVE = Scene({"nose": one_of(yaw.side(-1), yaw.side(1), _BOTH, default=_BOTH)}, _weave_sentence, _weave)
