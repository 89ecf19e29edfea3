"""How close to the right figure is close enough, and how finely such a figure is printed."""

from dataclasses import dataclass
from typing import Literal

from stickback.trade import units

Way = Literal["absolute", "percent", "nearest"]
EXACT = 1e-9  # what sums of floats may be off by


@dataclass(frozen=True)
class Tolerance:
    """What a figure may be off by.

    Args:
        size: 0 or more; `absolute` in the unit of the figure, `percent` of the right one, or to the `nearest` multiple.
    """

    size: float
    way: Way = "absolute"

    def slack(self, right: float) -> float:
        """What may be off to either side of the right figure, in its unit."""
        return {"percent": self.size * abs(right) / 100, "nearest": self.size / 2}.get(self.way, self.size)

    def covers(self, said: float, right: float, unit: str) -> bool:
        """Whether a figure is close enough to the right one; directions are compared around the compass."""
        off = abs(said - right)
        if units.quantity(unit) == "angle":
            off = abs((said - right + 180) % 360 - 180)
        return off <= self.slack(right) + EXACT

    def printed(self, right: float, unit: str) -> str:
        """The right figure, no finer than it must be; a whole direction in three figures."""
        if self.way == "nearest" and self.size:
            right = round(right / self.size) * self.size
        fine = (self.size if self.way == "nearest" else self.slack(right)) / 2
        decimals = next((places for places in range(6) if abs(round(right, places) - right) <= fine), 6)
        if units.quantity(unit) == "angle":
            right %= 360
            return f"{right:.{decimals}f}" if decimals else f"{round(right) % 360 or 360:03d}"
        return f"{round(right, decimals) + 0.0:.{decimals}f}"
