"""Scene `bounce`: from the side, how a landing leaves the ground again.

Words: `show`: `skip` (main wheels first, the tail drops, it flies again) or `porpoise` (pushed down after it, each time
worse). Heights are not to scale; the angles are those that the aeroplane is drawn with.

Source: FAA-H-8083-3C (Airplane Flying Handbook), chapter 14, *Three-Point Landing*; chapter 9, *Bouncing*
and *Porpoising*.
"""

from math import cos, radians, sin

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, TEXT, THIN, Element, Point, label, line, part, step
from stickback.pictures.scene import Drawing, Scene, Words, one_of

_SCALE, _ARM = 0.86, 56


def draw(words: Words) -> Drawing:
    """The picture."""
    if words["show"] == "skip":
        return Drawing(452, "How a skip begins", _skip())
    return Drawing(250, "How a porpoise grows", _porpoise())


# Where the wheels are above the ground, the pitch, and what is said of it.
_STEPS = (
    (0, 1.0, "1 too early", ("main wheels on,", "tail up, still sinking")),
    (0, 7.0, "2 the tail drops", ("the CG is behind the", "wheels: more angle,", "more lift")),
    (26, 9.5, "3 it flies again", ("off the ground,", "nose high and slow")),
)


def _skip() -> list[Element]:
    drawn = []
    for row, (up, pitch, title, told) in enumerate(_STEPS):
        ground = 138 + 146 * row
        wheels = (72, ground - up)
        drawn.append(
            part(
                f"step{row + 1}",
                line((8, ground), (352, ground), width=3),
                *aeroplane.side(wheels, _SCALE, pitch),
                *_angle(wheels, pitch),
                *_moves(row, wheels),
                label((188, ground - 82), title, TEXT, anchor="start", bold=True),
                canvas.lines((188, ground - 64 + 8 * len(told)), *told, anchor="start"),
            )
        )
    return drawn


def _angle(wheels: Point, pitch: float) -> list[Element]:
    """The air, which comes level, and the chord, drawn on ahead of the wing."""
    (at,) = aeroplane.put(wheels, _SCALE, pitch, aeroplane.LEADING)
    angle = aeroplane.chord(pitch)
    arc = [step(at, (-46 * cos(radians(each)), -46 * sin(radians(each)))) for each in (0, angle / 2, angle)]
    return [
        part("chord", line(at, canvas.turned(at, (-_ARM, 0), angle), width=THIN, dashes=DASHES)),
        part("level-air", line(at, step(at, (-_ARM, 0)), width=THIN)),
        part("angle", line(*arc, width=3)),
        label((8, at[1] - 20), "angle", anchor="start"),
    ]


def _moves(row: int, wheels: Point) -> list[Element]:
    """What moves in a step: down, the tail down with more lift, up."""
    over, tail = step(wheels, (22, -62)), step(wheels, (100, -62))
    beside = step(over, (9, -26))
    if row == 0:
        sinks = canvas.arrow(step(over, (0, -36)), step(over, (0, -2)), width=3, size=13)
        return [part("sinks", sinks, label(beside, "sinks", anchor="start"))]
    lift = part("lift", aeroplane.force(over, step(over, (0, -46))), label(beside, "lift", anchor="start"))
    return [lift, part("drops", canvas.arrow(tail, step(tail, (0, 30)), width=3, size=13))] if row == 1 else [lift]


def _porpoise() -> list[Element]:
    """The path of the main wheels: each leap higher, each fall steeper, each push late."""
    ground, xs, tops = 206, (330, 262, 162, 32), (26, 60, 104)
    drawn = [line((8, ground), (352, ground), width=3)]
    words = [f"M352,{ground - 22:g}Q344,{ground - 4:g},{xs[0]:g},{ground:g}"]
    for which, (start, end, top) in enumerate(zip(xs, xs[1:], tops, strict=False), 1):
        middle = (start + end) / 2
        words.append(f"Q{middle:g},{ground - 2 * top:g},{end:g},{ground:g}")
        drawn.append(part("leap", *aeroplane.side((middle - 6, ground - top), 0.34, -5)))
        drawn.append(part("push", label((middle, ground - top - 32), f"push {which}", bold=True)))
    path = canvas.path("".join(words), dashes=DASHES)
    touches = [part("touch", canvas.circle((x, ground), 5, fill=1)) for x in xs]
    return [
        label((180, 20), "pushed down after a bounce", TEXT, bold=True),
        part("flies", label((284, 62), "it flies this way"), canvas.arrow((322, 78), (246, 78), width=3, size=13)),
        *drawn,
        part("path", path),
        *touches,
        canvas.lines((180, ground + 28), "each push comes late, each touch is harder:", "go around"),
    ]


def sentence(words: Words) -> str:
    """What the picture shows."""
    if words["show"] == "skip":
        return (
            "An aeroplane from the side, three times. First its main wheels touch too early, the tail up and the "
            "aeroplane still sinking. Then the tail drops, since the centre of gravity (CG) is behind the wheels: the "
            "wing meets the air at a larger angle and lifts more. Last it flies again, off the ground, nose high and "
            "slow."
        )
    return (
        "The path of the main wheels when an aeroplane is pushed down after a bounce: three leaps, each higher than "
        "the one before. Each push comes late and each touch is harder: go around."
    )


SCENE = Scene({"show": one_of("skip", "porpoise", default="skip")}, sentence, draw)
