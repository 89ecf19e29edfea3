"""Charts as SVG: what is known day by day, and what was predicted against what came of it.

Drawn in the reader's own text colour alone; what a line or an area means is written at it. Shares are 0 to 1.
"""

import math
import textwrap
from collections.abc import Sequence
from typing import NamedTuple

from stickback.amount import percent
from stickback.pictures import canvas
from stickback.pictures.canvas import DASHES, DOTS, HEAVY, LINE, TEXT, THIN, Element, Point, label, part

_LEFT, _RIGHT, _TOP, _SIDE = 66.0, 336.0, 62.0, 270.0  # where the field begins and ends; height of a square one
_TITLE, _SIZE = 19, 17  # of text: it can still be read where a picture is shown at half its size
_MOST_DOTS = 31
_LEAST_SPAN = 0.2  # an axis shows no less, or what is nothing would look steep
_BAR, _BAR_HIGH = 120.0, 14.0


class Reading(NamedTuple):
    """What is known on a day: the middle of its band, and the ends between which eight cases of ten lie."""

    name: str
    middle: float
    low: float
    high: float


class Share(NamedTuple):
    """Predictions that are near each other.

    Args:
        low, high: the range of the predictions.
        predicted, observed: their mean, and the share that came true; `answers`: how many.
    """

    low: float
    high: float
    predicted: float
    observed: float
    answers: int


class Axis(NamedTuple):
    """The part of the shares that a chart shows, in tenths."""

    low: float
    high: float

    def up(self, share: float, height: float) -> float:
        """Where a share stands in a field of a height."""
        return _TOP + (self.high - share) / (self.high - self.low) * height

    def across(self, share: float) -> float:
        """The same from left to right."""
        return _LEFT + (share - self.low) / (self.high - self.low) * (_RIGHT - _LEFT)

    @property
    def marks(self) -> list[float]:
        """The shares that are written at it: three to six."""
        tenths = round((self.high - self.low) * 10)
        step = 1 if tenths <= 5 else 2
        low = round(self.low * 10)
        return [at / 10 for at in range(low, low + tenths + 1, step)]


def _fitted(shares: Sequence[float]) -> Axis:
    """The tenths around some shares; an even number of them where there are many."""
    low, high = math.floor(min(shares) * 10), math.ceil(max(shares) * 10)
    high = min(max(high, low + round(_LEAST_SPAN * 10)), 10)
    low = min(low, high - round(_LEAST_SPAN * 10))
    if high - low > 5 and (high - low) % 2:
        low, high = (low - 1, high) if low else (low, high + 1)
    return Axis(low / 10, high / 10)


def bar(middle: float, low: float | None = None, high: float | None = None) -> str:
    """A share as a bar from 0 to 100 %, with its range as a line where it has one: for a row of a table."""
    mid = _BAR_HIGH / 2
    inside = [
        canvas.element("rect", x=0.5, y=2, width=_BAR - 1, height=_BAR_HIGH - 4, stroke_width=1, stroke_opacity=0.4),
        canvas.element(
            "rect",
            x=0.5,
            y=2,
            width=middle * (_BAR - 1),
            height=_BAR_HIGH - 4,
            fill="currentColor",
            fill_opacity=0.45,
            stroke="none",
        ),
    ]
    sentence = f"{percent(middle)}."
    if low is not None and high is not None:
        inside.append(canvas.line((low * _BAR, mid), (high * _BAR, mid), width=LINE))
        inside += [canvas.line((end * _BAR, mid - 4), (end * _BAR, mid + 4), width=THIN) for end in (low, high)]
        sentence = f"{percent(middle)}, likely {percent(low)} to {percent(high)}."
    return canvas.svg(_BAR_HIGH, percent(middle), sentence, *inside, width=_BAR)


