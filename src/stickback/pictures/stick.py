"""Scene `stick`: an aeroplane taxiing, from above with its nose up, the wind on it, and the stick's nine positions.

Words: `quarter` and `strength` of the wind as `trade.taxi` names them, or `heading` and `wind_from` (degrees) in place
of the quarter; `quarter: all` for the four aslant in one picture; `show: answer` marks the positions that are right, a
solid knob for the plainest. One, two or three arrows tell a light, a moderate and a strong wind.
"""

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import THIN, Element, Point, circle, label, line, part, step
from stickback.pictures.scene import ANSWER, Drawing, Scene, Words, Wrong, between, one_of
from stickback.trade import taxi, yaw
from stickback.trade.taxi import Position

_HEIGHT = 286
_AEROPLANE, _HALF_SPAN = (96, 122), 45
_ARROW_FROM, _ARROW_TO, _APART = 90, 53, 17
_CROSS, _SPACING = (270, 122), 30
_CAPTION = 244
_ALL = "all"
_ASLANT = tuple(each for each in taxi.QUARTERS if "-" in each)
_MIDDLE = (180, 182)  # of the aeroplane among all four winds


def sentence(words: Words) -> str:
    """What the picture shows."""
    if words["quarter"] == _ALL:
        return _all_sentence(words)
    wind = _phrase(_wind_words(_where(words), words["strength"]))
    return f"An aeroplane taxiing, seen from above, its nose up the page, {wind}{_told(_right(words))}."


def _where(words: Words) -> str:
    return words["quarter"] or taxi.quarter(float(words["heading"]), float(words["wind_from"]))


def _right(words: Words) -> tuple[Position, ...]:
    """The positions that are right, once the answer is shown."""
    return taxi.positions(_where(words), words["strength"]) if words["show"] == ANSWER else ()


def draw(words: Words) -> Drawing:
    """The picture."""
    if words["quarter"] == _ALL:
        return Drawing(414, f"The stick for a {words['strength']} wind aslant while taxiing", _four(words))
    where = _where(words)
    drawn = [
        aeroplane.above(_AEROPLANE, _HALF_SPAN),
        *_wind(_AEROPLANE, where, words["strength"]),
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


def _wind(middle: Point, where: str, strength: str) -> list[Element]:
    """Side by side, one arrow more for each step of strength."""
    if where == taxi.NO_WIND:
        return [part("wind")]
    tip = step(middle, canvas.toward(_bearing(where), _ARROW_TO))
    return [aeroplane.wind(tip, _bearing(where), taxi.STRENGTHS.index(strength) + 1, _ARROW_FROM - _ARROW_TO, _APART)]


def _bearing(where: str) -> float:
    """Where a quarter lies, from the nose up the page."""
    return 360 / len(taxi.QUARTERS) * taxi.QUARTERS.index(where)


def _four(words: Words) -> list[Element]:
    """The aeroplane in the middle; in each corner a wind, and the stick that it asks for."""
    strength, answer = words["strength"], words["show"] == ANSWER
    drawn = [aeroplane.above(_MIDDLE, _HALF_SPAN)]
    for where in _ASLANT:
        x, y = canvas.toward(_bearing(where))
        cross = (_MIDDLE[0] + (122 if x > 0 else -122), _MIDDLE[1] + (110 if y > 0 else -110))
        right = taxi.positions(where, strength) if answer else ()
        told = [canvas.lines(step(cross, (0, 40)), " ".join(right[0]), bold=True)] if right else []
        drawn += [*_wind(_MIDDLE, where, strength), part(where, *_grid(cross, 19, 0.75, right), *told)]
    drawn.append(
        canvas.lines(
            (180, 22), f"{strength} wind from ahead:", "climb into it" if answer else "which stick?", bold=True
        )
    )
    drawn.append(
        canvas.lines(
            (180, 370), f"{strength} wind from behind:", "dive away from it" if answer else "which stick?", bold=True
        )
    )
    if answer and any(len(taxi.positions(where, strength)) > 1 for where in _ASLANT):
        drawn.append(label((180, 404), "a ring: accepted too"))
    return drawn


def _all_sentence(words: Words) -> str:
    told = []
    for where in _ASLANT:
        right = taxi.positions(where, words["strength"]) if words["show"] == ANSWER else ()
        told.append(
            " ".join(_wind_words(where, words["strength"])[1:]) + _told(right).replace("; the stick is", ":", 1)
        )
    seen = f"An aeroplane taxiing, seen from above, its nose up the page, in a {words['strength']} wind"
    return f"{seen} {'; '.join(told)}." if words["show"] == ANSWER else f"{seen} from each of the four quarters aslant."


def place(position: Position, cross: Point = _CROSS, spacing: float = _SPACING) -> Point:
    """Where a stick position lies in the picture, forward up."""
    row, column = taxi.ELEVATORS.index(position[0]), taxi.AILERONS.index(position[1])
    return step(cross, ((column - 1) * spacing, (row - 1) * spacing))


def _cross(right: tuple[Position, ...]) -> list[Element]:
    """The nine positions with their names, and those that are right marked and said."""
    far = _SPACING + 17
    names = [
        canvas.lines(step(_CROSS, (0, -far - 8)), taxi.ELEVATORS[0]),
        canvas.lines(step(_CROSS, (0, far + 8)), taxi.ELEVATORS[-1]),
        canvas.lines(step(_CROSS, (-far, 0)), taxi.AILERONS[0], anchor="end"),
        canvas.lines(step(_CROSS, (far, 0)), taxi.AILERONS[-1], anchor="start"),
    ]
    return [*_grid(_CROSS, _SPACING, 1, right), *names, *_said(right)]


def _grid(cross: Point, spacing: float, scale: float, right: tuple[Position, ...]) -> list[Element]:
    """The nine positions, those that are right marked."""
    rows = [[place((row, column), cross, spacing) for column in taxi.AILERONS] for row in taxi.ELEVATORS]
    rails = [line(*each, width=THIN) for each in (*rows, *zip(*rows, strict=True))]
    knobs = [_knob(each, place(each, cross, spacing), scale, right) for each in taxi.POSITIONS]
    return [part("cross", *rails), *knobs]


def _knob(position: Position, at: Point, scale: float, right: tuple[Position, ...]) -> Element:
    if position not in right:
        return part("position", circle(at, 5 * scale, fill=1, width=THIN))
    plainest = position == right[0]
    return part("right" if plainest else "right-too", *_mark(at, plainest, scale))


def _mark(at: Point, plainest: bool, scale: float = 1) -> list[Element]:
    if plainest:
        return [circle(at, 12 * scale, fill=1)]
    return [circle(at, 12 * scale, width=3), circle(at, 4 * scale, fill=1)]


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
    keys = {"quarter", "heading", "wind_from"} & set(words)
    if keys in ({"quarter"}, {"heading", "wind_from"}):
        return None
    return (
        "The scene 'stick' must say where the wind comes from, once.",
        "add `quarter:`, or `heading:` and `wind_from:`",
    )


SCENE = Scene(
    {
        "quarter": one_of(*taxi.QUARTERS, taxi.NO_WIND, _ALL, default=""),
        "heading": between(0, 360, "degrees", default=""),
        "wind_from": between(0, 360, "degrees", default=""),
        "strength": one_of(*taxi.STRENGTHS),
        "show": one_of("question", ANSWER, default="question"),
    },
    sentence,
    draw,
    _rule,
)
