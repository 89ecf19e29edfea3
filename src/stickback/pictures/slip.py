"""Scene `slip`: a crosswind landing, the wing-low slip from behind and, from above, beside the crab.

Words: `wind_from`: left or right. The bank and the crab are larger than a usual wind asks for, so that they are
seen.

Source: FAA-H-8083-3C (Airplane Flying Handbook), chapter 9, *Crosswind Approach and Landing*; chapter 14,
*Crosswinds*.
"""

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, TEXT, Element, label, line, part
from stickback.pictures.scene import Drawing, Scene, Words, a_side, sign
from stickback.trade import yaw

BANK, CRAB = 9, 20  # degrees
_GROUND, _SCALE = 196, 1.32
_FROM_BEHIND = "wing low, from behind"


def draw(words: Words) -> Drawing:
    """The picture."""
    side = words["wind_from"]
    way = sign(side)
    foot = yaw.opposite(yaw.side(way))
    drawn = [*_behind(way, side, foot), *_above(90, way, crab=True), *_above(270, way, crab=False)]
    return Drawing(490, "A crosswind landing", drawn)


def _behind(way: int, side: str, foot: str) -> list[Element]:
    """The upwind wheel on the ground, the wing on that side low, the ailerons and the rudder as they are held."""
    ground = (180 + way * 22, _GROUND)
    drawn, spots = aeroplane.behind(ground, _SCALE, BANK, way)
    low, high, rudder = spots["low"], spots["high"], spots["rudder"]
    return [
        label((180, 20), _FROM_BEHIND, TEXT, bold=True),
        part("behind", line((8, _GROUND), (352, _GROUND), width=3), *drawn),
        aeroplane.wind((180 + way * 124, 64), 90 * way, 3, 46),
        label((180 + way * 148, 34), "wind", bold=True),
        canvas.lines((180 + way * 116, low[1] + 34), "upwind wing low:", f"stick {side}"),
        canvas.lines((rudder[0] - way * 66, high[1] - 16), f"{foot} rudder"),
        canvas.lines((ground[0] + way * 4, _GROUND + 20), f"the {side}, upwind wheel touches first"),
    ]


def _above(x: float, way: int, crab: bool) -> list[Element]:
    """An aeroplane over the line of the runway, which is the way it goes; what differs is where its nose points."""
    at, heading = (x, 362), way * CRAB if crab else 0
    name = "crab" if crab else "wing-low"
    told = ("nose into wind, wings", "level: straighten it", "before it touches") if crab else (
        "nose along the runway,", "the bank stops the", "drift: touch like this",
    )  # fmt: skip
    edges = [line((x + far, 272), (x + far, 418)) for far in (-64, 64)]
    return [
        part(
            name,
            label((x, 260), name, TEXT, bold=True),
            *edges,
            part("track", canvas.arrow((x, 418), (x, 274), dashes=DASHES, solid=False)),
            aeroplane.above(at, 46, heading),
            aeroplane.wind((x + way * 22, 298), 90 * way, 2, 36),
            canvas.lines((x, 456), *told),
        )
    ]


def sentence(words: Words) -> str:
    """What the picture shows."""
    side = words["wind_from"]
    foot = yaw.opposite(yaw.side(sign(side)))
    return (
        f"A crosswind landing, the wind from the {side}. From behind, the wing-low slip: the {side} wing, upwind, is "
        f"low with the stick to the {side}, {foot} rudder is held, and the {side} main wheel touches first. From "
        "above, two ways to come down along the runway. Crab: the nose points into the wind, wings level, and is "
        "straightened before it touches. Wing-low: the nose points along the runway, and the bank stops the drift."
    )


SCENE = Scene({"wind_from": a_side()}, sentence, draw)
