"""Scene `attitude`: a tailwheel aeroplane on the ground from the side, and the angle at which the air meets its wing.

Words: `attitude`: three-point, level, tail-high, or `all` under one another. The wing's angle to the body is drawn
larger than life: what the picture tells is the order of the angles, not their size.

Source: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Angle of Attack*.
"""

from math import cos, radians, sin

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, SMALL, TEXT, THIN, Element, Point, label, line, part, step
from stickback.pictures.scene import Drawing, Scene, Words, one_of

_ALL = "all"
_ROW, _GROUND, _MAIN = 172, 158, 150  # height of a picture; in it, the ground; where the main wheels stand on it
_SCALE, _ARM = 1.6, 88  # of the aeroplane; how far the chord is drawn ahead of the wing

PITCH = {"three-point": aeroplane.THREE_POINT, "level": 0.0, "tail-high": -3.5}
_SAID = {
    "three-point": ("large", "the main wheels and the tailwheel are on the ground and the nose is high"),
    "level": ("small", "the tailwheel is off the ground and the body lies level"),
    "tail-high": ("very small", "the tail is higher than level and the propeller comes near the ground"),
}


def angle_of_attack(attitude: str) -> float:
    """The angle between the wing's chord and the air, which comes along the ground; degrees, as drawn."""
    return aeroplane.chord(PITCH[attitude])


def _names(words: Words) -> tuple[str, ...]:
    return tuple(PITCH) if words["attitude"] == _ALL else (words["attitude"],)


def sentence(words: Words) -> str:
    """What the picture shows."""
    told = ". ".join(
        f"{name.capitalize()}: {_SAID[name][1]}; the angle of attack is {_SAID[name][0]}" for name in _names(words)
    )
    return (
        "A tailwheel aeroplane from the side, its wheels on level ground, its centre of gravity (CG) a little behind "
        f"the main wheels, the air coming along the ground. {told}."
    )


def draw(words: Words) -> Drawing:
    """The picture."""
    names = _names(words)
    drawn = [part(name, *_row(name, _ROW * row)) for row, name in enumerate(names)]
    title = "Attitudes of a tailwheel aeroplane" + ("" if len(names) > 1 else f": {names[0]}")
    return Drawing(_ROW * len(names), title, drawn)


def _row(name: str, top: float) -> list[Element]:
    wheels = (_MAIN, top + _GROUND)
    texts = [label((352, top + 22), name, TEXT, anchor="end", bold=True)]
    earth = part("ground", line((8, wheels[1]), (352, wheels[1]), width=3))
    drawn = aeroplane.side(wheels, _SCALE, PITCH[name])
    return [*texts, earth, *drawn, *_weight(name, wheels), *_air(name, wheels)]


def _weight(name: str, wheels: Point) -> list[Element]:
    """The centre of gravity, and the plumb line that falls behind the wheels."""
    at = aeroplane.STATION["weight"], -aeroplane.HEIGHT["weight"]
    (middle,) = aeroplane.put(wheels, _SCALE, PITCH[name], at)
    plumb = line(middle, (middle[0], wheels[1]), width=THIN, dashes=DASHES)
    return [plumb, aeroplane.weight(middle), label((middle[0] + 6, wheels[1] - 6), "CG", anchor="start", bold=True)]


def _air(name: str, wheels: Point) -> list[Element]:
    """The air, the chord drawn on ahead of the wing, and the angle between them."""
    (at,) = aeroplane.put(wheels, _SCALE, PITCH[name], aeroplane.LEADING)
    angle = angle_of_attack(name)
    behind, ahead = (canvas.turned(at, (far, 0), angle) for far in (aeroplane.CHORD * _SCALE, -_ARM))
    far = 0.86 * _ARM
    arc = [step(at, (-far * cos(radians(each)), -far * sin(radians(each)))) for each in (0, angle / 2, angle)]
    flow = [canvas.arrow((8, wheels[1] + y), (62, wheels[1] + y), solid=False, size=9) for y in (-52, -36, -20)]
    return [
        part("chord", line(behind, ahead, width=THIN, dashes=DASHES)),
        part("level-air", line(at, step(at, (-_ARM - 8, 0)), width=THIN)),
        part("angle", line(*arc, width=3)),
        label((8, ahead[1] - 9), f"angle of attack: {_SAID[name][0]}", SMALL, anchor="start"),
        part("air", *flow, label((8, wheels[1] - 60), "air", anchor="start")),
    ]


SCENE = Scene({"attitude": one_of(*PITCH, _ALL)}, sentence, draw)
