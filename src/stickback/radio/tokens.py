"""A transmission, spoken or written, as tokens that can be compared: `two four left` and `24L` are the same.

Atoms become tokens: words in one form, letters as themselves, numbers with all their figures, the pilot's own callsign
as one. Tokens are equal or not, never similar.

Sources: ICAO Doc 9432 (4th edition) 2.3 and 2.4, CAP 413 edition 22, 2.13 to 2.15, AIM 4-2-8 to 4-2-11.
"""

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from stickback.radio import alphabet, atoms, callsign
from stickback.radio.atoms import Atom
from stickback.radio.callsign import Span

OWN = "@"  # stands for the pilot's own callsign
_LONGEST = 9  # figures of a number that is reckoned with
_INCHES = re.compile(r"(2[89]|3[01])\.\d\d?")  # an altimeter setting with its point, and no frequency
_ARTICLES = frozenset({"a", "i"})
_BEFORE_LETTER = frozenset({"point", "via", "information", "letter"})


class Token(NamedTuple):
    """A word, letter or number in its one form, and the places of its first atom and of the one behind its last.

    Args:
        apart: a comma or stop stands before it.
        doing: said in the form of what the pilot is doing: `lining up`.
    """

    text: str
    at: int = 0
    after: int = 0
    apart: bool = False
    doing: bool = False

    @property
    def number(self) -> bool:
        """Whether it is one."""
        return self.text[0].isdecimal()

    @property
    def letter(self) -> bool:
        """Whether it is a single one."""
        return len(self.text) == 1 and self.text.isalpha()


@dataclass(frozen=True)
class Heard:
    """A transmission taken to pieces: its text, its atoms, where the callsign stands, and its tokens."""

    text: str
    atoms: tuple[Atom, ...]
    callsigns: tuple[Span, ...]
    tokens: tuple[Token, ...]

    def quoted(self, at: int, after: int) -> str:
        """The words as they were said, from one atom to before another."""
        return self.text[self.atoms[at].start : self.atoms[after - 1].end]


def hear(text: str, forms: Sequence[str] = (), words: Set[str] = atoms.NOTHING, rules: str = "") -> Heard:
    """A transmission taken to pieces; the callsign is cut out first, so that its figures join no others.

    Args:
        forms: of the callsign, from `callsign.forms`.
        words: that may be expected in it.
        rules: the phraseology; the FAA's has runways and altimeter settings without their words.
    """
    return _hear(atoms.clean(text), tuple(forms), frozenset(words), rules)


@lru_cache(atoms.REMEMBERED)
def _hear(clean: str, forms: tuple[str, ...], words: frozenset[str], rules: str) -> Heard:
    pieces = atoms.atoms(clean, words)
    spans = callsign.find(pieces, forms)
    said: list[Token] = []
    at = 0
    for start, end in [*spans, (len(pieces), len(pieces))]:
        said += joined(pieces[at:start], at)
        if start < end:
            said.append(Token(OWN, start, end, pieces[start].apart))
        at = end
    if rules == "faa":
        said = with_words(said)
    return Heard(clean, pieces, tuple(spans), tuple(said))


def tokens(text: str) -> tuple[Token, ...]:
    """A whole transmission as tokens."""
    return _tokens(atoms.clean(text))


@lru_cache(atoms.REMEMBERED)
def _tokens(text: str) -> tuple[Token, ...]:
    return joined(atoms.atoms(text))


@lru_cache(atoms.REMEMBERED)
def joined(pieces: tuple[Atom, ...], start: int = 0) -> tuple[Token, ...]:
    """Atoms as tokens; `start` is the place of the first in the whole transmission."""
    found: list[Token] = []
    at, apart = 0, False
    while at < len(pieces):
        said, after = _number(pieces, at) if pieces[at].number else _phrase(pieces, at)
        apart = apart or pieces[at].apart
        if said == "heading" and _turns(found):
            found[-1] = found[-1]._replace(text=f"{found[-1].text} turn")
        if said:
            doing = pieces[at].text in alphabet.DOING or said in alphabet.DOING
            found.append(Token(_in_place(said, found, pieces[at]), start + at, start + after, apart, doing))
            apart = False
        at = after
    return tuple(_sides_first(_waiting_first(_behind_points(_behind_headings(found)))))


