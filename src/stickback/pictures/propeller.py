"""Scene `propeller`: the disc from behind, its direction, and what an effect does: its cause and where the nose goes.

Words: `propeller` (clockwise or anticlockwise, seen from the cockpit); `effect`: torque, slipstream, p-factor,
gyroscopic, or `all` four of a take-off; `tail`: raised or lowered, for gyroscopic alone; `show: answer` for the sides.

The disc is seen as the pilot sees it. It is drawn around (0, 0) in disc radii, x to the right and y down, and put in
its place at the end: two of the physics' three axes seen along the third, so a place there is a place here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, radians, sin

from stickback.pictures import aeroplane, canvas
from stickback.pictures.canvas import DASHES, DOTS, HEAVY, LINE, TEXT, THIN, Element, Point, circle, line, part, step
from stickback.pictures.scene import ANSWER, Drawing, Scene, Words, Wrong, one_of, sign
from stickback.trade import yaw
from stickback.trade.yaw import Side

_ALL = "all"
_CROSSED = "a crossed circle is a force away from you"
_UP, _DOWN = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)
_YAW = {"torque": "torque_yaw", "slipstream": "slipstream_yaw", "p-factor": "p_factor_yaw"}


@dataclass(frozen=True)
class Disc:
    """Where a disc is drawn and what is told on it.

    Args:
        propeller: one of `yaw.PROPELLERS`.
        tail: `raised` or `lowered`, for the gyroscopic effect.
        answer: whether causes with a side are shown.
    """

    at: Point
    radius: float
    propeller: str
    tail: str
    answer: bool

    def place(self, x: float, y: float) -> Point:
        """A point given in disc radii."""
        return self.at[0] + x * self.radius, self.at[1] + y * self.radius

    def sides(self) -> dict[str, Side]:
        """Every side that follows from the propeller."""
        return yaw.yaw_sides(self.propeller)

    def mirrored(self) -> int:
        """1 when the top of the disc moves to the right, else -1."""
        return sign(yaw.side(yaw.cross(yaw.spin(self.propeller), _UP)[1]))


def comes_out(propeller: str, tail: str) -> Side:
    """The side of the disc on which a pitching push takes effect: a quarter turn on from where it is put in."""
    put_in = _UP if tail == "raised" else _DOWN
    return yaw.side(yaw.cross(yaw.spin(propeller), put_in)[1])


def arc(disc: Disc, far: float, start: float, end: float, width: float = LINE, dashes: str = "") -> Element:
    """A curved arrow with the propeller's turn; `start` and `end`: degrees after the top of the disc, so turned."""
    turn = disc.mirrored()
    steps = [start + (end - start) * each / 12 for each in range(13)]
    points = [disc.place(far * turn * sin(radians(each)), -far * cos(radians(each))) for each in steps]
    before, tip = points[-3], points[-1]
    shaft = line(*points[:-1], width=width, dashes=dashes)
    return canvas.element("g", shaft, canvas.head(tip, (tip[0] - before[0], tip[1] - before[1]), 7 + 2 * width))


def pull(disc: Disc, x: float, y: float, size: float) -> Element:
    """A pull away from the viewer: the tail of an arrow, a crossed circle."""
    (at_x, at_y), far = disc.place(x, y), size * disc.radius
    reach = far * 0.7
    strokes = [line((at_x - reach, at_y + each * reach), (at_x + reach, at_y - each * reach)) for each in (-1, 1)]
    return part("pull", circle((at_x, at_y), far), *strokes)


