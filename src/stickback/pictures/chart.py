"""Charts as SVG: what is known day by day, and what was predicted against what came of it.

Drawn in the reader's own text colour alone; what a line or an area means is written at it. Shares are 0 to 1.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from stickback.amount import percent
from stickback.pictures import canvas
from stickback.pictures.canvas import DASHES, DOTS, HEAVY, TEXT, THIN, Element, Point, label, part

_LEFT, _RIGHT, _TOP, _SIDE = 58.0, 342.0, 54.0, 284.0  # where the field begins and ends; height of a square one
_MOST_DOTS = 31
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)


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


def known(title: str, readings: Sequence[Reading]) -> str:
    """What is known day by day.

    Args:
        readings: at least one, in the order of the days.
    """
    height = 200.0
    xs = [_across(at / max(len(readings) - 1, 1)) for at in range(len(readings))]
    low = [(x, _up(one.low, height)) for x, one in zip(xs, readings, strict=True)]
    high = [(x, _up(one.high, height)) for x, one in zip(xs, readings, strict=True)]
    middle = [(x, _up(one.middle, height)) for x, one in zip(xs, readings, strict=True)]
    first, last = readings[0], readings[-1]
    drawn = [
        label((_LEFT, 22), title, size=TEXT, anchor="start", bold=True),
        label((_LEFT, 41), "line: known; area: 8 cases of 10", anchor="start"),
        part("grid", *_shares(height)),
        part("band", *_band(low, high)),
        part("known", *_line(middle)),
        part("days", *_ends(height, [one.name for one in readings])),
    ]
    return canvas.svg(_TOP + height + 30, title, _sentence(first, last), *drawn)


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


def _ends(height: float, names: Sequence[str]) -> list[Element]:
    below = _TOP + height + 20
    first = label((_LEFT, below), names[0], anchor="start")
    return [first, *(label((_RIGHT, below), name, anchor="end") for name in names[1:][-1:])]


def side_by_side(title: str, span: str, lines: Sequence[tuple[str, Sequence[float | None]]]) -> str:
    """Small charts of one scale in two columns, each with what it stands at now.

    Args:
        span: what goes across each of them.
        lines: name and shares, oldest first; None where there is none yet.
    """
    height, row = 44.0, 92.0
    drawn = [
        label((12, 22), title, size=TEXT, anchor="start", bold=True),
        label((12, 41), f"up: 0 to 100 %; across: {span}", anchor="start"),
    ]
    for place, (name, shares) in enumerate(lines):
        left, top = 12 + 174 * (place % 2), 84 + row * (place // 2)
        drawn.append(part("small", *_small(left, top, height, name, shares)))
    said = "; ".join(f"{name} {_now(shares)}" for name, shares in lines)
    return canvas.svg(84 + row * math.ceil(len(lines) / 2) - 24, title, f"Known now: {said}.", *drawn)


def _now(shares: Sequence[float | None]) -> str:
    last = shares[-1] if shares else None
    return "not asked yet" if last is None else percent(last)


def _small(left: float, top: float, height: float, name: str, shares: Sequence[float | None]) -> list[Element]:
    """One of several: its name and present figure above, a line over a field from nothing to all."""
    wide, step = 162.0, 162.0 / max(len(shares) - 1, 1)
    short = name if len(name) <= 17 else f"{name[:15].rstrip()}…"
    points = [(left + step * at, top + (1 - share) * height) for at, share in enumerate(shares) if share is not None]
    edges = [canvas.line((left, y), (left + wide, y), width=1, dashes=DOTS) for y in (top, top + height)]
    found = [
        label((left, top - 8), short, anchor="start"),
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
    drawn = [
        label((_LEFT, 22), title, size=TEXT, anchor="start", bold=True),
        label((_LEFT, 41), "up: came true; across: predicted", anchor="start"),
        part("noise", label((_LEFT, _TOP + _SIDE + 42), floor if bins else "no answer yet", anchor="start")),
        part("grid", *_shares(_SIDE)),
        part("same", canvas.line((_LEFT, _TOP + _SIDE), (_RIGHT, _TOP), width=THIN, dashes=DASHES)),
        part("ranges", *(canvas.line(*_range(one), width=THIN) for one in bins)),
        part("told", *(canvas.circle(_place(one), _size(one, bins), fill=0.4) for one in bins)),
        part("predicted", *(_under(share) for share in _SHARES)),
    ]
    return canvas.svg(_TOP + _SIDE + 54, title, _reliability_sentence(bins, noise_floor), *drawn)


def _reliability_sentence(rows: Sequence[Share], noise_floor: float | None) -> str:
    if not rows:
        return "No answer was predicted yet."
    many = sum(one.answers for one in rows)
    pairs = ", ".join(f"{percent(one.predicted)}: {percent(one.observed)}" for one in rows)
    floor = "" if noise_floor is None else f" A perfect forecaster would be {percent(noise_floor, 1)} off by chance."
    return f"{many} answers. Bin, and what came true: {pairs}.{floor}"


def _place(one: Share) -> Point:
    return _across(one.predicted), _up(one.observed, _SIDE)


def _range(one: Share) -> tuple[Point, Point]:
    return (_across(one.low), _up(one.observed, _SIDE)), (_across(one.high), _up(one.observed, _SIDE))


def _size(one: Share, rows: Sequence[Share]) -> float:
    """A radius whose area follows the count."""
    return max(3.0, 8.0 * math.sqrt(one.answers / max(each.answers for each in rows)))


def _shares(height: float) -> list[Element]:
    """Level lines with their shares."""
    found = []
    for share in _SHARES:
        y = _up(share, height)
        dashes = "" if share in {0.0, 1.0} else DOTS
        found.append(canvas.element("g", canvas.line((_LEFT, y), (_RIGHT, y), width=1, dashes=dashes), opacity=0.5))
        found.append(label((_LEFT - 6, y + 5), percent(share), anchor="end"))
    return found


def _under(share: float) -> Element:
    anchor = {0.0: "start", 1.0: "end"}.get(share, "middle")
    return label((_across(share), _TOP + _SIDE + 20), percent(share), anchor=anchor)


def _across(share: float) -> float:
    return _LEFT + share * (_RIGHT - _LEFT)


def _up(share: float, height: float) -> float:
    return _TOP + (1 - share) * height