def _behind_headings(said: list[Token]) -> list[Token]:
    """Figures said before the word: `two four zero heading`."""
    for at in _places(said, "heading"):
        before, behind = said[at - 1], said[at + 1] if at + 1 < len(said) else None
        if at and before.number and len(before.text) == 3 and not (behind and behind.number and not behind.apart):
            said[at - 1 : at + 1] = _turned(said[at - 1 : at + 1])
    return said


def _behind_points(said: list[Token]) -> list[Token]:
    """The name of a holding point said before the word: `alfa one holding point`."""
    for at in _places(said, "holding point"):
        begins = at - 2 if said[max(at - 1, 0)].number else at - 1
        named = at + 1 < len(said) and not said[at + 1].apart and (said[at + 1].letter or said[at + 1].number)
        if named or begins < 0 or not said[begins].letter:
            continue
        if not begins or said[begins - 1].text != "via":
            said[begins : at + 1] = _turned(said[begins : at + 1])
    return said


def _places(said: Sequence[Token], word: str) -> list[int]:
    """Where a word stands that goes on with what is before it."""
    return [at for at, token in enumerate(said) if token.text == word and not token.apart]


def _turned(said: Sequence[Token]) -> list[Token]:
    """A value and the word behind it in the usual order; what is quoted of the value goes on to that word."""
    *value, word = said
    first = word._replace(apart=value[0].apart, at=value[0].at, after=value[0].at)
    value[-1] = value[-1]._replace(after=word.after)
    return [first, *(each._replace(apart=False) for each in value)]


def _waiting_first(said: list[Token]) -> list[Token]:
    """`line up runway 24 and wait` in the order of the phrase."""
    words = [token.text for token in said]
    if "wait" in words[1:] and (at := words.index("wait")) > 2 and words[at - 3 : at - 1] == ["line up", "runway"]:
        said[at - 2 : at + 1] = [said[at], *said[at - 2 : at]]
    return said


def _sides_first(said: list[Token]) -> list[Token]:
    """`late left hand downwind` as its own words together: the side of a circuit's leg stands before its name."""
    for at in (at for at, token in enumerate(said[:-2]) if token.text in _PART_OF_LEG):
        leg = next((each for each in range(at + 1, len(said)) if said[each].text not in _OF_SIDE), len(said))
        rest = said[at + 1 : leg + 1]
        if leg > at + 1 and rest[-1].text in _LEGS and not any(token.apart for token in rest):
            side = rest[0]._replace(apart=said[at].apart)
            said[at:leg] = [side, *rest[1:-1], said[at]._replace(apart=False)]
    return said


_PART_OF_LEG = frozenset({"late", "long", "short", "early"})
_OF_SIDE = frozenset({"left", "right", "hand"})
_LEGS = frozenset({"downwind", "base", "final"})


def with_words(said: Sequence[Token]) -> list[Token]:
    """Tokens with `runway`, `altimeter` and `heading` put in where only the figure was said: `cleared to land 33`.

    Common practice in America: the rule asks for runway, side and heading (AIM 4-4-7), its examples have the words.
    """
    found: list[Token] = []
    for at, token in enumerate(said):
        before = found[-1].text if found else ""
        behind = said[at + 1].text if at + 1 < len(said) else ""
        if _bare_runway(token, before, behind):
            found.append(token._replace(text="runway", after=token.at))
            token = token._replace(text=token.text.zfill(2), apart=False)
        elif before in _TURNED and not token.apart and token.number and len(token.text) == _HEADING:
            found[-1] = found[-1]._replace(text=_TURNED[before])
            found.append(token._replace(text="heading", after=token.at))
        elif _INCHES.fullmatch(token.text) and before != "altimeter":
            found.append(token._replace(text="altimeter", after=token.at))
            token = token._replace(text=token.text.replace(".", "").ljust(4, "0"), apart=False)
        found.append(token)
    return found


def _bare_runway(token: Token, before: str, behind: str) -> bool:
    """Whether it is the figure of a runway: behind a clearance, before one, or with a side."""
    if not token.number or len(token.text) > 2 or before in {"runway", "number"}:
        return False
    sided = behind in alphabet.SIDES.values() and token.text.isdecimal() and 0 < int(token.text) <= 36
    if before in alphabet.BEFORE_RUNWAY:
        return behind not in alphabet.UNITS.values()
    return (sided or behind in alphabet.BEHIND_RUNWAY) and not before.isdecimal() and before not in _VALUED