def turning(disc: Disc, effect: str) -> list[Element]:
    """The disc, its two blades, and which way they turn; placed so that they leave room for an effect."""
    flat = effect in {"slipstream", "p-factor"}
    blade = [(0.05, 0.16), (0.1, 0.5), (0.06, 0.97), (-0.06, 0.97), (-0.08, 0.5), (-0.05, 0.16)]
    ways = [[(y * k, x * k) if flat else (x * k, y * k) for x, y in blade] for k in (1, -1)]
    blades = [canvas.shape(*(disc.place(*each) for each in way), fill=0.2, width=THIN) for way in ways]
    middles = {"slipstream": (180,), "p-factor": (0, 180)}.get(effect, (90, 270))
    arrows = [arc(disc, 0.78 if flat else 0.6, middle - 30, middle + 30) for middle in middles]
    return [
        part(
            "disc", circle(disc.at, disc.radius, width=THIN, dashes=DOTS), *blades, circle(disc.at, 0.14 * disc.radius)
        ),
        part("turn", *arrows),
    ]


def torque(disc: Disc) -> list[Element]:
    """The main wheels on the ground; the pressed one is solid, flattened and under an arrow."""
    pressed = disc.sides()["torque_wheel"]
    drawn = [line(disc.place(-1.05, 1.62), disc.place(1.05, 1.62))]
    for side in (yaw.side(-1), yaw.side(1)):
        down = disc.answer and side == pressed
        x, wide = 0.72 * sign(side), 0.13 if down else 0.09
        corners = [(x - wide, 1.24), (x + wide, 1.24), (x + wide, 1.62), (x - wide, 1.62)]
        wheel = canvas.shape(*(disc.place(*each) for each in corners), fill=1 if down else 0)
        drawn += [line(disc.place(0.1 * sign(side), 0.12), disc.place(x, 1.22)), part("wheel", wheel)]
        if down:
            drawn.append(part("pressed", canvas.arrow(disc.place(x * 1.5, 0.98), disc.place(x * 1.5, 1.56), 4, 13)))
    return drawn


def slipstream(disc: Disc) -> list[Element]:
    """The fin, nearer than the disc; the wash turns with the propeller and strikes it from one side."""
    fin = [(-0.05, -0.12), (-0.05, -0.98), (0.05, -0.98), (0.05, -0.12)]
    drawn = [part("fin", canvas.shape(*(disc.place(*each) for each in fin), fill=0.6))]
    if disc.answer:
        x = sign(disc.sides()["slipstream_fin"])
        away = canvas.arrow(disc.place(-0.14 * x, -0.55), disc.place(-0.6 * x, -0.55), solid=False, dashes=DASHES)
        drawn += [part("strikes", arc(disc, 0.55, -115, -8, width=4)), part("tail", away)]
    return drawn


def p_factor(disc: Disc) -> list[Element]:
    """The blades level, the disc tilted back: the one that goes down pulls more."""
    if not disc.answer:
        return []
    x = sign(disc.sides()["down_blade"])
    return [
        part("down-blade", canvas.arrow(disc.place(1.2 * x, -0.3), disc.place(1.2 * x, 0.42), 4, 13)),
        part("up-blade", canvas.arrow(disc.place(-1.2 * x, 0.3), disc.place(-1.2 * x, -0.34), 1.5, 9)),
        part("more", pull(disc, 0.58 * x, 0.34, 0.24)),
        part("less", pull(disc, -0.58 * x, 0.34, 0.11)),
    ]


def gyroscopic(disc: Disc) -> list[Element]:
    """The push that pitching puts in at the top or bottom, and a quarter turn on where it takes effect."""
    x, y = sign(comes_out(disc.propeller, disc.tail)), -1 if disc.tail == "raised" else 1
    drawn = [part("push", pull(disc, 0, y, 0.16))]
    if disc.answer:
        start = 0 if y < 0 else 180
        drawn += [arc(disc, 1.14, start + 14, start + 76, dashes=DASHES), part("effect", pull(disc, x, 0, 0.24))]
    return drawn


EFFECTS: dict[str, Callable[[Disc], list[Element]]] = {
    "torque": torque,
    "slipstream": slipstream,
    "p-factor": p_factor,
    "gyroscopic": gyroscopic,
}


