"""A transmission cut into atoms: a word, a letter, a figure, a written number, a question mark.

A figure or letter said as a word is the figure or letter. What cannot be seen (control characters, marks that turn the
direction of text) is dropped, figures of other scripts are figures, and of a very long text the beginning is heard.
How a word is written is no matter of the radio: `radiocheck` and `down wind` are heard as the words they are, and a
word of the spelling alphabet with one letter wrong is that letter, with a question to the student.

Sources: ICAO Doc 9432 (4th edition) 2.3 and 2.4, CAP 413 edition 22, 2.13 to 2.15, AIM 4-2-8 to 4-2-11.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence, Set
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from stickback.radio import alphabet

MOST = 2_000  # characters of a transmission that are heard: five minutes' talk

_CHANNEL = r"1[1-3][0-9],[0-9]{1,3}(?![0-9])"  # a frequency with a decimal comma; no other number has one
_THOUSANDS = r"[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]{1,2} [0-9]00(?= ?(?:ft|feet)\b)"
_PIECE = re.compile(
    rf"(?P<number>(?P<channel>{_CHANNEL})|{_THOUSANDS}|[0-9]+(?:\.[0-9]+)?)|(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)|(?P<mark>[^\s\w])"
)
_STOPS = frozenset(",;:.!?/")
REMEMBERED = 1_000  # texts; the same few are read again and again
ASKED = "?"
NOTHING: frozenset[str] = frozenset()

_APOSTROPHES = str.maketrans("", "", "'’")
_BEFORE_LETTER = frozenset({"point", "via", "taxiway", "route", "information"})
_LONG_LETTER = 4  # letters of a word of the alphabet that one of them may be wrong in
_LONG_PART, _MOST_PARTS = 3, 3  # letters of a word that another was run into; words that were run into one
_SMALL_PARTS = frozenset({"to", "go", "up", "of", "off", "for", "and"})


class Atom(NamedTuple):
    """The smallest piece of a transmission.

    Args:
        text: in small letters; a figure or letter said as a word is the figure or letter.
        number: whether it is made of figures.
        alone: a number written with several figures, which no other figure joins.
        tens: `twenty`, whose nought the next figure takes the place of.
        glued: no space stands before it.
        apart: a comma, stop or slash does.
        start, end: its place in the text, cleaned.
        meant: the word of the spelling alphabet that it was taken for, a letter of which is wrong.
    """

    text: str
    number: bool = False
    alone: bool = False
    tens: bool = False
    glued: bool = False
    apart: bool = False
    start: int = 0
    end: int = 0
    meant: str = ""

    @property
    def letter(self) -> bool:
        """Whether it is a letter, or a figure said by itself."""
        return len(self.text) == 1 and self.text.isalnum()


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


def atoms(text: str, words: Set[str] = NOTHING) -> tuple[Atom, ...]:
    """A transmission in its smallest pieces; any text has some reading.

    Args:
        words: that may be expected in it, beside those that the radio has everywhere.
    """
    return _atoms(clean(text), frozenset(words))


@lru_cache(REMEMBERED)
def _atoms(text: str, words: frozenset[str]) -> tuple[Atom, ...]:
    pieces = tuple(_brought_together(_pieces(text), words))
    if all(_known(piece, words) for piece in pieces):
        return pieces
    return tuple(_letters(list(_parted(pieces, words)), words))


def _known(piece: Atom, words: frozenset[str]) -> bool:
    """Whether a piece can be nothing else than it seems."""
    return piece.number or piece.letter or piece.text in alphabet.KNOWN or piece.text in words


@lru_cache(REMEMBERED)
def _pieces(text: str) -> tuple[Atom, ...]:
    return tuple(_cut(text))


def _cut(text: str) -> Iterator[Atom]:
    apart, end = False, -1
    for match in _PIECE.finditer(text):
        kind, said = match.lastgroup, match[0]
        if kind == "mark":
            apart = apart or said in _STOPS
            if said == ASKED:
                yield Atom(text=ASKED, start=match.start(), end=match.end())
            continue
        piece = _word(said) if kind == "word" else _written(said, bool(match["channel"]))
        last, (start, end) = end, match.span()
        yield piece._replace(glued=start == last, apart=apart, start=start, end=end)
        apart = False


def _brought_together(pieces: tuple[Atom, ...], words: frozenset[str]) -> Iterator[Atom]:
    """Words that are one: `down wind`, `bi-plane`."""
    pairs = [piece.text + other.text for piece, other in pairwise(pieces)]
    if alphabet.JOINED.isdisjoint(pairs) and words.isdisjoint(pairs):
        yield from pieces
        return
    at = 0
    while at < len(pieces):
        piece, *more = pieces[at : at + 2]
        both = piece.text + more[0].text if more and not more[0].apart else ""
        one = both in alphabet.JOINED or (both in words and not any(each.letter for each in (piece, *more)))
        yield piece._replace(text=both, end=more[0].end) if one else piece
        at += 1 + one


def _parted(pieces: Sequence[Atom], words: frozenset[str]) -> Iterator[Atom]:
    """Words that were run into one: `radiocheck`, `cleartoland`."""
    for piece in pieces:
        parts = () if _known(piece, words) else _parts(piece.text, words, _MOST_PARTS)
        at = piece.start
        for part in parts:
            apart = piece.apart and at == piece.start
            yield _word(part)._replace(apart=apart, start=at, end=at + len(part))
            at += len(part)
        if not parts:
            yield piece


@lru_cache(REMEMBERED)
def _parts(word: str, words: frozenset[str], most: int) -> tuple[str, ...]:
    """Known words that a word is made of; nothing where there are none."""
    if word in words or word in _SMALL_PARTS or (len(word) >= _LONG_PART and word in alphabet.KNOWN):
        return (word,)
    for at in range(2, len(word) - 1) if most > 1 else ():
        first = _parts(word[:at], words, 1)
        if first and (rest := _parts(word[at:], words, most - 1)):
            return (*first, *rest)
    return ()


def _letters(pieces: list[Atom], words: frozenset[str]) -> Iterator[Atom]:
    """Words one letter off the spelling alphabet's, where a letter is likely: beside others, or behind `point`."""
    near = [_nearly(piece, words) for piece in pieces]
    if not any(near):
        yield from pieces
        return
    for at, piece in enumerate(pieces):
        beside = [other for other in (at - 1, at + 1) if 0 <= other < len(pieces)]
        likely = any(pieces[other].letter or near[other] for other in beside)
        if near[at] and (likely or (at and pieces[at - 1].text in _BEFORE_LETTER)):
            yield piece._replace(text=alphabet.LETTERS[near[at]], meant=near[at])
        else:
            yield piece


