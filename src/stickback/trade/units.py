"""Units by their exact definitions, what people call them, and how close to a right figure is close enough.

A unit has one name, by which it is printed, and many spellings; every function here takes any of them. What could mean
two things (`gal`, `miles`, `inches`) is no spelling of anything, and understood only of someone who was asked for one.

Sources: BIPM, The International System of Units, 9th edition, table 8 (hour, minute); the international nautical mile
of 1929; NIST SP 811 (2008), appendix B.8 (knot, inch, foot, yard, mile, pound, both gallons and quarts, degree
Fahrenheit, pound-force per square inch, conventional inch of mercury); all exact but the last two.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal


@dataclass(frozen=True)
class Unit:
    """One unit.

    Args:
        quantity: what it measures; only units of the same quantity convert.
        factor: its size in the quantity's first unit.
        spellings: how it is typed, in lower case; the first is its word in the name of a function.
        lift: what brings a value to the zero of the first unit: 59 °F stand 27 of their degrees above 0 °C.
    """

    quantity: str
    factor: Fraction
    spellings: tuple[str, ...]
    lift: int = 0


def _unit(quantity: str, factor: str, spellings: str, lift: int = 0) -> Unit:
    """A unit; its factor is written as a decimal or a fraction, its spellings are split by bars."""
    return Unit(quantity, Fraction(factor), tuple(spellings.split("|")), lift)


UNITS: dict[str, Unit] = {
    "m/s": _unit("speed", "1", "mps|m/s|m/sec|metres per second|meters per second|metres/s|meters/s"),
    "kt": _unit("speed", "1852/3600", "kt|kts|kn|knot|knots|kias|kcas|ktas|nm/h|nm/hr|nautical miles per hour"),
    "mph": _unit("speed", "1609344/3600000", "mph|mi/h|miles per hour|mile per hour|miles/h|miles/hr|mias"),
    "km/h": _unit("speed", "1000/3600", "kmh|km/h|km/hr|km/hour|kph|kmph|kilometres per hour|kilometers per hour"),
    "ft/min": _unit("speed", "3048/600000", "fpm|ft/min|ft/minute|feet per min|feet per minute|foot per minute"),
    "m": _unit("length", "1", "m|mtr|mtrs|metre|metres|meter|meters"),
    "ft": _unit("length", "0.3048", "ft|foot|feet"),
    "in": _unit("length", "0.0254", 'inch|inches|in|"'),
    "yd": _unit("length", "0.9144", "yd|yds|yard|yards"),
    "cm": _unit("length", "0.01", "cm|cms|centimetre|centimetres|centimeter|centimeters"),
    "mm": _unit("length", "0.001", "mm|millimetre|millimetres|millimeter|millimeters"),
    "nm": _unit("length", "1852", "nm|nmi|nautical mile|nautical miles"),
    "sm": _unit("length", "1609.344", "sm|mi|statute mile|statute miles"),
    "km": _unit("length", "1000", "km|kms|kilometre|kilometres|kilometer|kilometers"),
    "hPa": _unit("pressure", "1", "hpa|mb|mbs|mbar|mbars|millibar|millibars|hectopascal|hectopascals"),
    "inHg": _unit(
        "pressure", "33.86389", "inhg|in hg|inch hg|inches hg|inch of mercury|inches of mercury|inches mercury"
    ),
    "psi": _unit("pressure", "68.94757", "psi|lb/sq in|lbs/sq in|pounds per square inch"),
    "°C": _unit(
        "temperature",
        "1",
        "degc|°c|c|° c|deg c|degree c|degrees c|celsius|celcius|centigrade"
        "|degree celsius|degrees celsius|degrees celcius|degrees centigrade",
    ),
    "°F": _unit(
        "temperature",
        "5/9",
        "degf|°f|f|° f|deg f|degree f|degrees f|fahrenheit|degree fahrenheit|degrees fahrenheit",
        -32,
    ),
    "kg": _unit("mass", "1", "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes"),
    "lb": _unit("mass", "0.45359237", "lb|lbs|pound|pounds"),
    "l": _unit("volume", "1", "l|ltr|litre|litres|liter|liters"),
    "US gal": _unit("volume", "3.785411784", "usgal|us gal|us gals|usg|us gallon|us gallons"),
    "imp gal": _unit(
        "volume",
        "4.54609",
        "impgal|imp gal|imp gals|imp gallon|imp gallons|imperial gallon|imperial gallons|uk gal|uk gallons",
    ),
    "US qt": _unit("volume", "0.946352946", "usqt|us qt|us qts|us quart|us quarts"),
    "imp qt": _unit("volume", "1.1365225", "impqt|imp qt|imp qts|imp quart|imp quarts|imperial quarts"),
    "h": _unit("time", "1", "h|hr|hrs|hour|hours"),
    "min": _unit("time", "1/60", "min|mins|minute|minutes"),
    "s": _unit("time", "1/3600", "s|sec|secs|second|seconds"),
    "deg": _unit("angle", "1", "deg|°|degs|degree|degrees"),
    "rpm": _unit(
        "turning", "1", "rpm|rev|revs|rev/min|r/min|revs/min|revs per minute|revolutions|revolutions per minute"
    ),
    "%": _unit("share", "1", "percent|%|per cent|pct"),
    "g": _unit("load", "1", "g|gs|g's"),
    "N·m": _unit("moment", "1", "newton_metre|n·m|n m|newton metre|newton metres|newton meter|newton meters"),
}
# What several units are called by; only the one that is asked for can be meant.
_SHARED: dict[str, tuple[str, ...]] = {
    "mile|miles": ("nm", "sm"),
    "gal|gals|gallon|gallons": ("US gal", "imp gal"),
    "qt|qts|quart|quarts": ("US qt", "imp qt"),
    "inch|inches|in": ("in", "inHg"),
    '"': ("in", "inHg", "s"),
    "°|deg|degs|degree|degrees|º": ("deg", "°C", "°F"),
    "m": ("m", "min", "deg"),
    "nm": ("nm", "N·m"),
    "'": ("ft", "min"),
}
_SIGNS = {ord("º"): "°", ord("˚"): "°", ord("∕"): "/", ord("⁄"): "/", ord("⋅"): "·", ord("’"): "'"}
# Words of a direction: what it is counted from is said by the question.
_MAGNETIC = re.compile(r"(?:(?:°|deg|degree|degrees)\s?)?(?:m|mag|magnetic)")


@lru_cache(1000)
def _plain(spelling: str) -> str:
    """A spelling as all are compared: lower case, without dots, `per` and `an` as a stroke."""
    plain = " ".join(spelling.translate(_SIGNS).casefold().replace(".", "").split())
    return re.sub(r"\s*(?:/|(?<![a-z])(?:per|an?)(?![a-z]))\s*", "/", plain)


_NAMES = {_plain(spelling): name for name, unit in UNITS.items() for spelling in unit.spellings}
_MEANINGS = {_plain(spelling): found for spellings, found in _SHARED.items() for spelling in spellings.split("|")}
_LONGEST = 60  # characters of a unit


def name(spelling: str) -> str | None:
    """The name of the unit that is spelt so, upper or lower case; None when there is none."""
    return _NAMES.get(_plain(spelling)) if len(spelling) <= _LONGEST else None


def meant(spelling: str, asked: str) -> str:
    """The name of the unit that is meant by someone who was asked for another, or the same.

    Errors: ValueError for what is no unit or may be several; it goes on from the spelling: "may be nm or sm".
    """
    plain, own = _plain(spelling[:_LONGEST]), name(asked)
    if own == "deg" and _MAGNETIC.fullmatch(plain):
        return own
    shared = _MEANINGS.get(plain, ())
    likely = [other for other in shared if quantity(other) == quantity(asked)]
    if own and own in likely:
        return own
    if len(likely) == 1:
        return likely[0]
    found = None if likely else name(spelling)
    if found is None:
        raise ValueError(f"may be {' or '.join(shared)}: say which" if shared else "is no unit that is known here")
    return found


def quantity(unit: str) -> str | None:
    """What a unit measures: `speed`, `length`, `angle` and so on; None when there is no such unit."""
    found = name(unit)
    return UNITS[found].quantity if found else None


def siblings(unit: str) -> tuple[str, ...]:
    """The other units of the same quantity, by name; none for what is no unit."""
    own, kind = name(unit), quantity(unit)
    return tuple(other for other, each in UNITS.items() if each.quantity == kind and other != own)


# What stands on dials, charts and sheets, each beside what it is mixed up with.
_BESIDE = (
    *(("kt", "mph"), ("ft", "m"), ("nm", "sm", "km"), ("hPa", "inHg"), ("°C", "°F"), ("kg", "lb"), ("l", "US gal")),
    ("h", "min"),
)


def offered(unit: str) -> tuple[str, ...]:
    """The units to choose from where a unit is asked for, in an order that says nothing; none for what is no unit."""
    own = name(unit)
    return next((beside for beside in _BESIDE if own in beside), (own,) if own else ())


def convert(value: float, unit: str, to: str) -> float:
    """A value in another unit of its quantity, correct to the last figures of a float.

    Errors: ValueError when either is no unit, or they measure different things.
    """
    up, down, lift, drop = _way(unit, to)
    return (value + lift) * up / down - drop


@lru_cache(maxsize=1024)
def _way(unit: str, to: str) -> tuple[int, int, int, int]:
    """Numerator and denominator of the factor, what is added before and taken off after."""
    own, other = name(unit), name(to)
    if own is None or other is None:
        raise ValueError(f"'{to if own else unit}' is no unit.")
    one, two = UNITS[own], UNITS[other]
    if one.quantity != two.quantity:
        raise ValueError(f"{own} is a unit of {one.quantity}, {other} one of {two.quantity}.")
    ratio = one.factor / two.factor
    return ratio.numerator, ratio.denominator, one.lift, two.lift


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
        if quantity(unit) == "angle":
            off = abs((said - right + 180) % 360 - 180)
        return off <= self.slack(right) + EXACT

    def printed(self, right: float, unit: str) -> str:
        """The right figure, no finer than it must be; a whole direction in three figures."""
        if self.way == "nearest" and self.size:
            right = round(right / self.size) * self.size
        fine = (self.size if self.way == "nearest" else self.slack(right)) / 2
        decimals = next((places for places in range(6) if abs(round(right, places) - right) <= fine), 6)
        if quantity(unit) == "angle":
            right %= 360
            return f"{right:.{decimals}f}" if decimals else f"{round(right) % 360 or 360:03d}"
        return f"{round(right, decimals) + 0.0:.{decimals}f}"