def nose(propeller: str, effect: str, tail: str) -> Side:
    """The way an effect turns the nose."""
    gyroscopic = "tail_up_yaw" if tail == "raised" else "tail_down_yaw"
    return yaw.yaw_sides(propeller)[_YAW.get(effect, gyroscopic)]


def draw(words: Words) -> Drawing:
    """The picture."""
    propeller, effect, tail, show = (words[key] for key in ("propeller", "effect", "tail", "show"))
    height, drawn = (
        _four(propeller, show == ANSWER) if effect == _ALL else _one(propeller, effect, tail, show == ANSWER)
    )
    title = "The propeller seen from behind" + ("" if effect == _ALL else f": {effect}")
    return Drawing(height, title, drawn)


def _one(propeller: str, effect: str, tail: str, answer: bool) -> tuple[float, list[Element]]:
    beside = _from_the_side(effect, tail)
    top = 122 if beside else 0
    shown = Disc((180, top + 148), 82, propeller, tail, answer)
    y = top + (322 if effect == "torque" else 276)
    told = [" ".join(_cause(shown, effect))] if answer else [" ".join(_given(effect, tail))]
    if answer and effect == "slipstream":
        told.append(f"the dashed arrow: {_pushed(propeller)}")
    if effect == "gyroscopic" or (answer and effect == "p-factor"):
        told.append(_CROSSED)
    drawn = [
        _heading(20, effect, bold=True),
        *beside,
        _heading(top + 39, f"seen from behind, turning {propeller}"),
        *_panel(shown, effect),
        canvas.lines((180, y - 9 + 8.5 * (len(told) - 1)), *told),
        *_nose(y + 34, nose(propeller, effect, tail) if answer else None),
    ]
    return y + 72, drawn


def _from_the_side(effect: str, tail: str) -> list[Element]:
    """What an effect begins with, where it is plain from the side: the tilted disc, or the push that pitching is."""
    if effect not in {"p-factor", "gyroscopic"}:
        return []
    wheels, pitch = (150.0, 140.0), aeroplane.THREE_POINT if effect == "p-factor" else 6
    up = 1 if tail == "raised" else -1
    hub, edge, fin = aeroplane.put(wheels, 1, pitch, (-29, -29), (-29, -29 - 19 * up), (118, -80))
    drawn = [line((8, wheels[1]), (352, wheels[1]), width=3), *aeroplane.side(wheels, 1, pitch)]
    if effect == "p-factor":
        air = canvas.arrow(step(hub, (-96, 0)), step(hub, (-8, 0)), solid=False, size=9)
        drawn.append(line(canvas.turned(hub, (-62, 0), pitch), hub, width=THIN, dashes=DASHES))
        return [part("side", *drawn, part("air", air, canvas.label(step(hub, (-76, 18)), "air")))]
    moves = canvas.arrow(step(fin, (0, 16 * up)), step(fin, (0, -16 * up)), 3, 13)
    push = aeroplane.force(edge, step(edge, (-44, 0)))
    told = canvas.label(step(edge, (-52, 5)), "push", anchor="end")
    return [part("side", *drawn, part("tail-moves", moves), part("put-in", push, told))]