def _nearly(piece: Atom, words: frozenset[str]) -> str:
    """The word of the alphabet that it may have been meant for; empty where it is none or another word."""
    return "" if _known(piece, words) else _meant(piece.text)


@lru_cache(REMEMBERED)
def _meant(said: str) -> str:
    """The word of the alphabet that a word is one letter off; empty where there is none."""
    letter = next((letter for word, letter in alphabet.LETTERS.items() if _one_off(said, word)), "")
    return alphabet.SPELT[letter] if letter else ""


def _one_off(said: str, word: str) -> bool:
    """Whether one letter is too many, too few or another, or two have changed places."""
    if abs(len(said) - len(word)) > 1 or len(word) < _LONG_LETTER:
        return False
    at = next((at for at, (a, b) in enumerate(zip(said, word, strict=False)) if a != b), min(len(said), len(word)))
    changed = said[at : at + 2] == word[at : at + 2][::-1] and said[at + 2 :] == word[at + 2 :]
    return changed or said[at + 1 :] in {word[at + 1 :], word[at:]} or said[at:] == word[at + 1 :]


@lru_cache(REMEMBERED)
def _word(said: str) -> Atom:
    """What a word is, wherever it stands."""
    word = said.lower().translate(_APOSTROPHES)
    if figures := alphabet.FIGURES.get(word) or alphabet.TEENS.get(word):
        return Atom(text=figures, number=True)
    if figures := alphabet.TENS.get(word):
        return Atom(text=figures, number=True, tens=True)
    return Atom(text=alphabet.LETTERS.get(word, word))


def _written(number: str, channel: bool) -> Atom:
    """The same of a number: `2,500` and `2 500` are 2500; `118,300` and `118.300` are 118.3."""
    plain = number.replace(",", ".") if channel else number.replace(",", "").replace(" ", "")
    whole, dot, rest = plain.partition(".")
    text = decimal(whole, rest) if dot else whole
    return Atom(text=text, number=True, alone=len(text) > 1)


def decimal(whole: str, rest: str) -> str:
    """A number with a decimal point, without noughts at its end."""
    return f"{whole}.{rest.rstrip('0') or '0'}"
