"""What several scenes draw: an aeroplane from above, a compass, and a label that keeps clear of a line."""

from math import cos, radians, sin

from stickback.pictures.canvas import SMALL, THIN, Element, Point, arrow, element, label, line, part, shape, text_width

_LEADING = 1.25  # from line to line, in text sizes

# Half of an aeroplane from nose to tail, in half spans: x to its right, y to its tail.
_HALF = ((0, -0.62), (0.09, -0.56), (0.11, -0.32), (0.95, -0.3), (1, -0.22), (1, -0.06), (0.94, -0.02), (0.11, 0.02))
_TAIL = ((0.05, 0.62), (0.36, 0.64), (0.39, 0.71), (0.36, 0.79), (0.04, 0.81), (0, 0.9))


def toward(bearing: float, distance: float = 1) -> Point:
    """The step that leads in a compass direction, north up; degrees."""
    return distance * sin(radians(bearing)), -distance * cos(radians(bearing))


def step(at: Point, *steps: Point) -> Point:
    """A point moved."""
    return at[0] + sum(x for x, _ in steps), at[1] + sum(y for _, y in steps)


def times(vector: Point, factor: float) -> Point:
    """A vector made longer or shorter, or turned round."""
    return vector[0] * factor, vector[1] * factor


def turned(at: Point, point: Point, degrees: float) -> Point:
    """Where a point of something that stands at `at` comes to lie when it is turned clockwise."""
    (x, y), (up_x, up_y) = point, toward(degrees)
    return at[0] - x * up_y - y * up_x, at[1] + x * up_x - y * up_y


def aeroplane(at: Point, half_span: float, heading: float = 0) -> Element:
    """An aeroplane from above; `at` is the middle of its wing."""
    half = _HALF + _TAIL
    outline = [*half, *((-x, y) for x, y in half[-2:0:-1])]
    placed = [turned(at, times(each, half_span), heading) for each in outline]
    blades = [turned(at, times((x, -0.66), half_span), heading) for x in (-0.2, 0.2)]
    return part("aeroplane", shape(*placed, fill=0.15, width=THIN), line(*blades))


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