def known(title: str, readings: Sequence[Reading]) -> str:
    """What is known day by day.

    Args:
        readings: at least one, in the order of the days.
    """
    height = 210.0
    axis = _fitted([share for one in readings for share in (one.low, one.middle, one.high)])
    xs = [_LEFT + at / max(len(readings) - 1, 1) * (_RIGHT - _LEFT) for at in range(len(readings))]
    low, middle, high = (
        [(x, axis.up(getattr(one, name), height)) for x, one in zip(xs, readings, strict=True)]
        for name in ("low", "middle", "high")
    )
    drawn = [
        label((8, 22), title, size=_TITLE, anchor="start", bold=True),
        label((8, 46), "line: known · area: 8 cases of 10", size=_SIZE, anchor="start"),
        part("grid", *_shares(axis, height)),
        part("band", *_band(low, high)),
        part("known", *_line(middle)),
        part("days", *_days(height, xs, [one.name for one in readings])),
    ]
    return canvas.svg(_TOP + height + 34, title, _sentence(readings[0], readings[-1]), *drawn)


def _sentence(first: Reading, last: Reading) -> str:
    if first == last:
        return f"{first.name}: {percent(first.middle)} known, likely {percent(first.low)} to {percent(first.high)}."
    return (
        f"From {percent(first.middle)} known on {first.name} to {percent(last.middle)} on {last.name}, "
        f"likely {percent(last.low)} to {percent(last.high)}."
    )


def _band(low: Sequence[Point], high: Sequence[Point]) -> list[Element]:
    if len(low) == 1:
        return [canvas.line(low[0], high[0], width=HEAVY)]
    area = canvas.element("g", canvas.shape(*low, *reversed(high), fill=0.15, width=0), stroke="none")
    return [area, canvas.line(*low, width=THIN, dashes=DOTS), canvas.line(*high, width=THIN, dashes=DOTS)]


def _line(points: Sequence[Point]) -> list[Element]:
    dots = points if len(points) <= _MOST_DOTS else [points[0], points[-1]]
    return [canvas.line(*points), *(canvas.circle(each, 2.5, fill=1) for each in dots)]


def _days(height: float, xs: Sequence[float], names: Sequence[str]) -> list[Element]:
    """The first and the last day, and as many between as there is room for, each at its tick."""
    bottom, found, last = _TOP + height, [], len(names) - 1
    steps = (sorted({round(at * last / max(many - 1, 1)) for at in range(many)}) for many in range(len(names), 0, -1))
    for at in next(places for places in steps if len(places) <= 2 or _apart(places, xs, names)):
        anchor = "start" if at == 0 else "end" if at == last else "middle"
        x = {"start": _LEFT - 8, "end": _RIGHT + 16}.get(anchor, xs[at])
        found.append(canvas.line((xs[at], bottom), (xs[at], bottom + 6), width=THIN))
        found.append(label((x, bottom + 25), names[at], size=_SIZE, anchor=anchor))
    return found


def _apart(places: Sequence[int], xs: Sequence[float], names: Sequence[str]) -> bool:
    """Whether no name under the axis runs into the next."""
    wide = [canvas.text_width(names[at], _SIZE) for at in places]
    begins = [xs[at] - each / 2 for at, each in zip(places, wide, strict=True)]
    begins[0], begins[-1] = _LEFT - 8, _RIGHT + 16 - wide[-1]
    return all(one + each < other for one, each, other in zip(begins, wide, begins[1:], strict=False))


