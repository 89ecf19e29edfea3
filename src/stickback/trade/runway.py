"""A runway and the wind on it, in words and figures: the names of its two ends, and the wind's two parts."""

import re
from dataclasses import dataclass
from math import floor

from stickback.trade import wind, yaw
from stickback.trade.yaw import Side

RUNWAY = re.compile(r"(0?[1-9]|[12][0-9]|3[0-6])([LCR]?)")
_LETTERS = {side: side[0].upper() for side in (yaw.side(-1), yaw.side(1))}


@dataclass(frozen=True)
class Runway:
    """A runway by what is painted on the end it is landed on.

    Args:
        number: 1 to 36; `letter`: L, C, R, or none.
    """

    number: int
    letter: str

    @property
    def name(self) -> str:
        """The designator, two figures and the letter."""
        return f"{self.number:02d}{self.letter}"

    @property
    def direction(self) -> float:
        """The way it is landed on, in degrees."""
        return wind.direction(self.number)

    @property
    def other(self) -> "Runway":
        """The same runway from its other end: 06R for 24L."""
        turned = {letter: _LETTERS[yaw.opposite(side)] for side, letter in _LETTERS.items()}
        return Runway((self.number + 17) % 36 + 1, turned.get(self.letter, self.letter))


def runway(text: str) -> Runway:
    """A runway as written.

    Errors: ValueError when it is none.
    """
    match = RUNWAY.fullmatch(text)
    if match is None:
        raise ValueError(f"{text} is no runway.")
    return Runway(int(match[1]), match[2])


@dataclass(frozen=True)
class Wind:
    """A wind on a runway.

    Args:
        comes_from: degrees; `knots`: its speed.
    """

    runway: Runway
    comes_from: float
    knots: float

    @property
    def names(self) -> tuple[str, str]:
        """What its two parts are called: along the runway, and across it."""
        return "headwind" if self.along >= 0 else "tailwind", "crosswind"

    @property
    def along(self) -> float:
        """The share of it along the runway, -1 to 1; positive is a headwind."""
        return wind.headwind(self.runway.number, self.comes_from, 1)

    @property
    def across(self) -> float:
        """The share of it across the runway, -1 to 1; positive is from the right."""
        return wind.crosswind(self.runway.number, self.comes_from, 1)

    @property
    def side(self) -> Side:
        """The side that its crosswind comes from."""
        return yaw.side(self.across)

    def share(self, name: str) -> float:
        """The size of the part of that name, 0 to 1."""
        return abs(self.across if name == self.names[1] else self.along)

    def part_knots(self, name: str) -> int:
        """The knots of the part of that name, rounded to the nearest, halves up."""
        return floor(round(self.share(name) * self.knots, 6) + 0.5)


def degrees(bearing: float) -> str:
    """A direction in three figures, north as 360."""
    return f"{round(bearing) % 360 or 360:03d}"
