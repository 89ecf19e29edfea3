"""Scene `wind`: a runway from above, north up, the wind as an arrow, and the two parts it has along and across.

Words: `runway`, `wind_from` (degrees), `wind` (knots), `show`: `wind` (the arrow alone), `components` (its parts are
drawn and named), `answer` (with their figures). The arrow has one length for every wind; only its parts are to scale.
"""

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, HEAVY, TEXT, Element, Point, part, step, times
from stickback.pictures.scene import ANSWER, Drawing, Scene, Words, between, one_of, runway_name
from stickback.trade import runway
from stickback.trade.runway import Wind, degrees

_HEIGHT = 372
_CENTRE = (180, 178)
_LONG, _HALF = 96, 17  # half the length and width of the runway
_WIND = 88  # length of the arrow
_GAP = 7
_NUMBER, _HALF_SPAN = 16, 20  # size of the runway's number, and of the aeroplane
_LEAST = 15  # a shorter part is not drawn


def draw(words: Words) -> Drawing:
    """The picture."""
    wind = _wind(words)
    drawn = [_strip(wind), canvas.north((24, 34)), *(_air(wind, words["show"]) if wind.knots else [_calm()])]
    return Drawing(_HEIGHT, f"Wind on runway {wind.runway.name}", drawn)


def _wind(words: Words) -> Wind:
    return Wind(runway.runway(words["runway"]), float(words["wind_from"]), float(words["wind"]))


def _strip(wind: Wind) -> Element:
    """The runway; its number stands where it is landed on, with an aeroplane coming in."""
    ahead = canvas.toward(wind.runway.direction)
    corners = [(_HALF, -_LONG), (_HALF, _LONG), (-_HALF, _LONG), (-_HALF, -_LONG)]
    placed = [canvas.turned(_CENTRE, corner, wind.runway.direction) for corner in corners]
    names = wind.runway.name, wind.runway.other.name
    near, far = (_LONG + 6 + canvas.reach(ahead, name, size=_NUMBER, bold=True) for name in names)
    approach = 2 * near - _LONG + 0.75 * _HALF_SPAN
    return part(
        "runway",
        canvas.shape(*placed, fill=0.1),
        part("number", canvas.lines(step(_CENTRE, times(ahead, -near)), names[0], size=_NUMBER, bold=True)),
        part("other-end", canvas.lines(step(_CENTRE, times(ahead, far)), names[1], size=TEXT)),
        aeroplane.above(step(_CENTRE, times(ahead, -approach)), _HALF_SPAN, wind.runway.direction),
    )


def _calm() -> Element:
    return part("wind", canvas.lines((318, 30), "calm", size=TEXT, bold=True))


def _air(wind: Wind, show: str) -> list[Element]:
    """The wind, its parts as far as they can be drawn, and their figures once the answer is shown."""
    tail = step(_CENTRE, canvas.toward(wind.comes_from, _WIND))
    drawn = [part("wind", canvas.arrow(tail, _CENTRE, width=HEAVY, size=16), _wind_label(wind))]
    if show == "wind":
        return drawn
    drawn += [part(name, _part(wind, name, show)) for name in wind.names if _drawable(wind, name)]
    return [*drawn, _too_small(wind)] if show == ANSWER else drawn


def _drawable(wind: Wind, name: str) -> bool:
    """Whether a part is long enough to be drawn."""
    return wind.share(name) * _WIND >= _LEAST


def _frame(wind: Wind) -> tuple[Point, Point]:
    """Along the runway to where the wind's foot lies, and across it to the wind's side."""
    ahead = wind.runway.direction
    return canvas.toward(ahead if wind.along >= 0 else ahead + 180), canvas.toward(
        ahead + (90 if wind.across > 0 else -90)
    )


def _wind_label(wind: Wind) -> Element:
    """Beside the arrow, away from its parts and clear of the runway."""
    texts = (f"wind {degrees(wind.comes_from)}°", f"{wind.knots:g} kt")
    along, across = _frame(wind)
    x, y = -abs(wind.across), abs(wind.along)
    away = step((0, 0), times(along, x), times(across, y))
    far = _GAP + canvas.reach(away, *texts, size=TEXT, bold=True)
    at = (0.62 * _WIND * abs(wind.along) + x * far, 0.62 * _WIND * abs(wind.across) + y * far)
    clear = _HALF + _GAP + canvas.reach(across, *texts, size=TEXT, bold=True)
    placed = step(_CENTRE, times(along, at[0]), times(across, max(at[1], clear)))
    return canvas.lines(placed, *texts, size=TEXT, bold=True)


def _part(wind: Wind, name: str, show: str) -> Element:
    """A part beside its name: a side of the triangle, or moved aside where it would lie under the wind itself."""
    alone = not all(_drawable(wind, each) for each in wind.names)
    texts = (name, f"{wind.part_knots(name)} kt") if show == ANSWER else (name,)
    along, across = _frame(wind)
    far, wide = _WIND * abs(wind.along), _WIND * abs(wind.across)  # of the wind's tail, along and across
    aside = 10 if alone else 0
    clear = _HALF + _GAP + canvas.reach(across, *texts)
    places: list[Point]  # its start, its tip and the middle of its name, along and across
    if name == wind.names[0]:  # on the centre line, its name on the far side of the runway
        y = -_HALF - aside if alone else 0
        places = [(far, y), (0, y), (far / 2, -clear - aside)]
    else:  # from the wind's tail to the centre line, its name beyond the triangle
        x = far + aside
        places = [(x, wide), (x, 0), (x + _GAP + canvas.reach(along, *texts), max(clear, wide / 2))]
    start, tip, middle = (step(_CENTRE, times(along, x), times(across, y)) for x, y in places)
    return canvas.element("g", canvas.arrow(start, tip, dashes=DASHES, solid=False), canvas.lines(middle, *texts))


def _too_small(wind: Wind) -> Element:
    """Says under the picture what is too small to draw in it."""
    small = [name for name in wind.names if not _drawable(wind, name)]
    said = [f"{name}: {wind.part_knots(name)} kt" if wind.part_knots(name) else f"no {name}" for name in small]
    return part("small", canvas.lines((180, _HEIGHT - 14), *said))


def sentence(words: Words) -> str:
    """What the picture shows."""
    wind, show = _wind(words), words["show"]
    seen = f"Runway {wind.runway.name} seen from above, north up"
    if not wind.knots:
        return f"{seen}; the wind is calm."
    seen += f"; the wind comes from {degrees(wind.comes_from)} degrees at {wind.knots:g} kt"
    if show != ANSWER:
        return f"{seen}." if show == "wind" else f"{seen}, drawn with its parts along and across the runway."
    told = [f"{wind.part_knots(name)} kt of {name}" if wind.part_knots(name) else f"no {name}" for name in wind.names]
    side = f" from the {wind.side}" if wind.part_knots(wind.names[1]) else ""
    return f"{seen}: {' and '.join(told)}{side}."


SCENE = Scene(
    {
        "runway": runway_name(),
        "wind_from": between(0, 360, "degrees"),
        "wind": between(0, 99, "knots"),
        "show": one_of("wind", "components", ANSWER, default="components"),
    },
    sentence,
    draw,
)
