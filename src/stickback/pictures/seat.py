"""Scenes from the seat: `view` over the nose, and `pedals`, what the feet do there.

Words: `view`: `tail`: up, down, or `both` beside one another; the picture ahead as a camera at the pilot's eye
would see it. `pedals`: `brakes`: toe, heel, or `all`.

Sources: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Visibility*, *Taxiing* and *After-Landing Roll*. That
the two edges of the runway remain to be looked at is common practice.
"""

from math import atan2, cos, degrees, radians, sin, tan

from stickback.pictures import aeroplane, canvas
from stickback.pictures.aeroplane import COWLING_HALF, HEIGHT, STATION, THREE_POINT
from stickback.pictures.canvas import TEXT, THIN, Element, Point, circle, label, line, part, shape, step
from stickback.pictures.scene import Drawing, Scene, Words, one_of

# view

_ACROSS, _FRAME, _FAR = 78, 120, 150  # half the frame, its height; distance of the picture from the eye
_RUNWAY_HALF = 105  # half the runway's width, in hundredths of half a span
_PITCHES = {"tail up": 0.0, "tail down": THREE_POINT}
_SEEN = {"tail up": ("the runway ahead", "is in sight"), "tail down": ("the middle is hidden,", "an edge on each side")}
_LOOKS = {
    "tail up": "With the tail up the horizon lies well above the cowling and the runway ahead is in sight.",
    "tail down": (
        "With the tail down the cowling reaches up to the horizon and hides the middle of the runway; one edge of it "
        "shows on each side of the cowling."
    ),
}
_BOTH = "both"


def cowling() -> float:
    """How far below the eye's own level the top of the cowling is seen when the body is level; degrees."""
    return degrees(atan2(HEIGHT["eye"] - HEIGHT["cowling"], STATION["eye"] - STATION["cowling"]))


def _down(angle: float) -> float:
    """How far down the picture a direction below the aeroplane's own level is seen."""
    return _FAR * tan(radians(angle))


def _tails(words: Words) -> list[str]:
    return [f"tail {each}" for each in ((words["tail"],) if words["tail"] != _BOTH else ("up", "down"))]


def _view(words: Words) -> Drawing:
    names = _tails(words)
    places = (90, 270) if len(names) > 1 else (180,)
    drawn = [each for x, name in zip(places, names, strict=True) for each in _windscreen(x, name)]
    return Drawing(212, "The picture over the nose", drawn)


def _windscreen(x: float, name: str) -> list[Element]:
    """The aeroplane stays in its frame; the horizon, and the runway that ends in it, sink as the nose rises."""
    top, low = 32, 32 + _FRAME
    eye = 68
    horizon = eye + _down(_PITCHES[name])
    frame = ((x - _ACROSS, top), (x + _ACROSS, top), (x + _ACROSS, low), (x - _ACROSS, low))
    slope = HEIGHT["eye"] / _RUNWAY_HALF  # of a runway's edge in the picture
    hood = _cowling(x, eye + _down(cowling()), low)
    far = min(_ACROSS, (low - horizon) / slope)
    edges = [((x + side * far, horizon + slope * far), (x, horizon)) for side in (-1, 1)]
    level = [((x + side * _ACROSS, horizon), (x, horizon)) for side in (-1, 1)]
    told = _SEEN[name]
    return [
        part(
            "view",
            label((x, 20), name, TEXT, bold=True),
            part("runway", *(line(*_until(hood, *edge), width=3) for edge in edges)),
            part("horizon", *(line(*_until(hood, *half), width=THIN) for half in level)),
            part("cowling", shape(*hood, fill=0.5)),
            shape(*frame),
            canvas.lines((x, low + 28), *told),
        )
    ]


def _cowling(x: float, top: float, low: float) -> list[Point]:
    """The cowling, as wide at its top as the angle at which the eye sees it."""
    half = _FAR * COWLING_HALF / (STATION["eye"] - STATION["cowling"])
    left = (x - half * 1.9, low), (x - half, top + 12), (x - half * 0.7, top + 3), (x - half * 0.3, top)
    return [*left, *((2 * x - at, y) for at, y in reversed(left))]


def _until(hood: list[Point], start: Point, end: Point) -> tuple[Point, Point]:
    """A line from outside as far as the cowling, which hides the rest."""
    share = next((each / 200 for each in range(201) if _within(hood, canvas.between(start, end, each / 200))), 1)
    return start, canvas.between(start, end, share)


def _within(hood: list[Point], at: Point) -> bool:
    """Whether a point lies in an outline without dents that goes round clockwise."""
    pairs = zip(hood, [*hood[1:], hood[0]], strict=True)
    return all((x2 - x1) * (at[1] - y1) >= (y2 - y1) * (at[0] - x1) for (x1, y1), (x2, y2) in pairs)


def _view_sentence(words: Words) -> str:
    return "The view ahead over the nose. " + " ".join(_LOOKS[each] for each in _tails(words))


