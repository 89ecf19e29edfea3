"""Scene `circuit`: a circuit from above, take-off up the page, with its legs, the wind, and where each call is made.

Words: `hand` (left or right), `runway`, `phraseology`; `show: answer` puts the words of each call beside its letter.

A place is (x, y) of a picture with take-off up the page; x is 0 in the middle and positive on the circuit's side, so
that a left and a right circuit are one table. Not to scale.

Sources: CAP 413, *Designated positions in the traffic circuit*; ICAO Doc 9432, 4.7.1, for final and long final (it
leaves other reports to local procedures); AIM 4-1-9 and 4-3-2 for the US traffic pattern.
"""

from dataclasses import dataclass, replace
from math import hypot

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, TEXT, THIN, Element, Point, circle, label, line, part, step
from stickback.pictures.scene import ANSWER, Drawing, Scene, Words, a_side, one_of, runway_name, sign
from stickback.trade import runway

_HEIGHT = 440
_CORNER = 18
AXIS, DOWNWIND = -72, 90  # x of the runway and of the downwind leg
TOP, BASE = 66, 352  # y of the crosswind and base legs
FAR_END, NEAR_END, HALF = 150, 262, 16  # y of the runway's ends, and half its width


@dataclass(frozen=True)
class Call:
    """A call.

    Args:
        said: its words, in the lines they are drawn in; `where`: the place, without them.
        at: its point on the path; `ring`: where its letter stands from there.
        runs: which way its words run from there: -1 away from the downwind leg, 1 towards it, 0 below the ring.
    """

    said: str
    where: str
    at: Point
    ring: Point
    runs: int = -1


_INWARD, _OUTWARD, _BELOW = (-21, 0), (21, 0), (0, 23)
_FINAL = Call("final", "on the line of the runway, within 4 miles", (AXIS, 322), _OUTWARD, 1)
_LONG = Call("long final", "on the line of the runway, beyond 4 miles", (AXIS, 410), _OUTWARD, 1)
_ON_BASE = Call("base", "after the turn towards the runway's line", (66, BASE), _BELOW)
_AT_MIDDLE = Call("downwind", "abeam the middle of the runway", (DOWNWIND, 206), _INWARD)

CALLS = {
    "icao": (replace(_AT_MIDDLE, where="on the leg against the landing direction"), _ON_BASE, _FINAL, _LONG),
    "uk": (
        Call("downwind", "abeam the upwind end of the runway", (DOWNWIND, FAR_END), _INWARD),
        Call("late downwind", "past the runway's other end, if not called yet", (DOWNWIND, 284), _INWARD),
        replace(_ON_BASE, said="base, if asked"),
        _FINAL,
        _LONG,
    ),
    "faa": (
        _AT_MIDDLE,
        _ON_BASE,
        replace(_FINAL, where="on the line of the runway"),
        Call("clear of\nrunway", "off the runway", (AXIS - 38, 176), _INWARD, 0),
    ),
}


def legs(phraseology: str) -> tuple[str, ...]:
    """The legs as they are flown, by their names."""
    return ("departure" if phraseology == "faa" else "upwind", "crosswind", "downwind", "base", "final")


def draw(words: Words) -> Drawing:
    """The picture."""
    hand, phraseology, answer = words["hand"], words["phraseology"], words["show"] == ANSWER
    strip = runway.runway(words["runway"])
    name, title = strip.name, _title(words)
    way = sign(hand)
    drawn = [
        canvas.label((180, 22), title, TEXT, bold=True),
        *_runway(way, name, strip.other.name),
        *_legs(way, phraseology),
        *_wind(way),
        *(_call(way, index, each, answer) for index, each in enumerate(CALLS[phraseology])),
    ]
    return Drawing(_HEIGHT, title.capitalize(), drawn)


def _title(words: Words) -> str:
    kind = "traffic" if words["phraseology"] == "faa" else "circuit"
    return (
        f"{words['hand']}{' ' if kind == 'traffic' else '-hand '}{kind}, runway {runway.runway(words['runway']).name}"
    )


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
        aeroplane.above((x, 208), 13),
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
    return canvas.times(away, _CORNER / hypot(*away))


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
        drawn.append(canvas.lines(beside, *texts, anchor=anchor))
    return part("call", *drawn)


def _letter(index: int) -> str:
    return "ABCDE"[index]


def sentence(words: Words) -> str:
    """The legs in order, then the calls: where each is made and, once the answer is shown, its words."""
    title, phraseology, answer = _title(words), words["phraseology"], words["show"] == ANSWER
    *names, last = legs(phraseology)
    places = []
    for index, call in enumerate(CALLS[phraseology]):
        said = call.said.replace("\n", " ")
        places.append(f"{_letter(index)} {call.where}" + (f": “{said}”" if answer else ""))
    seen = f"{title[0].upper()}{title[1:]}, from above, take-off up the page and into the wind"
    return f"{seen}: {', '.join(names)} and {last}. Calls: {'; '.join(places)}."


SCENE = Scene(
    {
        "hand": a_side(),
        "runway": runway_name(),
        "phraseology": one_of(*CALLS),
        "show": one_of("question", ANSWER, default="question"),
    },
    sentence,
    draw,
)
