"""Scene `stick`: an aeroplane taxiing, from above with its nose up, the wind on it, and the stick's nine positions.

Words: `quarter` and `strength` of the wind as `trade.taxi` names them, or `heading` and `wind_from` (degrees) in place
of the quarter; `show: answer` marks the positions that are right, a solid knob for the plainest. One, two or three
arrows tell a light, a moderate and a strong wind.
"""

from stickback.pictures import canvas
from stickback.pictures.canvas import THIN, Element, Point, circle, label, line, part, step
from stickback.pictures.scene import ANSWER, Drawing, Scene, Words, Wrong, between, one_of
from stickback.trade import taxi, yaw
from stickback.trade.taxi import Position

_HEIGHT = 286
_AEROPLANE, _HALF_SPAN = (96, 122), 45
_ARROW_FROM, _ARROW_TO, _APART = 90, 53, 17
_CROSS, _SPACING = (270, 122), 30
_CAPTION = 244


def sentence(words: Words) -> str:
    """What the picture shows."""
    wind = _phrase(_wind_words(_where(words), words["strength"]))
    return f"An aeroplane taxiing, seen from above, its nose up the page, {wind}{_told(_right(words))}."


def _where(words: Words) -> str:
    return words["quarter"] or taxi.quarter(float(words["heading"]), float(words["wind_from"]))


def _right(words: Words) -> tuple[Position, ...]:
    """The positions that are right, once the answer is shown."""
    return taxi.positions(_where(words), words["strength"]) if words["show"] == ANSWER else ()


def draw(words: Words) -> Drawing:
    """The picture."""
    where = _where(words)
    drawn = [
        canvas.aeroplane(_AEROPLANE, _HALF_SPAN),
        part("wind", *_wind(where, words["strength"])),
        canvas.lines((_AEROPLANE[0], _CAPTION), *_wind_words(where, words["strength"])),
        *_cross(_right(words)),
    ]
    return Drawing(_HEIGHT, "The stick for a wind while taxiing", drawn)


def _told(right: tuple[Position, ...]) -> str:
    if not right:
        return "; the stick has nine positions"
    first, *others = (" ".join(each) for each in right)
    return f"; the stick is {first}" + "".join(f", and {other} is accepted too" for other in others)


def _phrase(wind: tuple[str, ...]) -> str:
    return "with no wind" if len(wind) == 1 else f"in a {' '.join(wind)}"


def _wind_words(where: str, strength: str) -> tuple[str, ...]:
    if where == taxi.NO_WIND:
        return ("no wind",)
    first, _, side = where.partition("-")
    if first in {yaw.side(-1), yaw.side(1)}:
        return f"{strength} wind", f"from the {first}"
    return f"{strength} wind", f"from {first} on the {side}" if side else f"from {first}"


def _wind(where: str, strength: str) -> list[Element]:
    """Side by side, one arrow more for each step of strength."""
    if where == taxi.NO_WIND:
        return []
    bearing = 360 / len(taxi.QUARTERS) * taxi.QUARTERS.index(where)
    count = taxi.STRENGTHS.index(strength) + 1
    drawn = []
    for each in range(count):
        beside = canvas.toward(bearing + 90, (each - (count - 1) / 2) * _APART)
        ends = [step(_AEROPLANE, canvas.toward(bearing, far), beside) for far in (_ARROW_FROM, _ARROW_TO)]
        drawn.append(canvas.arrow(ends[0], ends[1], width=3, size=13))
    return drawn


def place(position: Position) -> Point:
    """Where a stick position lies in the picture, forward up."""
    row, column = taxi.ELEVATORS.index(position[0]), taxi.AILERONS.index(position[1])
    return step(_CROSS, ((column - 1) * _SPACING, (row - 1) * _SPACING))


def _cross(right: tuple[Position, ...]) -> list[Element]:
    """The nine positions with their names, and those that are right marked and said."""
    far = _SPACING + 17
    rails = [line(*(place((row, side)) for side in taxi.AILERONS), width=THIN) for row in taxi.ELEVATORS]
    rails += [line(*(place((row, side)) for row in taxi.ELEVATORS), width=THIN) for side in taxi.AILERONS]
    names = [
        canvas.lines(step(_CROSS, (0, -far - 8)), taxi.ELEVATORS[0]),
        canvas.lines(step(_CROSS, (0, far + 8)), taxi.ELEVATORS[-1]),
        canvas.lines(step(_CROSS, (-far, 0)), taxi.AILERONS[0], anchor="end"),
        canvas.lines(step(_CROSS, (far, 0)), taxi.AILERONS[-1], anchor="start"),
    ]
    knobs = [_knob(each, right) for each in taxi.POSITIONS]
    return [part("cross", *rails), *names, *knobs, *_said(right)]


def _knob(position: Position, right: tuple[Position, ...]) -> Element:
    at = place(position)
    if position not in right:
        return part("position", circle(at, 5, fill=1, width=THIN))
    return part("right" if position == right[0] else "right-too", *_mark(at, position == right[0]))


def _mark(at: Point, plainest: bool) -> list[Element]:
    return [circle(at, 12, fill=1)] if plainest else [circle(at, 12, width=3), circle(at, 4, fill=1)]


def _said(right: tuple[Position, ...]) -> list[Element]:
    """Each position that is right in words, beside the mark it has in the cross."""
    said = []
    for row, position in enumerate(right):
        at = (_CROSS[0] - 62, _CAPTION - 8 + 29 * row)
        words = ("or " if row else "") + " ".join(position)
        text = label(step(at, (18, 5)), words, anchor="start", bold=row == 0)
        said.append(part("said", *_mark(at, row == 0), text))
    return said


def _rule(words: Words) -> Wrong | None:
    given = {"quarter", "heading", "wind_from"} & set(words)
    if given in ({"quarter"}, {"heading", "wind_from"}):
        return None
    return (
        "The scene 'stick' must say where the wind comes from, once.",
        "add `quarter:`, or `heading:` and `wind_from:`",
    )


SCENE = Scene(
    {
        "quarter": one_of(*taxi.QUARTERS, taxi.NO_WIND, default=""),
        "heading": between(0, 360, "degrees", default=""),
        "wind_from": between(0, 360, "degrees", default=""),
        "strength": one_of(*taxi.STRENGTHS),
        "show": one_of("question", ANSWER, default="question"),
    },
    sentence,
    draw,
    _rule,
)