_TURNED = {side: f"{side.split()[0]} turn" for side in ("left", "right", "left turn", "right turn")}
_HEADING = 3  # figures of one
_VALUED = frozenset({"wind", "heading", "altimeter", "squawk", "maintain", "at", "speed"})


def _turns(before: Sequence[Token]) -> bool:
    """Whether a side right before a heading is the way to turn, as in `left heading 240`, and not a runway's."""
    return bool(before) and before[-1].text in {"left", "right"} and not (len(before) > 1 and before[-2].number)


def _in_place(said: str, before: Sequence[Token], atom: Atom) -> str:
    """What hangs on the word before: a runway's nought and side, an altimeter setting without its point."""
    last = before[-1].text if before else ""
    if last == "runway" and said.isdecimal() and len(said) == 1:
        return f"0{said}"  # the FAA says it without (AIM 4-4-7)
    if last == "altimeter" and "." in said:
        return said.replace(".", "").ljust(4, "0")
    spoken = atom.end - atom.start != len(atom.text)  # a letter by its word is a taxiway: `runway 15, Charlie`
    runway = len(before) > 1 and before[-2].text == "runway" and not (atom.apart or spoken)
    if before and before[-1].number and said in alphabet.SIDES and (atom.glued or runway):
        return alphabet.SIDES[said]
    return said


def _phrase(pieces: Sequence[Atom], at: int) -> tuple[str, int]:
    """The word that begins here, and the place after it; empty for one of no account."""
    said = pieces[at].text
    if said in alphabet.BEGIN_PHRASES:
        words = tuple(each.text for each in pieces[at : at + alphabet.LONGEST_PHRASE])
        for many in range(len(words), 1, -1):
            if word := alphabet.PHRASES.get(words[:many]):
                return word, at + many
    if said in alphabet.FILLERS or (said in _ARTICLES and _article(pieces, at)):
        return "", at + 1
    unit = alphabet.UNITS.get(said) if len(said) > 1 else None
    return alphabet.FORMS.get(said) or unit or said, at + 1


def _article(pieces: Sequence[Atom], at: int) -> bool:
    """Whether `a` or `i` is a word and no letter: alone, and not where a letter is looked for."""
    piece, before, behind = pieces[at], pieces[at - 1 : at], pieces[at + 1 : at + 2]
    spelt = any(other.letter and not other.number for other in (*before, *behind)) or any(b.glued for b in behind)
    expected = any(alphabet.FORMS.get(other.text, other.text) in _BEFORE_LETTER for other in before)
    return piece.end - piece.start == 1 and not spelt and not expected


def _too(pieces: Sequence[Atom], at: int) -> bool:
    """Whether a two is the word that sounds like it: `crosswind too strong`."""
    written = pieces[at].end - pieces[at].start == len(pieces[at].text)
    return pieces[at].text == "2" and not written and any(each.text in alphabet.TOO for each in pieces[at + 1 : at + 2])


def _number(pieces: Sequence[Atom], at: int) -> tuple[str, int]:
    """The number that begins here, and the place after it."""
    if _too(pieces, at):
        return "", at + 1
    figures, after = _run(pieces, at)
    figures, after = _multiplied(pieces, figures, after)
    if after + 1 < len(pieces) and pieces[after].text in alphabet.DECIMAL and pieces[after + 1].number:
        rest, end = _run(pieces, after + 1)
        if "." not in figures + rest:
            return atoms.decimal(figures, rest), end
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
    """`two thousand five hundred`, `one two thousand`, `2 thousand 500`: whole thousands and hundreds."""
    times = alphabet.MULTIPLES.get(pieces[after].text) if after < len(pieces) else None
    if times is None or len(figures) > _LONGEST or not figures.isdecimal():
        return figures, after
    total, after = int(figures) * times, after + 1
    if times == 1000 and after < len(pieces) and pieces[after].number and not pieces[after].apart:
        more, end = _run(pieces, after)
        if end < len(pieces) and pieces[end].text == "hundred" and len(more) == 1:
            return str(total + int(more) * 100), end + 1
        if len(more) == 3 and more.endswith("00"):
            return str(total + int(more)), end
    return str(total), after
