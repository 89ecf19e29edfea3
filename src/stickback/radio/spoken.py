"""A transmission, spoken or written, as tokens that can be compared: `two four left` and `24L` are the same.

Atoms become tokens: words in one form, letters as themselves, numbers with all their figures. Tokens are equal or not,
never similar.

Sources: ICAO Doc 9432 (4th edition) 2.3 and 2.4, CAP 413 edition 22, 2.13 to 2.15, AIM 4-2-8 to 4-2-11.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from stickback.radio import alphabet, atoms
from stickback.radio.atoms import Atom

_LONGEST = 9  # figures of a number that is reckoned with


@dataclass(frozen=True, slots=True)
class Token:
    """A word, letter or number in its one form, and the places of its first atom and of the one behind its last."""

    text: str
    at: int = 0
    after: int = 0

    @property
    def number(self) -> bool:
        """Whether it is one."""
        return self.text[0].isdecimal()


def tokens(text: str) -> tuple[Token, ...]:
    """A whole transmission as tokens."""
    return _tokens(atoms.clean(text))


@lru_cache(atoms.REMEMBERED)
def _tokens(text: str) -> tuple[Token, ...]:
    return joined(atoms.atoms(text))


def joined(pieces: Sequence[Atom], start: int = 0) -> tuple[Token, ...]:
    """Atoms as tokens; `start` is the place of the first in the whole transmission."""
    found: list[Token] = []
    at = 0
    while at < len(pieces):
        said, after = _number(pieces, at) if pieces[at].number else _phrase(pieces, at)
        if said == "heading" and _turns(found):
            found[-1] = replace(found[-1], text=f"{found[-1].text} turn")
        if said:
            found.append(Token(_in_place(said, found, pieces[at]), start + at, start + after))
        at = after
    return tuple(found)


def with_runways(said: Sequence[Token]) -> tuple[Token, ...]:
    """Tokens with `runway` put in where only its figure was said, as Americans do: `cleared to land 33`.

    Common practice: the rule asks for the runway (AIM 4-4-7), its examples have the word.
    """
    found: list[Token] = []
    for at, token in enumerate(said):
        behind = said[at + 1].text if at + 1 < len(said) else ""
        alone = at and said[at - 1].text in alphabet.BEFORE_RUNWAY and behind not in alphabet.UNITS.values()
        if alone and token.number and len(token.text) <= 2:
            found.append(replace(token, text="runway", after=token.at))
            token = replace(token, text=token.text.zfill(2))
        found.append(token)
    return tuple(found)


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
    runway = len(before) > 1 and before[-2].text == "runway"
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
