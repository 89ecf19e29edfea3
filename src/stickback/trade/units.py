"""Units by their exact definitions, and figures with a unit as pilots type them.

A unit has one name, by which it is printed, and many spellings; every function here takes any of them. What could mean
two things (`gal`, `miles`, `inches`) is no spelling of anything.

Sources: BIPM, The International System of Units, 9th edition, table 8 (hour, minute); the international nautical mile
of 1929; NIST SP 811 (2008), appendix B.8 (knot, foot, mile, pound, both gallons, degree Fahrenheit, conventional inch
of mercury); all exact but the last.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache


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


@dataclass(frozen=True)
class Measured:
    """A figure as typed.

    Args:
        unit: the unit's name, or `""` when none was typed.
        side: `left`, `right` or `""`.
    """

    value: float
    unit: str = ""
    side: str = ""


def _unit(quantity: str, factor: str, spellings: str, lift: int = 0) -> Unit:
    """A unit; its factor is written as a decimal or a fraction, its spellings are split by bars."""
    return Unit(quantity, Fraction(factor), tuple(spellings.split("|")), lift)


UNITS: dict[str, Unit] = {
    "m/s": _unit("speed", "1", "mps|m/s|metres per second|meters per second"),
    "kt": _unit("speed", "1852/3600", "kt|kts|kn|knot|knots"),
    "mph": _unit("speed", "1609344/3600000", "mph|mi/h|miles per hour"),
    "km/h": _unit("speed", "1000/3600", "kmh|km/h|kph|kilometres per hour|kilometers per hour"),
    "ft/min": _unit("speed", "3048/600000", "fpm|ft/min|feet/min|feet per minute|ft per min|feet per min"),
    "m": _unit("length", "1", "m|metre|metres|meter|meters"),
    "ft": _unit("length", "0.3048", "ft|foot|feet"),
    "nm": _unit("length", "1852", "nm|nmi|nautical mile|nautical miles"),
    "sm": _unit("length", "1609.344", "sm|mi|statute mile|statute miles"),
    "km": _unit("length", "1000", "km|kms|kilometre|kilometres|kilometer|kilometers"),
    "hPa": _unit("pressure", "1", "hpa|mb|mbar|mbars|millibar|millibars|hectopascal|hectopascals"),
    "inHg": _unit("pressure", "33.86389", "inhg|in hg|in. hg|inches hg|inch of mercury|inches of mercury"),
    "°C": _unit("temperature", "1", "degc|°c|c|deg c|degree c|degrees c|celsius|degrees celsius|℃"),
    "°F": _unit("temperature", "5/9", "degf|°f|f|deg f|degree f|degrees f|fahrenheit|degrees fahrenheit|℉", -32),
    "kg": _unit("mass", "1", "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes"),
    "lb": _unit("mass", "0.45359237", "lb|lbs|pound|pounds"),
    "l": _unit("volume", "1", "l|ltr|litre|litres|liter|liters"),
    "US gal": _unit("volume", "3.785411784", "usgal|us gal|usg|us gallon|us gallons"),
    "imp gal": _unit("volume", "4.54609", "impgal|imp gal|imp gallon|imp gallons|imperial gallon|imperial gallons"),
    "h": _unit("time", "1", "h|hr|hrs|hour|hours"),
    "min": _unit("time", "1/60", "min|mins|minute|minutes"),
    "s": _unit("time", "1/3600", "s|sec|secs|second|seconds"),
    "deg": _unit("angle", "1", "deg|°|degs|degree|degrees"),
    "rpm": _unit("turning", "1", "rpm|revs|rev/min|r/min|revs per minute|revolutions per minute"),
    "%": _unit("share", "1", "percent|%|per cent|pct"),
    "g": _unit("load", "1", "g|gs"),
    "N·m": _unit("moment", "1", "newton_metre|n·m|n m|newton metre|newton metres|newton meter|newton meters"),
}
_NAMES = {spelling: name for name, unit in UNITS.items() for spelling in unit.spellings}

_LONGEST = 200  # characters of an answer, marks that nobody sees left out
# Marks that turn the direction of text or take no room go; full-width signs and their likes become the plain ones.
_PLAIN: dict[int, str | None] = {
    **{0xFF01 + offset: chr(0x21 + offset) for offset in range(94)},
    **dict.fromkeys((0xAD, 0x61C, 0xFEFF, *range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2066, 0x206A))),
    **{ord(sign): "-" for sign in "−‐‑‒–"},
    **{ord(sign): "°" for sign in "º˚"},
    **{ord(sign): "'" for sign in "’‘`´"},
    ord("⋅"): "·",
    ord("∕"): "/",
    ord("⁄"): "/",
}
_SIDE = r"(?:(?:from|to|on)\s)?(?:the\s)?(?:left|right)"
_FIGURE = re.compile(
    rf"""(?:(?P<before>{_SIDE})[\s,]*)?
    (?P<sign>[+-]|plus\s|minus\s)?\s?
    (?P<figure>[1-9]\d{{0,2}}(?:,\d{{3}})+(?:\.\d+)?    # 2,500.5
      |[1-9]\d{{0,2}}(?:[ ']\d{{3}})+(?:[.,]\d+)?       # 2 500,5
      |[1-9]\d{{0,2}}(?:\.\d{{3}})+,\d+                 # 2.500,5
      |[1-9]\d{{0,2}}(?:\.\d{{3}}){{2,}}                # 1.002.500
      |\d+(?:[.,]\d*)?|[.,]\d+)
    (?![.,' ]?\d)\s?
    (?P<unit>(?:[^\d\s,].*?)??)[\s,]*(?P<after>(?<![a-z]){_SIDE})?\s?\.?""",
    re.VERBOSE | re.ASCII,
)
_GROUPED = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+|[1-9]\d{0,2}(?:\.\d{3}){2,}", re.ASCII)
_TIME = re.compile(r"(\d{1,3})(?:\s?:|\s?h|\s?hrs?|\s?hours?)\s?([0-5]?\d)(?:\s?m|\s?mins?|\s?minutes?)?\.?", re.ASCII)


def name(spelling: str) -> str | None:
    """The name of the unit that is spelt so, upper or lower case; None when there is none."""
    plain = " ".join(spelling.translate(_PLAIN).casefold().split()) if len(spelling) <= _LONGEST else ""
    return _NAMES.get(plain) or _NAMES.get(plain.removesuffix("."))


def quantity(unit: str) -> str | None:
    """What a unit measures: `speed`, `length`, `angle` and so on; None when there is no such unit."""
    found = name(unit)
    return UNITS[found].quantity if found else None


def siblings(unit: str) -> tuple[str, ...]:
    """The other units of the same quantity, by name; none for what is no unit."""
    own, kind = name(unit), quantity(unit)
    return tuple(other for other, each in UNITS.items() if each.quantity == kind and other != own)


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


def read(text: str) -> Measured | None:
    """A figure as typed, with its unit and side where they are; None when it is not one figure, or has an unknown unit.

    The decimal sign is a point or a comma. Exactly three figures behind a comma, a space or an apostrophe are
    thousands (`2,500`, `2 500`), unless a nought stands before (`0,125`); behind a single point they are decimals
    (`29.921`). Hours and minutes (`2 h 30 min`, `2:30`) come out in minutes.
    """
    if len(text) > 50 * _LONGEST:
        return None
    plain = " ".join(text.translate(_PLAIN).casefold().split())
    if len(plain) > _LONGEST:
        return None
    if hours := _TIME.fullmatch(plain):
        return Measured(60.0 * int(hours[1]) + int(hours[2]), "min")
    match = _FIGURE.fullmatch(plain)
    unit = name(match["unit"]) if match and match["unit"] else ""
    sides = {side.split()[-1] for side in (match["before"], match["after"]) if side} if match else set()
    if match is None or unit is None or len(sides) > 1:
        return None
    value = _value(match["figure"])
    return Measured(-value if (match["sign"] or "").strip() in {"-", "minus"} else value, unit, "".join(sides))


def _value(figure: str) -> float:
    """The value of a figure that `_FIGURE` has found."""
    if _GROUPED.fullmatch(figure):
        return float(re.sub(r"[.,]", "", figure))
    digits = re.sub(r"[ ']", "", figure).replace(",", ".")
    whole, point, decimals = digits.rpartition(".")
    return float(f"{whole.replace('.', '')}{point}{decimals}")
