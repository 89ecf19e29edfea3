"""A small SVG builder, and the shapes that several scenes share. Elements are values, texts are escaped, and only the
reader's own text colour is used.

Units are those of the viewBox, about 360 wide, so that one unit is about a pixel on a phone; x to the right, y down.
There is no style, script, id or reference in it: two pictures on a page cannot disturb each other.

Source: SVG 1.1 (Second Edition) and the characters that XML 1.0 allows, production 2.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from math import cos, hypot, radians, sin
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
Look: TypeAlias = dict[str, str | float]

WIDTH = 360
TEXT, SMALL = 14, 13  # never smaller: it must be read on a phone
THIN, LINE, HEAVY = 1.5, 2, 4
DASHES, DOTS = "7 5", "2 4"

_LEADING = 1.25  # from line to line, in text sizes

_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True)
class Element:
    """An element of a picture.

    Args:
        attributes: names with their values, not yet escaped.
        inside: the elements and texts it holds, in order; texts not yet escaped.
    """

    tag: str
    attributes: tuple[tuple[str, str], ...] = ()
    inside: tuple["Element | str", ...] = ()


def element(tag: str, *inside: Element | str, **attributes: str | float) -> Element:
    """An element; `stroke_width` is written `stroke-width`, numbers short; an attribute of no text is left out."""
    written = tuple((name.replace("_", "-"), _value(value)) for name, value in attributes.items() if value != "")
    return Element(tag, written, inside)


def part(name: str, *inside: Element) -> Element:
    """A group that says what it shows, for tests and for whoever styles a page."""
    return element("g", *inside, data_part=name)


def _value(value: str | float) -> str:
    if isinstance(value, str):
        return value
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_value(x)},{_value(y)}" for x, y in points)


def line(*points: Point, width: float = LINE, dashes: str = "") -> Element:
    """A line through two or more points."""
    return element("polyline", points=_points(points), stroke_width=width, stroke_dasharray=dashes)


def shape(*points: Point, fill: float = 0, width: float = LINE) -> Element:
    """A closed outline; `fill` from 0 (empty) to 1 (solid)."""
    return element("polygon", points=_points(points), stroke_width=width, fill="currentColor", fill_opacity=fill)


def circle(at: Point, radius: float, fill: float = 0, width: float = LINE, dashes: str = "") -> Element:
    """A circle; `fill` from 0 (empty) to 1 (solid)."""
    look: Look = {"stroke_width": width, "stroke_dasharray": dashes, "fill": "currentColor", "fill_opacity": fill}
    return element("circle", cx=at[0], cy=at[1], r=radius, **look)


def path(words: str, width: float = LINE, dashes: str = "") -> Element:
    """A curve in the words of SVG."""
    return element("path", d=words, stroke_width=width, stroke_dasharray=dashes)


def head(tip: Point, toward: Point, size: float = 11, solid: bool = True) -> Element:
    """The head of an arrow that flies along `toward`: solid, or two open strokes."""
    x, y = (each / hypot(*toward) for each in toward)
    back = (tip[0] - x * size, tip[1] - y * size)
    wide = size * 0.45
    barbs = (back[0] - y * wide, back[1] + x * wide), (back[0] + y * wide, back[1] - x * wide)
    return shape(barbs[0], tip, barbs[1], fill=1, width=THIN) if solid else line(barbs[0], tip, barbs[1])


def arrow(
    start: Point, tip: Point, width: float = LINE, size: float = 11, dashes: str = "", solid: bool = True
) -> Element:
    """A straight arrow from `start` to `tip`."""
    toward = (tip[0] - start[0], tip[1] - start[1])
    share = 1 - (0.7 * size if solid else 0) / hypot(*toward)  # a wide shaft must not blunt the head
    end = (start[0] + toward[0] * share, start[1] + toward[1] * share)
    return element("g", line(start, end, width=width, dashes=dashes), head(tip, toward, size, solid))


def label(at: Point, text: str, size: float = SMALL, anchor: str = "middle", bold: bool = False) -> Element:
    """A text whose baseline begins, has its middle, or ends at a point."""
    weight = "bold" if bold else "normal"
    look: Look = {"fill": "currentColor", "stroke": "none", "font_size": size, "font_weight": weight}
    return element("text", text, x=at[0], y=at[1], text_anchor=anchor, **look)


def text_width(text: str, size: float = SMALL, bold: bool = False) -> float:
    """About how wide a text is: rather too wide, since nobody knows the reader's font."""
    return (0.66 if bold else 0.6) * size * len(text)


def toward(bearing: float, distance: float = 1) -> Point:
    """The step that leads in a compass direction, north up; degrees."""
    return distance * sin(radians(bearing)), -distance * cos(radians(bearing))


def step(at: Point, *steps: Point) -> Point:
    """A point moved."""
    return at[0] + sum(x for x, _ in steps), at[1] + sum(y for _, y in steps)


def times(vector: Point, factor: float) -> Point:
    """A vector made longer or shorter, or turned round."""
    return vector[0] * factor, vector[1] * factor


def between(start: Point, end: Point, share: float) -> Point:
    """The point on a line at a share of its way, 0 to 1."""
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def turned(at: Point, point: Point, degrees: float) -> Point:
    """Where a point of something that stands at `at` comes to lie when it is turned clockwise."""
    (x, y), (up_x, up_y) = point, toward(degrees)
    return at[0] - x * up_y - y * up_x, at[1] + x * up_x - y * up_y


def north(at: Point) -> Element:
    """The arrow that says where north is."""
    return part("north", arrow(step(at, (0, 18)), step(at, (0, -12))), label(step(at, (0, -17)), "N", bold=True))


def lines(at: Point, *texts: str, size: float = SMALL, anchor: str = "middle", bold: bool = False) -> Element:
    """Lines of text under one another, the middle of them at `at`."""
    high = size * _LEADING
    first = at[1] - high * (len(texts) - 1) / 2 + size * 0.36
    return element(
        "g", *(label((at[0], first + high * row), text, size, anchor, bold) for row, text in enumerate(texts))
    )


def reach(direction: Point, *texts: str, size: float = SMALL, bold: bool = False) -> float:
    """How far lines of text reach from their middle in a direction (of length 1)."""
    wide = max(text_width(text, size, bold) for text in texts)
    high = size * (_LEADING * (len(texts) - 1) + 1)
    return (abs(direction[0]) * wide + abs(direction[1]) * high) / 2


def svg(height: float, title: str, sentence: str, *inside: Element, width: float = WIDTH) -> str:
    """The picture as text, as wide as its page up to its own size.

    Args:
        title: its name; `sentence`: what it shows, for those who cannot see it.
    """
    texts = (element("title", title), element("desc", sentence))
    box: Look = {"viewBox": f"0 0 {_value(width)} {_value(height)}", "width": width, "height": height, "role": "img"}
    look: Look = {"fill": "none", "stroke": "currentColor", "stroke_linecap": "round", "stroke_linejoin": "round"}
    font: Look = {"font_family": "system-ui, sans-serif"}
    xmlns = "http://www.w3.org/2000/svg"
    return _written(element("svg", *texts, *inside, xmlns=xmlns, **box, **font, **look))


def _written(each: Element | str) -> str:
    if isinstance(each, str):
        return _escaped(each)
    attributes = "".join(f' {name}="{_escaped(value)}"' for name, value in each.attributes)
    inside = "".join(map(_written, each.inside))
    return f"<{each.tag}{attributes}>{inside}</{each.tag}>" if inside else f"<{each.tag}{attributes}/>"


def _escaped(text: str) -> str:
    return escape(text if text.isprintable() else _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text))