def side_by_side(title: str, span: str, lines: Sequence[tuple[str, Sequence[float | None]]]) -> str:
    """Small charts of one scale in two columns, each with what it stands at now.

    Args:
        span: what goes across each of them.
        lines: name and shares, oldest first; None where there is none yet.
    """
    height, row = 44.0, 108.0
    drawn = [
        label((12, 22), title, size=TEXT, anchor="start", bold=True),
        label((12, 41), f"up: 0 to 100 %; across: {span}", anchor="start"),
    ]
    for place, (name, shares) in enumerate(lines):
        left, top = 12 + 174 * (place % 2), 100 + row * (place // 2)
        drawn.append(part("small", *_small(left, top, height, name, shares)))
    said = "; ".join(f"{name} {_now(shares)}" for name, shares in lines)
    return canvas.svg(100 + row * math.ceil(len(lines) / 2) - 40, title, f"Known now: {said}.", *drawn)


def _now(shares: Sequence[float | None]) -> str:
    last = shares[-1] if shares else None
    return "not asked yet" if last is None else percent(last)


def _small(left: float, top: float, height: float, name: str, shares: Sequence[float | None]) -> list[Element]:
    """One of several: its name and present figure above, a line over a field from nothing to all."""
    wide, step = 162.0, 162.0 / max(len(shares) - 1, 1)
    names = textwrap.wrap(name, 17, max_lines=2, placeholder="…")
    points = [(left + step * at, top + (1 - share) * height) for at, share in enumerate(shares) if share is not None]
    edges = [canvas.line((left, y), (left + wide, y), width=1, dashes=DOTS) for y in (top, top + height)]
    found = [
        *(label((left, top - 8 - 16 * up), line, anchor="start") for up, line in enumerate(reversed(names))),
        label((left + wide, top - 8), "" if not points else _now(shares), anchor="end", bold=True),
        canvas.element("g", *edges, opacity=0.5),
    ]
    return [*found, canvas.line(*points), canvas.circle(points[-1], 2.5, fill=1)] if points else found


def reliability(title: str, bins: Sequence[Share], noise_floor: float | None) -> str:
    """Predicted against observed: on the line both are the same.

    Args:
        bins: in the order of their predictions; may be empty.
        noise_floor: the mean distance from the line that a perfect forecaster would be expected to show.
    """
    floor = "" if noise_floor is None else f"by chance alone: {percent(noise_floor, 1)} off the line"
    axis = _fitted([share for one in bins for share in (one.low, one.high, one.observed)] or [0.0, 1.0])
    drawn = [
        label((8, 22), title, size=_TITLE, anchor="start", bold=True),
        label((8, 46), "up: came true · across: predicted", size=_SIZE, anchor="start"),
        part("noise", label((8, _TOP + _SIDE + 52), floor if bins else "no answer yet", size=_SIZE, anchor="start")),
        part("grid", *_shares(axis, _SIDE)),
        part("same", canvas.line((_LEFT, _TOP + _SIDE), (_RIGHT, _TOP), width=THIN, dashes=DASHES)),
        part("ranges", *(canvas.line(*_range(axis, one), width=THIN) for one in bins)),
        part("told", *(canvas.circle(_place(axis, one), _size(one, bins), fill=0.4) for one in bins)),
        part("predicted", *(_under(axis, share) for share in axis.marks[:: 2 if len(axis.marks) > 4 else 1])),
    ]
    return canvas.svg(_TOP + _SIDE + 64, title, _reliability_sentence(bins, noise_floor), *drawn)


def _reliability_sentence(rows: Sequence[Share], noise_floor: float | None) -> str:
    if not rows:
        return "No answer was predicted yet."
    many = sum(one.answers for one in rows)
    pairs = ", ".join(f"{percent(one.predicted)}: {percent(one.observed)}" for one in rows)
    floor = "" if noise_floor is None else f" A perfect forecaster would be {percent(noise_floor, 1)} off by chance."
    return f"{many} answers. Bin, and what came true: {pairs}.{floor}"


def _place(axis: Axis, one: Share) -> Point:
    return axis.across(one.predicted), axis.up(one.observed, _SIDE)


def _range(axis: Axis, one: Share) -> tuple[Point, Point]:
    up = axis.up(one.observed, _SIDE)
    return (axis.across(one.low), up), (axis.across(one.high), up)


def _size(one: Share, rows: Sequence[Share]) -> float:
    """A radius whose area follows the count."""
    return max(3.0, 8.0 * math.sqrt(one.answers / max(each.answers for each in rows)))


def _shares(axis: Axis, height: float) -> list[Element]:
    """Level lines with their shares."""
    found = []
    for share in axis.marks:
        y = axis.up(share, height)
        dashes = "" if share in {axis.low, axis.high} else DOTS
        found.append(canvas.element("g", canvas.line((_LEFT, y), (_RIGHT, y), width=1, dashes=dashes), opacity=0.5))
        found.append(label((_LEFT - 7, y + 6), percent(share), size=_SIZE, anchor="end"))
    return found


def _under(axis: Axis, share: float) -> Element:
    return label((axis.across(share), _TOP + _SIDE + 25), percent(share), size=_SIZE)
