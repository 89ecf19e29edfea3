"""The propeller disc seen from behind, as the pilot sees it, and on it what each effect does to the aeroplane.

A picture is drawn around (0, 0) in disc radii, x to the right and y down, and put in its place at the end: two of the
physics' three axes seen along the third, so a place or a movement there is a place or a movement here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, radians, sin

from stickback.pictures import canvas
from stickback.pictures.canvas import DASHES, DOTS, LINE, THIN, Element, Point, circle, line, part
from stickback.trade import yaw
from stickback.trade.yaw import Side

_UP, _DOWN = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Disc:
    """Where a disc is drawn and what is told on it.

    Args:
        propeller: one of `physics.PROPELLERS`.
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


def sign(side: Side) -> int:
    """Where a side lies in the picture: it is seen as the pilot sees it."""
    return 1 if side == yaw.side(1) else -1


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
