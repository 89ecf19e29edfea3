"""Pictures read back: the parts of an SVG, the points of its lines, the boxes of its texts."""

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"


def read(svg):
    return ElementTree.fromstring(svg)  # noqa: S314 - our own


def parts(root, name):
    """The groups of that name."""
    return [each for each in root.iter(f"{SVG}g") if each.get("data-part") == name]


def part(root, name):
    """The only group of that name."""
    (found,) = parts(root, name)
    return found


def points(element):
    return [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]


def outline(group):
    """The points of the first line or outline in a group."""
    return points(next(each for each in group.iter() if each.get("points")))


def arrow(group):
    """Where the first straight arrow of a group starts, and its tip."""
    lines = [points(each) for each in group.iter() if each.get("points")]
    shaft = next(each for each in lines if len(each) == 2)
    head = lines[lines.index(shaft) + 1]
    return shaft[0], head[1]


def bearing(start, end):
    """The compass direction from one point to another, north up."""
    return degrees(atan2(end[0] - start[0], start[1] - end[1])) % 360


def centre(group):
    """The middle of the first circle in a group."""
    circle = next(group.iter(f"{SVG}circle"))
    return float(circle.get("cx")), float(circle.get("cy"))


def said(element):
    """The texts in an element, in order."""
    return [each.text for each in element.iter(f"{SVG}text")]


@dataclass(frozen=True)
class Box:
    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other):
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def boxes(root, wide=0.6):
    """About where each text lies; `wide`: the width of a letter in sizes of the text."""
    found = []
    for each in root.iter(f"{SVG}text"):
        size, x, y = (float(each.get(key)) for key in ("font-size", "x", "y"))
        width = wide * size * len(each.text) * (1.1 if each.get("font-weight") == "bold" else 1)
        left = x - {"start": 0, "middle": width / 2, "end": width}[each.get("text-anchor")]
        found.append(Box(each.text, left, y - 0.75 * size, left + width, y + 0.2 * size))
    return found


def segments(root):
    """Every straight piece of every line and outline."""
    for each in root.iter():
        if each.get("points"):
            around = points(each)
            if each.tag == f"{SVG}polygon":
                around.append(around[0])
            yield from pairwise(around)


def crosses(box, segment):
    """Whether a straight piece runs through a box: clipped by its four sides, something is left."""
    (x1, y1), (x2, y2) = segment
    start, end = 0.0, 1.0
    for at, step, low, high in ((x1, x2 - x1, box.left, box.right), (y1, y2 - y1, box.top, box.bottom)):
        if step == 0:
            if not low < at < high:
                return False
            continue
        near, far = sorted(((low - at) / step, (high - at) / step))
        start, end = max(start, near), min(end, far)
    return start < end
