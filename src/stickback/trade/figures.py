"""Figures as pilots type them, with unit and side: read as one figure, or refused with what was not understood.

The decimal sign is a point or a comma. Exactly three figures behind a comma, a space or an apostrophe are thousands
(`2,500`, `2 500`), unless a nought stands before (`0,125`); behind a single point they are decimals (`29.921`). What
several units share (`miles`, `gal`, `degrees`) is the unit asked for where that is one of them. Two figures, ranges and
bounds are no answer to a question for one figure.
"""

import re
import unicodedata
from dataclasses import dataclass

from stickback.trade import units
from stickback.trade.number_words import in_figures

_LONGEST = 200  # characters of an answer, marks that nobody sees left out
# Marks that turn the direction of text or take no room go; full-width signs and their likes become the plain ones.
_PLAIN: dict[int, str | None] = {
    **{0xFF01 + offset: chr(0x21 + offset) for offset in range(94)},
    **dict.fromkeys((0xAD, 0x61C, 0xFEFF, *range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2066, 0x206A))),
    **{ord(sign): "-" for sign in "−‐‑‒–—"},
    **{ord(sign): "°" for sign in "º˚"},
    **{ord(sign): "'" for sign in "’‘`´′"},
    **{ord(sign): '"' for sign in "“”„″"},
    **{ord(sign): " " for sign in "()[]{};"},
    **{ord(sign): "/" for sign in "∕⁄"},
    ord("⋅"): "·",
    ord("×"): "x",
    ord("℃"): "°c",
    ord("℉"): "°f",
}
_NUMBER = re.compile(
    r"""(?:(?P<whole>\d{1,4})[ ])?(?P<over>\d{1,2})/(?P<under>\d{1,2})(?![\d/.,])
      |(?P<figure>\d(?:[.,' ]?\d)*[.,]?(?!\d)|[.,]\d+)""",
    re.VERBOSE | re.ASCII,
)
_FIGURE = re.compile(
    r"""[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?          # 2,500.5
      |[1-9]\d{0,2}(?:[ ']\d{3})+(?:[.,]\d+)?       # 2 500,5
      |[1-9]\d{0,2}(?:\.\d{3})+,\d+                 # 2.500,5
      |[1-9]\d{0,2}(?:\.\d{3}){2,}                  # 1.002.500
      |\d+(?:[.,]\d*)?|[.,]\d+""",
    re.VERBOSE | re.ASCII,
)
_GROUPED = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+|[1-9]\d{0,2}(?:\.\d{3}){2,}", re.ASCII)
_LEFT, _RIGHT = ("left", "port", "lhs", "lh"), ("right", "starboard", "rhs", "rh")
_SIDES = dict.fromkeys((*_LEFT, "l"), "left") | dict.fromkeys((*_RIGHT, "r"), "right")
_SIDE = r"(?:(?:from|to|on|at)\s+)?(?:the\s+|my\s+)?(?<![a-z])({})(?![a-z])(?:[\s-]hand)?(?:\s+side)?"
_WORD_SIDE = re.compile(_SIDE.format("|".join((*_LEFT, *_RIGHT))))
_ANY_SIDE = re.compile(_SIDE.format("|".join(_SIDES)))
_HOURS = re.compile(r"(\d{1,3})\s?(?:h|hrs?|hours?)[\s,]*(?:and\s)?([0-5]?\d)(?:\s?(?:m|mins?|minutes?))?\.?", re.ASCII)
_MINUTES = re.compile(
    r"(\d{1,3})\s?(?:m|mins?|minutes?|')[\s,]*(?:and\s)?([0-5]?\d)(?:\s?(?:s|secs?|seconds?|\"))?\.?", re.ASCII
)
_CLOCK = re.compile(r"(\d{1,3})\s?:\s?([0-5]\d)", re.ASCII)
_SIGN = re.compile(r"(?:^|(?<=[\s,]))(-|\+|minus|plus|negative)\s*$")
_BELOW = re.compile(r"\s*below\s*$")
_BOUND = re.compile(r"[<>≤≥]|(?<![a-z])(?:(?:less|more|greater|fewer|higher|lower)\sthan|under|over|above)(?![a-z])")
_EDGES = re.compile(r"^(?:[\s:!?=~≈]|,\s)+|[\s.,:!?=~≈]+$")
_LONE = re.compile(r"^an?\s(?=hour|minute)")
_SIGNS = dict.fromkeys(map(ord, ",~≈="), " ")
_TWO = "one figure is asked for, and there are two"
# Words that change nothing about a figure.
_FILLERS = frozenset(
    {
        "a",
        "an",
        "and",
        "at",
        "be",
        "by",
        "i",
        "i'd",
        "is",
        "it",
        "it's",
        "its",
        "of",
        "say",
        "some",
        "the",
        "think",
        "to",
    }
    | {
        "about",
        "approx",
        "approximately",
        "around",
        "ca",
        "circa",
        "exactly",
        "ish",
        "just",
        "only",
        "roughly",
        "would",
    }
    | {"bearing", "course", "direction", "hdg", "heading", "track", "airspeed", "ias", "indicated", "speed", "q", "qnh"}
    | {"answer", "component", "down", "least", "max", "maximum", "minimum", "most", "up"}
)
_ACROSS = frozenset({"crosswind", "cross-wind", "x-wind", "xwind", "wind", "cross"})
_TIMES = frozenset({"x", "times", "fold"})


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


