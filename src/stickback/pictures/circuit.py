"""Scene `circuit`: a circuit from above, take-off up the page, with its legs, the wind, and where each call is made.

Words: `hand` (left or right), `runway`, `phraseology`; `show: answer` puts the words of each call beside its letter.
"""

from math import hypot

from stickback.pictures import canvas, shapes
from stickback.pictures.canvas import DASHES, TEXT, THIN, Element, Point, circle, label, line, part
from stickback.pictures.circuit_calls import AXIS, BASE, CALLS, DOWNWIND, FAR_END, HALF, NEAR_END, TOP, Call, legs
from stickback.pictures.scene import ANSWER, Figure, Scene, Words, one_of, runway_name
from stickback.pictures.shapes import step
from stickback.trade import runway, yaw

_HEIGHT = 440
_CORNER = 18


def draw(words: Words) -> Figure:
    """The picture and its sentence."""
    hand, phraseology, answer = words["hand"], words["phraseology"], words["show"] == ANSWER
    strip = runway.runway(words["runway"])
    name = strip.name
    kind = f"{hand} traffic" if phraseology == "faa" else f"{hand}-hand circuit"
    way = 1 if hand == yaw.side(1) else -1
    drawn = [
        canvas.label((180, 22), f"{kind}, runway {name}", TEXT, bold=True),
        *_runway(way, name, strip.other.name),
        *_legs(way, phraseology),
        *_wind(way),
        *(_call(way, index, each, answer) for index, each in enumerate(CALLS[phraseology])),
    ]
    sentence = _sentence(f"{kind}, runway {name}", phraseology, answer)
    return Figure(canvas.svg(_HEIGHT, f"{kind}, runway {name}".capitalize(), sentence, *drawn), sentence)


def _at(way: int, point: Point) -> Point:
    return 180 + way * point[0], point[1]


def _anchor(runs: int) -> str:
    """How a text is held that runs to the right (1), to the left (-1), or stands in the middle (0)."""
    return ("middle", "start", "end")[runs]


def _runway(way: int, name: str, other: str) -> list[Element]:
    """The runway, its number where it is landed on, and an aeroplane that takes off."""
    corners = [(AXIS + x, y) for x, y in ((-HALF, FAR_END), (HALF, FAR_END), (HALF, NEAR_END), (-HALF, NEAR_END))]
    x = 180 + way * AXIS
    return [
        part("runway", canvas.shape(*(_at(way, corner) for corner in corners), fill=0.12)),
        part("number", label((x, NEAR_END - 6), name, TEXT, bold=True)),
        part("other-end", label((x, FAR_END + 16), other)),
        shapes.aeroplane((x, 208), 13),
    ]


def _legs(way: int, phraseology: str) -> list[Element]:
    """The path, an arrow on each leg, and the names of the legs."""
    upwind, crosswind, downwind, base, final = legs(phraseology)
    corners = (
        (AXIS, FAR_END),
        (AXIS, TOP),
        (DOWNWIND, TOP),
        (DOWNWIND, BASE),
        (AXIS, BASE),
        (AXIS, NEAR_END),
    )
    names = (
        (upwind, (AXIS - 12, 108), _anchor(-way)),
        (crosswind, (10, TOP - 12), "middle"),
        (downwind, (DOWNWIND + 12, 250), _anchor(way)),
        (base, (34, BASE - 10), "middle"),
        (final, (AXIS - 12, 300), _anchor(-way)),
    )
    arrows = (((AXIS, 92), (0, -1)), ((24, TOP), (1, 0)), ((DOWNWIND, 240), (0, 1)), ((-24, BASE), (-1, 0)))
    return [
        part("path", canvas.path(_rounded([_at(way, each) for each in corners]))),
        *(canvas.head(_at(way, at), (way * x, y), 13) for at, (x, y) in (*arrows, ((AXIS, 278), (0, -1)))),
        *(part("leg", label(_at(way, at), text, anchor=anchor, bold=True)) for text, at, anchor in names),
    ]


def _rounded(corners: list[Point]) -> str:
    """The path through corners, each rounded off."""
    words = [f"M{corners[0][0]:g},{corners[0][1]:g}"]
    for before, corner, after in zip(corners, corners[1:], corners[2:], strict=False):
        near, far = (step(corner, _toward(corner, other)) for other in (before, after))
        words.append(f"L{near[0]:g},{near[1]:g}Q{corner[0]:g},{corner[1]:g},{far[0]:g},{far[1]:g}")
    return "".join(words) + f"L{corners[-1][0]:g},{corners[-1][1]:g}"


def _toward(corner: Point, other: Point) -> Point:
    """A step of a corner's radius along one of its two legs."""
    away = (other[0] - corner[0], other[1] - corner[1])
    return shapes.times(away, _CORNER / hypot(*away))


def _wind(way: int) -> list[Element]:
    """The wind comes down the runway: it is taken off and landed into."""
    x = 180 + way * (AXIS + 34)
    text = label((x + way * 10, 112), "wind", anchor=_anchor(way))
    return [part("wind", canvas.arrow((x, 84), (x, 132), width=3, size=13), text)]


def _call(way: int, index: int, call: Call, answer: bool) -> Element:
    """A dot on the path with its letter in a ring; the words beside it once the answer is shown."""
    at, ring = _at(way, call.at), _at(way, step(call.at, call.ring))
    drawn = [circle(at, 5, fill=1), circle(ring, 10), label(step(ring, (0, 4.7)), _letter(index), bold=True)]
    if call.at[1] > BASE:
        drawn.append(line(_at(way, (AXIS, 432)), _at(way, (AXIS, BASE)), dashes=DASHES, width=THIN))
    if call.runs == 0:
        drawn.append(line(at, _at(way, (AXIS - HALF, at[1])), dashes=DASHES, width=THIN))
    if answer:
        texts = f"“{call.said}”".split("\n")
        beside = step(ring, (16 * way * call.runs, 0) if call.runs else (0, 33))
        anchor = _anchor(way * call.runs)
        drawn.append(shapes.lines(beside, *texts, anchor=anchor))
    return part("call", *drawn)


def _letter(index: int) -> str:
    return "ABCDE"[index]


def _sentence(kind: str, phraseology: str, answer: bool) -> str:
    """The legs in order, then the calls: where each is made and, once the answer is shown, its words."""
    *names, last = legs(phraseology)
    places = []
    for index, call in enumerate(CALLS[phraseology]):
        said = call.said.replace("\n", " ")
        places.append(f"{_letter(index)} {call.where}" + (f": “{said}”" if answer else ""))
    seen = f"{kind[0].upper()}{kind[1:]}, from above, take-off up the page and into the wind"
    return f"{seen}: {', '.join(names)} and {last}. Calls: {'; '.join(places)}."


SCENE = Scene(
    {
        "hand": one_of(yaw.side(-1), yaw.side(1)),
        "runway": runway_name(),
        "phraseology": one_of(*CALLS),
        "show": one_of("question", ANSWER, default="question"),
    },
    draw,
)