def _four(propeller: str, answer: bool) -> tuple[float, list[Element]]:
    """The four effects of a take-off, which share the swing."""
    drawn = [_heading(20, f"seen from behind, turning {propeller}")]
    for index, name in enumerate(EFFECTS):
        x, y = 90 + 180 * (index % 2), 52 + 198 * (index // 2)
        shown = Disc((x, y + 64), 44, propeller, "raised", answer)
        told = _cause(shown, name) if answer else _given(name, "raised")
        drawn += [canvas.lines((x, y - 5), name, size=TEXT, bold=True), *_panel(shown, name)]
        drawn.append(canvas.lines((x, y + 155), *told))
    drawn += [_heading(452, _CROSSED), *_nose(474, yaw.yaw_sides(propeller)["swing"] if answer else None)]
    return 512, drawn


def _panel(shown: Disc, effect: str) -> list[Element]:
    drawn = EFFECTS[effect](shown)
    return [part(effect, *turning(shown, effect), *drawn)]


def _heading(y: float, text: str, bold: bool = False) -> Element:
    return canvas.label((180, y), text, TEXT if bold else canvas.SMALL, bold=bold)


def _nose(y: float, side: Side | None) -> list[Element]:
    """The way the nose goes, or the question."""
    middle = (180.0, y)
    if side is None:
        ends = [canvas.arrow(step(middle, (9 * x, 0)), step(middle, (64 * x, 0)), dashes=DASHES) for x in (-1, 1)]
        return [part("question", *ends, canvas.lines((180, y + 24), "which way does the nose go?", bold=True))]
    far = 64 * sign(side)
    arrow = canvas.arrow(step(middle, (-far, 0)), step(middle, (far, 0)), width=HEAVY, size=18)
    return [part("nose", arrow, canvas.lines((180, y + 24), f"the nose goes {side}", size=TEXT, bold=True))]


def _given(effect: str, tail: str) -> tuple[str, str]:
    """What the question gives, in two short lines."""
    push = "top" if tail == "raised" else "bottom"
    return {
        "torque": ("power on, both main", "wheels on the ground"),
        "slipstream": ("the wash turns with", "the disc, past the fin"),
        "p-factor": ("tail low: the disc", "is tilted back"),
        "gyroscopic": (f"tail being {tail}:", f"a push at the {push}"),
    }[effect]


def _cause(shown: Disc, effect: str) -> tuple[str, str]:
    """What causes it, in two short lines."""
    sides, push = shown.sides(), "top" if shown.tail == "raised" else "bottom"
    return {
        "torque": (f"the {sides['torque_wheel']} wheel", "is pressed and drags"),
        "slipstream": (f"the {sides['slipstream_fin']} side", "of the fin is struck"),
        "p-factor": (f"the {sides['down_blade']} blade, going", "down, pulls more"),
        "gyroscopic": (f"a push at the {push}", f"comes out on the {comes_out(shown.propeller, shown.tail)}"),
    }[effect]


def _pushed(propeller: str) -> str:
    return f"the tail is pushed {yaw.opposite(yaw.slipstream_fin(propeller))}"


def sentence(words: Words) -> str:
    """What the picture shows: what is given or, once the answer is shown, each cause and the way of the nose."""
    propeller, effect, tail, show = (words[key] for key in ("propeller", "effect", "tail", "show"))
    beside = {"gyroscopic": f"the tail being {tail}", "p-factor": "the disc tilted back in level air"}.get(effect)
    seen = f"From the side, {beside}. " if beside else ""
    seen += f"The propeller disc seen from behind, turning {propeller}"
    names = tuple(EFFECTS) if effect == _ALL else (effect,)
    if show != ANSWER:
        four = "torque, slipstream, p-factor and gyroscopic effect"
        told = four if effect == _ALL else " ".join(_given(effect, tail))
        return f"{seen}; {told}: which way does the nose go?"
    shown = Disc((0, 0), 1, propeller, tail, answer=True)
    causes = "; ".join(f"{name}: {' '.join(_cause(shown, name))}" for name in names)
    causes = causes.replace("is struck", f"is struck and {_pushed(propeller)}")
    return f"{seen}. {causes[0].upper()}{causes[1:]}. The nose goes {nose(propeller, names[-1], tail)}."


def _rule(words: Words) -> Wrong | None:
    if "tail" in words and words.get("effect", "gyroscopic") != "gyroscopic":
        return "The word 'tail' is for the gyroscopic effect alone.", "leave `tail:` out"
    return None


SCENE = Scene(
    {
        "propeller": one_of(*yaw.PROPELLERS),
        "effect": one_of(*EFFECTS, _ALL),
        "tail": one_of("raised", "lowered", default="raised"),
        "show": one_of("question", ANSWER, default="question"),
    },
    sentence,
    draw,
    _rule,
)
