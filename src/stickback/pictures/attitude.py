"""Scene `attitude`: a tailwheel aeroplane on the ground from the side, and the angle at which the air meets its wing.

Words: `attitude`: three-point, level, tail-high, or `all` under one another. The aeroplane is invented and its angles
are drawn larger than life: what the picture tells is their order, not their size.

Source: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Angle of Attack*.
"""

from math import atan2, cos, degrees, radians, sin

from stickback.pictures import canvas
from stickback.pictures.canvas import DASHES, SMALL, TEXT, THIN, Element, Point, circle, label, line, part, shape, step
from stickback.pictures.scene import Drawing, Scene, Words, one_of

_ALL = "all"
_ROW, _GROUND, _MAIN = 196, 182, 146  # height of a picture; in it, the ground; where the main wheels stand on it

# The aeroplane level, nose to the left, around the point where its main wheels touch the ground.
_BODY = (
    (-62, -50), (-66, -62), (-60, -76), (-24, -84), (-9, -107), (46, -107), (64, -90), (152, -70), (168, -106),
    (182, -110), (192, -96), (190, -62), (176, -54), (60, -44), (-48, -42),
)  # fmt: skip
_WINDOW = ((-16, -86), (-5, -102), (38, -102), (46, -86))
_WING = ((-26, -120), (-22, -125), (-6, -126), (20, -119), (56, -107), (20, -111), (-10, -114), (-22, -116))
_LEADING, _TRAILING = (-26, -120), (56, -107)
_TAILPLANE = ((150, -64), (190, -62))
_PROPELLER = ((-67, -104), (-67, -20))
_GEAR = ((-8, -44), (14, -44))
_TAILWHEEL, _SMALL_WHEEL, _BIG_WHEEL = (170, -33), 5, 13
_CHORD = 96  # how far the chord is drawn ahead of the wing

THREE_POINT = degrees(atan2(-_TAILWHEEL[1], _TAILWHEEL[0]))  # nose up, where the tailwheel touches too
PITCH = {"three-point": THREE_POINT, "level": 0.0, "tail-high": -5.0}
INCIDENCE = degrees(atan2(_TRAILING[1] - _LEADING[1], _TRAILING[0] - _LEADING[0]))
_SAID = {
    "three-point": ("large", "the main wheels and the tailwheel are on the ground and the nose is high"),
    "level": ("small", "the tailwheel is off the ground and the body lies level"),
    "tail-high": ("very small", "the tail is higher than level and the propeller comes near the ground"),
}


def angle_of_attack(attitude: str) -> float:
    """The angle between the wing's chord and the air, which comes along the ground; degrees, as drawn."""
    return PITCH[attitude] + INCIDENCE


def _names(words: Words) -> tuple[str, ...]:
    return tuple(PITCH) if words["attitude"] == _ALL else (words["attitude"],)


def sentence(words: Words) -> str:
    """What the picture shows."""
    told = ". ".join(
        f"{name.capitalize()}: {_SAID[name][1]}; the angle of attack is {_SAID[name][0]}" for name in _names(words)
    )
    return f"A tailwheel aeroplane from the side, its wheels on level ground, the air coming along it. {told}."


def draw(words: Words) -> Drawing:
    """The picture."""
    names = _names(words)
    drawn = [part(name, *_row(name, _ROW * row)) for row, name in enumerate(names)]
    title = "Attitudes of a tailwheel aeroplane" + ("" if len(names) > 1 else f": {names[0]}")
    return Drawing(_ROW * len(names), title, drawn)


def _row(name: str, top: float) -> list[Element]:
    ground = top + _GROUND
    texts = [label((348, top + 22), name, TEXT, anchor="end", bold=True)]
    earth = part("ground", line((8, ground), (352, ground), width=3))
    return [*texts, earth, *_aeroplane(PITCH[name], (_MAIN, ground)), *_air(name, (_MAIN, ground))]


def _aeroplane(pitch: float, wheels: Point) -> list[Element]:
    def put(*points: Point) -> list[Point]:
        return [canvas.turned(wheels, point, pitch) for point in points]

    hub = step(wheels, (0, -_BIG_WHEEL))
    front, back = put(*_GEAR)
    tail = step(put(_TAILWHEEL)[0], (0, -_SMALL_WHEEL))
    return [
        part(
            "body", shape(*put(*_BODY), fill=0.12), shape(*put(*_WINDOW), width=THIN), line(*put(*_TAILPLANE), width=4)
        ),
        part("propeller", line(*put(*_PROPELLER), width=3)),
        part("wing", shape(*put(*_WING), fill=0.5)),
        part("main-wheel", line(front, hub, back), circle(hub, _BIG_WHEEL, fill=0.3), circle(hub, 3, fill=1)),
        part("tailwheel", line(*put((178, -55)), tail), circle(tail, _SMALL_WHEEL, fill=0.6)),
    ]


def _air(name: str, wheels: Point) -> list[Element]:
    """The air, the chord drawn on ahead of the wing, and the angle between them."""
    at = canvas.turned(wheels, _LEADING, PITCH[name])
    angle = angle_of_attack(name)
    behind, ahead = (canvas.turned(at, (far, 0), angle) for far in (86, -_CHORD))
    far = 0.86 * _CHORD
    arc = [step(at, (-far * cos(radians(each)), -far * sin(radians(each)))) for each in (0, angle / 2, angle)]
    flow = [canvas.arrow((8, wheels[1] + y), (62, wheels[1] + y), solid=False, size=9) for y in (-66, -48, -30)]
    return [
        part("chord", line(behind, ahead, width=THIN, dashes=DASHES)),
        part("level-air", line(at, step(at, (-_CHORD - 8, 0)), width=THIN)),
        part("angle", line(*arc, width=3)),
        label((8, ahead[1] - 9), f"angle of attack: {_SAID[name][0]}", SMALL, anchor="start"),
        part("air", *flow, label((8, wheels[1] - 76), "air", anchor="start")),
    ]


SCENE = Scene({"attitude": one_of(*PITCH, _ALL)}, sentence, draw)