VIEW = Scene({"tail": one_of("up", "down", _BOTH, default=_BOTH)}, _view_sentence, _view)

# pedals

_FLOOR, _SOLE = 112, 58  # the floor of a panel; from the heel to the ball of the foot
_FEET = {
    "toe": (
        ("toe brakes, steering", "heel on the floor,", "ball low on the pedal"),
        ("toe brakes, braking", "foot slid up, pressing", "the top of the pedal"),
    ),
    "heel": (
        ("heel brakes, steering", "toes on the pedal,", "heel off the small pad"),
        ("heel brakes, braking", "toes go on steering,", "heel presses the pad"),
    ),
}


def _pedals(words: Words) -> Drawing:
    kinds = _kinds(words)
    drawn = []
    for row, kind in enumerate(kinds):
        for column, told in enumerate(_FEET[kind]):
            drawn += _panel((180 * column, 196 * row), kind, column == 1, told)
    return Drawing(196 * len(kinds), "Where the feet press", drawn)


def _kinds(words: Words) -> tuple[str, ...]:
    return tuple(_FEET) if words["brakes"] == "all" else (words["brakes"],)


def _panel(at: Point, kind: str, braking: bool, told: tuple[str, ...]) -> list[Element]:
    floor = at[1] + 28 + _FLOOR
    pedal, foot = _toe(at[0], floor, braking) if kind == "toe" else _heel(at[0], floor, braking)
    return [
        part(
            f"{kind}-{'braking' if braking else 'steering'}",
            label((at[0] + 91, at[1] + 18), told[0], bold=True),
            part("floor", line((at[0] + 14, floor), (at[0] + 166, floor), width=3)),
            *pedal,
            *foot,
            canvas.lines((at[0] + 90, floor + 28), *told[1:]),
        )
    ]


def _along(start: Point, angle: float, far: float) -> Point:
    """From a point up to the right at an angle to the floor."""
    return start[0] + far * cos(radians(angle)), start[1] - far * sin(radians(angle))


def _toe(x: float, floor: float, braking: bool) -> tuple[list[Element], list[Element]]:
    """The plate tips forward about its lower edge when its top is pressed."""
    hinge, lean = (x + 98, floor - 8), 42 if braking else 56
    ball = _along(hinge, lean, 54 if braking else 22)
    sole = _rise(floor - ball[1] - (22 if braking else 0))
    return [_plate(hinge, lean, 76)], _foot(ball, sole, lean, ball, lean)


def _heel(x: float, floor: float, braking: bool) -> tuple[list[Element], list[Element]]:
    """The pedal steers in both; the pad is where the heel can come down on it."""
    hinge, lean = (x + 106, floor - 8), 56
    ball = _along(hinge, lean, 32)
    height = 10 if braking else 14
    sole = _rise(floor - ball[1] - (height if braking else 26))
    heel = _along(ball, sole, -_SOLE)
    top = (heel[0] + 4, floor - height)
    pad = part("pad", line((top[0], floor), top, width=4), line(step(top, (-10, 0)), step(top, (10, 0)), width=5))
    press = (step(heel, (5, 0)), 0) if braking else (ball, lean)
    return [_plate(hinge, lean, 70), pad], _foot(ball, sole, lean, *press)


def _plate(hinge: Point, lean: float, far: float) -> Element:
    return part("pedal", line(hinge, _along(hinge, lean, far), width=6), circle(hinge, 4, fill=1, width=THIN))


def _rise(height: float) -> float:
    """The angle of the sole to the floor where the ball of the foot is that much higher than the heel."""
    return degrees(atan2(height, (_SOLE**2 - height**2) ** 0.5))


def _foot(ball: Point, sole: float, toes: float, press: Point, surface: float) -> list[Element]:
    """A shoe, its toes along the pedal, and an arrow where it presses, square to what it presses on."""

    def at(far: float, up: float) -> Point:
        return _along(_along(ball, sole, far - _SOLE), sole + 90, up)

    toe, cap = _along(ball, toes, 22), _along(_along(ball, toes, 21), toes + 90, 11)
    sole_of = [at(0, 0), at(14, 0), at(22, 4), at(38, 3), ball, toe, cap]
    upper = [at(56, 18), at(38, 25), at(25, 40), at(24, 72), at(-1, 72), at(-1, 36), at(-6, 9)]
    start = _along(press, surface + 90, 58)
    tip = _along(press, surface + 90, 5)
    return [
        part("foot", shape(*sole_of, *upper, fill=0.2, width=THIN)),
        part("press", aeroplane.force(start, tip)),
    ]


def _pedals_sentence(words: Words) -> str:
    told = ". ".join(
        f"{title.capitalize()}: {' '.join(rest)}" for kind in _kinds(words) for title, *rest in _FEET[kind]
    )
    return f"A foot on a rudder pedal from the side, with an arrow where it presses. {told}."


PEDALS = Scene({"brakes": one_of(*_FEET, "all", default="all")}, _pedals_sentence, _pedals)