class Unread(Exception):  # noqa: N818 - what was typed is no mistake of the program
    """What was typed is not one figure; its text says why, as "there is no figure in it"."""


def read(text: str, asked: str = "", *, sided: bool = False) -> Measured:
    """A figure as typed, with its unit and side where they are.

    Hours and minutes (`2 h 30 min`) come out in minutes, minutes and seconds in seconds.

    Args:
        asked: the unit asked for, `""` for a plain number.
        sided: the figure has a side; then `L` and `R` name it.
    Errors: Unread when it is not one figure, has an unknown unit, or is no direction where one is asked for.
    """
    plain = _plain(text)
    if not plain:
        raise Unread("no figure was typed")
    side, rest = _side(plain, sided=sided)
    found = _time(rest, asked) or _figure(rest, asked, sided=sided)
    _fits(found, asked, sided=sided)
    return Measured(found.value, found.unit, side)


def _plain(text: str) -> str:
    """Lower case, one space at most, plain signs, number words as figures."""
    if len(text) > 50 * _LONGEST:
        raise Unread("that is far more than a figure")
    spelt = "".join(_fraction(char) for char in text.translate(_PLAIN))
    plain = " ".join(spelt.casefold().split())
    if len(plain) > _LONGEST:
        raise Unread("that is far more than a figure")
    return in_figures(_LONE.sub("1 ", _EDGES.sub("", plain.replace(" below zero", " below"))))


def _fraction(char: str) -> str:
    """`½` as ` 1/2`; any other character as it is."""
    parts = unicodedata.decomposition(char).split()
    if not parts or parts[0] != "<fraction>":
        return char
    return " " + "".join(chr(int(part, 16)) for part in parts[1:]).replace("⁄", "/")


def _side(text: str, *, sided: bool) -> tuple[str, str]:
    pattern = _ANY_SIDE if sided else _WORD_SIDE
    sides = {_SIDES[name] for name in pattern.findall(text)}
    if len(sides) > 1:
        raise Unread("both left and right are named")
    return "".join(sides), _EDGES.sub("", " ".join(pattern.sub(" ", text).split()))


def _time(text: str, asked: str) -> Measured | None:
    """Hours with minutes, or minutes with seconds; with a colon only where a time is asked for."""
    if match := _HOURS.fullmatch(text):
        return Measured(60.0 * int(match[1]) + int(match[2]), "min")
    if match := _MINUTES.fullmatch(text):
        return Measured(60.0 * int(match[1]) + int(match[2]), "s")
    match = _CLOCK.fullmatch(text)
    if match and units.quantity(asked) == "time":
        return Measured(60.0 * int(match[1]) + int(match[2]), "s" if units.name(asked) == "s" else "min")
    return None


