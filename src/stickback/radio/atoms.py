"""A transmission cut into atoms: a word, a letter, a figure, a written number.

A figure or letter said as a word is the figure or letter. What cannot be seen (control characters, marks that turn the
direction of text) is dropped, figures of other scripts are figures, and of a very long text the beginning is heard.

Sources: ICAO Doc 9432 (4th edition) 2.3 and 2.4, CAP 413 edition 22, 2.13 to 2.15, AIM 4-2-8 to 4-2-11.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from stickback.radio import alphabet

MOST = 2_000  # characters of a transmission that are heard: five minutes' talk

_CHANNEL = r"1[1-3][0-9],[0-9]{1,3}(?![0-9])"  # a frequency with a decimal comma; no other number has one
_THOUSANDS = r"[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]{1,2} [0-9]00(?= ?(?:ft|feet)\b)"
_PIECE = re.compile(
    rf"(?P<number>(?P<channel>{_CHANNEL})|{_THOUSANDS}|[0-9]+(?:\.[0-9]+)?)|(?P<word>[^\W\d_]+)|(?P<mark>[^\s\w])"
)
_STOPS = frozenset(",;:.!?/")
REMEMBERED = 1_000  # texts; the same few are read again and again


@dataclass(frozen=True, slots=True)
class Atom:
    """The smallest piece of a transmission.

    Args:
        text: in small letters; a figure or letter said as a word is the figure or letter.
        number: whether it is made of figures.
        alone: a number written with several figures, which no other figure joins.
        tens: `twenty`, whose nought the next figure takes the place of.
        glued: no space stands before it.
        apart: a comma, stop or slash does.
        start, end: its place in the text, cleaned.
    """

    text: str
    number: bool = False
    alone: bool = False
    tens: bool = False
    glued: bool = False
    apart: bool = False
    start: int = 0
    end: int = 0


def clean(text: str) -> str:
    """What can be seen of a text: compatible characters made plain, invisible ones dropped, at most `MOST`."""
    heard = text[:MOST]
    if heard.isascii() and heard.isprintable():
        return heard
    plain = unicodedata.normalize("NFKC", "".join(map(_visible, heard)))[:MOST]
    return "".join(str(unicodedata.decimal(char)) if char.isdecimal() else char for char in plain)


def _visible(char: str) -> str:
    if char.isspace():
        return " "
    return "" if unicodedata.category(char)[0] == "C" else char


def atoms(text: str) -> tuple[Atom, ...]:
    """A transmission in its smallest pieces; any text has some reading."""
    return _atoms(clean(text))


@lru_cache(REMEMBERED)
def _atoms(text: str) -> tuple[Atom, ...]:
    found: list[Atom] = []
    apart, end = False, -1
    for match in _PIECE.finditer(text):
        if match["mark"]:
            apart = apart or match[0] in _STOPS
            continue
        kind = _word(match["word"].lower()) if match["word"] else _written(match["number"], bool(match["channel"]))
        found.append(Atom(*kind, match.start() == end, apart, *match.span()))
        apart, end = False, match.end()
    return tuple(found)


def _word(word: str) -> tuple[str, bool, bool, bool]:
    """Text, number, alone and tens of an atom that is a word."""
    if figures := alphabet.FIGURES.get(word) or alphabet.TEENS.get(word):
        return figures, True, False, False
    if figures := alphabet.TENS.get(word):
        return figures, True, False, True
    return alphabet.LETTERS.get(word, word), False, False, False


def _written(number: str, channel: bool) -> tuple[str, bool, bool, bool]:
    """The same of a number: `2,500` and `2 500` are 2500; `118,300` and `118.300` are 118.3."""
    plain = number.replace(",", ".") if channel else number.replace(",", "").replace(" ", "")
    whole, dot, rest = plain.partition(".")
    text = decimal(whole, rest) if dot else whole
    return text, True, len(text) > 1, False


def decimal(whole: str, rest: str) -> str:
    """A number with a decimal point, without noughts at its end."""
    return f"{whole}.{rest.rstrip('0') or '0'}"
