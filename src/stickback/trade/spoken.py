"""A transmission, spoken or written, as tokens that can be compared: `two four left` and `24L` are the same.

A text is first cut into atoms (a word, a letter, a figure, a written number), among which a callsign is looked for;
what is left becomes tokens: words in one form, letters as themselves, numbers with all their figures. Tokens are equal
or not, never similar. What cannot be seen (control characters, marks that turn the direction of text) is dropped.

Sources: ICAO Doc 9432 (4th edition) 2.3 and 2.4, CAP 413 edition 22, 2.13 to 2.15, AIM 4-2-8 to 4-2-11.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace

from stickback.trade import alphabet

MOST = 2_000  # characters of a transmission that are heard: five minutes' talk

_PIECE = re.compile(
    r"(?P<number>[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]+(?:[.,][0-9]+)?)|(?P<word>[^\W\d_]+)|(?P<mark>[^\s\w])"
)
_CHANNEL = re.compile(r"1[123][0-9],[0-9]{3}")  # a frequency with a decimal comma, no thousands
_STOPS = frozenset(",;:.!?/")
_LONGEST = 9  # figures of a number that is reckoned with


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Token:
    """A word, letter or number in its one form, and the places of its first atom and of the one behind its last."""

    text: str
    at: int = 0
    after: int = 0

    @property
    def number(self) -> bool:
        """Whether it is one."""
        return self.text[0].isdigit()


def clean(text: str) -> str:
    """What can be seen of a text: compatible characters made plain, invisible ones dropped, at most `MOST`."""
    plain = unicodedata.normalize("NFKC", text[:MOST])[:MOST]
    return "".join(
        " " if char.isspace() else char for char in plain if char.isspace() or unicodedata.category(char)[0] != "C"
    )


def atoms(text: str) -> tuple[Atom, ...]:
    """A transmission in its smallest pieces; any text has some reading."""
    found: list[Atom] = []
    apart, end = False, -1
    for match in _PIECE.finditer(clean(text)):
        if match["mark"]:
            apart = apart or match[0] in _STOPS
            continue
        atom = _written(match["number"]) if match["number"] else _word(match["word"].lower())
        found.append(replace(atom, glued=match.start() == end, apart=apart, start=match.start(), end=match.end()))
        apart, end = False, match.end()
    return tuple(found)


def _word(word: str) -> Atom:
    if figures := alphabet.FIGURES.get(word) or alphabet.TEENS.get(word):
        return Atom(figures, number=True)
    if figures := alphabet.TENS.get(word):
        return Atom(figures, number=True, tens=True)
    return Atom(alphabet.LETTERS.get(word, word))


def _written(number: str) -> Atom:
    """`2,500` is 2500; `118,300` and `118.300` are 118.3."""
    if "," in number and len(number.partition(",")[2]) % 4 == 3 and not _CHANNEL.fullmatch(number):
        number = number.replace(",", "")
    whole, dot, rest = number.replace(",", ".").partition(".")
    text = _decimal(whole, rest) if dot else whole
    return Atom(text, number=True, alone=len(text) > 1)


def _decimal(whole: str, rest: str) -> str:
    return f"{whole}.{rest.rstrip('0') or '0'}"


def tokens(text: str) -> tuple[Token, ...]:
    """A whole transmission as tokens."""
    return joined(atoms(text))


def joined(pieces: Sequence[Atom], start: int = 0) -> tuple[Token, ...]:
    """Atoms as tokens; `start` is the place of the first in the whole transmission."""
    found: list[Token] = []
    at = 0
    while at < len(pieces):
        said, after = _number(pieces, at) if pieces[at].number else _phrase(pieces, at)
        if said:
            found.append(Token(_in_place(said, found, pieces[at]), start + at, start + after))
        at = after
    return tuple(found)


def _in_place(said: str, before: Sequence[Token], atom: Atom) -> str:
    """What hangs on the word before: a runway's nought and side, an altimeter setting without its point."""
    last = before[-1].text if before else ""
    if last == "runway" and said.isdigit() and len(said) == 1:
        return f"0{said}"  # the FAA says it without (AIM 4-4-7)
    if last == "altimeter" and "." in said:
        return said.replace(".", "").ljust(4, "0")
    runway = len(before) > 1 and before[-2].text == "runway"
    if before and before[-1].number and said in alphabet.SIDES and (atom.glued or runway):
        return alphabet.SIDES[said]
    return said


def _phrase(pieces: Sequence[Atom], at: int) -> tuple[str, int]:
    """The word that begins here, and the place after it; empty for one of no account."""
    for phrase, word in alphabet.PHRASES:
        if pieces[at].text == phrase[0] and tuple(each.text for each in pieces[at : at + len(phrase)]) == phrase:
            return word, at + len(phrase)
    said = pieces[at].text
    if said in alphabet.FILLERS:
        return "", at + 1
    unit = alphabet.UNITS.get(said) if len(said) > 1 else None
    return alphabet.FORMS.get(said) or unit or said, at + 1


def _number(pieces: Sequence[Atom], at: int) -> tuple[str, int]:
    """The number that begins here, and the place after it."""
    figures, after = _run(pieces, at)
    figures, after = _multiplied(pieces, figures, after)
    if after + 1 < len(pieces) and pieces[after].text in alphabet.DECIMAL and pieces[after + 1].number:
        rest, end = _run(pieces, after + 1)
        if "." not in figures + rest:
            return _decimal(figures, rest), end
    return figures, after


def _run(pieces: Sequence[Atom], at: int) -> tuple[str, int]:
    """Figures said one by one are one number; one written with several stands alone, as does the 1 of A1."""
    first, after = pieces[at], at + 1
    figures = first.text
    if first.alone or (first.glued and at):
        return figures, after
    while after < len(pieces) and pieces[after].number and not (pieces[after].alone or pieces[after].apart):
        takes_place = pieces[after - 1].tens and len(pieces[after].text) == 1
        figures = (figures[:-1] if takes_place else figures) + pieces[after].text
        after += 1
    return figures, after


def _multiplied(pieces: Sequence[Atom], figures: str, after: int) -> tuple[str, int]:
    """`two thousand five hundred`, `one two thousand`, `2 thousand`: whole thousands and hundreds."""
    times = alphabet.MULTIPLES.get(pieces[after].text) if after < len(pieces) else None
    if times is None or len(figures) > _LONGEST or not figures.isdigit():
        return figures, after
    total, after = int(figures) * times, after + 1
    if times == 1000 and after < len(pieces) and pieces[after].number and not pieces[after].apart:
        more, end = _run(pieces, after)
        if end < len(pieces) and pieces[end].text == "hundred" and len(more) == 1:
            return str(total + int(more) * 100), end + 1
    return str(total), after