def _figure(text: str, asked: str, *, sided: bool) -> Measured:
    numbers = list(_NUMBER.finditer(text))
    if not numbers:
        raise Unread("there is no figure in it")
    if _BOUND.search(text[: numbers[-1].start()]):
        raise Unread("one figure is asked for, and this is a bound")
    if len(numbers) > 1:
        return _several(text, numbers, asked)
    number, value = numbers[0], _value(numbers[0])
    before, behind = text[: number.start()], text[number.end() :]
    sign = _SIGN.search(before)
    below = _BELOW.search(behind) if units.quantity(asked) == "temperature" else None
    if sign:
        before = before[: sign.start()]
    if below:
        behind = behind[: below.start()]
    negative = bool(below) or bool(sign and sign[1] in {"-", "minus", "negative"})
    return Measured(-value if negative else value, _unit(before, behind, asked, sided=sided))


def _several(text: str, numbers: list[re.Match[str]], asked: str) -> Measured:
    """Two figures are one where they are a ratio to 1 (`2:1`, `1:20`, `two to one`) and a plain number is asked for."""
    first, second = numbers[:2]
    alone = len(numbers) == 2 and first.start() == 0 and second.end() == len(text)
    sign = text[first.end() : second.start()].strip()
    if alone and not asked and sign in {":", "to"}:
        one, other = _value(first), _value(second)
        if other == 1 or (one == 1 and other and sign == ":"):
            return Measured(one / other)
    raise Unread(_TWO)


def _value(number: re.Match[str]) -> float:
    """The value of a figure that `_NUMBER` has found."""
    if number["over"]:
        over, under = int(number["over"]), int(number["under"])
        if not over < under <= 16:
            raise Unread(_TWO)
        return int(number["whole"] or 0) + over / under
    figure = number["figure"]
    if not _FIGURE.fullmatch(figure):
        raise Unread(f"{_quoted(figure)} can be read in more than one way")
    if _GROUPED.fullmatch(figure):
        return float(re.sub(r"[.,]", "", figure))
    digits = re.sub(r"[ ']", "", figure).replace(",", ".")
    whole, point, decimals = digits.rpartition(".")
    return float(f"{whole.replace('.', '')}{point}{decimals}")


def _unit(before: str, behind: str, asked: str, *, sided: bool) -> str:
    """The unit that stands behind the figure or before it; of other words only those that change nothing."""
    harmless = _FILLERS | (_ACROSS if sided else frozenset()) | (frozenset() if asked else _TIMES)
    circa = frozenset({"c"} if units.quantity(asked) != "temperature" else ())
    found = [text for text in (_trimmed(behind.lstrip(" -"), harmless), _trimmed(before, harmless | circa)) if text]
    if len(found) > 1:
        raise Unread(f"{_quoted(found[1])} means nothing here")
    try:
        return units.meant(found[0], asked) if found else ""
    except ValueError as error:
        raise Unread(f"{_quoted(found[0])} {error}") from None


def _quoted(text: str) -> str:
    return f"'{''.join(char if char.isprintable() else '�' for char in text[:40])}'"


def _trimmed(text: str, harmless: frozenset[str]) -> str:
    """A text without harmless words and signs at its ends."""
    words = text.translate(_SIGNS).split()
    while words and _is_harmless(words[0], harmless):
        words = words[1:]
    while words and _is_harmless(words[-1], harmless):
        words = words[:-1]
    return " ".join(words).strip(":!?/ ")


def _is_harmless(word: str, harmless: frozenset[str]) -> bool:
    return not word.strip(".:!?") or word.strip(".:!?-") in harmless


def _fits(found: Measured, asked: str, *, sided: bool) -> None:
    """Whether the figure can be an answer at all, right or wrong."""
    if units.quantity(asked) == "angle" and found.unit in {"", "deg"} and not 0 <= found.value <= 360:
        raise Unread("a direction lies from 000 to 360")
    if units.name(asked) == "%" and not found.unit and 0 < found.value < 1:
        raise Unread("that may be a share or a percentage: type it with its sign, such as 46 %")
    if sided and found.value < 0:
        raise Unread("a side is typed as left or right, not as a sign")
