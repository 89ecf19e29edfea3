"""A read-back or call held against what it must hold: each item read back, missing or wrong.

An item is a few words with their value, and must be said together: the value alone could be anything, as a wind is no
heading. The order of items is free. An item that is longer is looked for first, and what it was found in is taken.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from stickback.radio import alphabet, atoms, callsign, spoken
from stickback.radio.atoms import Atom
from stickback.radio.callsign import Span
from stickback.radio.correction import corrected
from stickback.radio.spoken import Token

HECTOPASCALS_BELOW = 1000  # where the UK says the unit (CAP 413 edition 22, 3.4 and 2.69)

_UNITS = frozenset(alphabet.UNITS.values())
_SETTINGS = frozenset({"qnh", "qfe"})
_LEGS = frozenset({"base", "downwind", "crosswind", "traffic", "closed", "circuit", "pattern"})
# Words that may be left out, and the one unit that their figure may then have: `4320, Basic Service`, `climb to 4500`.
_UNSAID = {"squawk": "none", "maintain": "feet"}
_ONE_SIDE = (["left"], ["right"], ["centre"])
_SHORT_WORD = 3  # a word as short as this is like too many others
_ALIKE = 0.75  # share of letters, in difflib's measure
_SWAPPED = {"left": "right", "right": "left", "left turn": "right turn", "right turn": "left turn"}


@dataclass(frozen=True)
class Item:
    """Something that must be said.

    Args:
        text: as the author wrote it; `words`, its tokens without the unit.
        unit: what it is measured in, as the author wrote it; another is wrong, and none is right.
        must: a unit that must be said after it; empty where none must.
    """

    text: str
    words: tuple[str, ...]
    unit: str = ""
    must: str = ""


@dataclass(frozen=True)
class Heard:
    """An answer taken to pieces: its text, its atoms, where the callsign stands, and the tokens beside it."""

    text: str
    atoms: tuple[Atom, ...]
    callsigns: tuple[Span, ...]
    tokens: tuple[Token, ...]

    def quoted(self, at: int, after: int) -> str:
        """The student's own words from one atom to before another."""
        return self.text[self.atoms[at].start : self.atoms[after - 1].end]


@dataclass(frozen=True)
class Found:
    """How an item fared.

    Args:
        span: of the atoms where it was read back; None where it was not.
        said: what stood there instead; `why`, what else is wrong with it.
    """

    item: Item
    span: Span | None
    said: str = ""
    why: str = ""

    @property
    def wrong(self) -> bool:
        """Whether something else was said in its place."""
        return self.span is None and bool(self.said or self.why)


def item(text: str, phraseology: str) -> Item:
    """An item as it must be said in a phraseology."""
    words = tuple(token.text for token in spoken.tokens(text))
    unit = words[-1] if len(words) > 1 and words[-1] in _UNITS else ""
    core = words[:-1] if unit else words
    return Item(text, core, unit, "hectopascals" if phraseology == "uk" and _low(core) else "")


def _low(words: Sequence[str]) -> bool:
    """Whether it is a pressure whose unit the UK says."""
    setting = len(words) > 1 and words[-2] in _SETTINGS and words[-1].isdecimal()
    return setting and int(words[-1][:9]) < HECTOPASCALS_BELOW


def hear(text: str, forms: Sequence[str]) -> Heard:
    """An answer taken to pieces; the callsign is cut out first, so that its figures join no others.

    Args:
        forms: of the callsign, from `callsign.forms`.
    """
    clean = atoms.clean(text)
    pieces = atoms.atoms(clean)
    spans = callsign.find(pieces, forms)
    tokens: list[Token] = []
    at = 0
    for start, end in [*spans, (len(pieces), len(pieces))]:
        tokens += spoken.joined(pieces[at:start], at)
        at = end
    return Heard(clean, pieces, tuple(spans), corrected(tokens))


def match(heard: Heard, items: Sequence[Item]) -> list[Found]:
    """How each item fared, in the order given."""
    taken: set[int] = set()
    found: dict[int, Found] = {}
    for place in sorted(range(len(items)), key=lambda each: -len(items[each].words)):
        found[place] = _find(heard.tokens, items[place], taken)
    for place, one in found.items():
        if one.span is None and not one.why:
            found[place] = _instead(heard, items[place], taken)
    return [found[place] for place in range(len(items))]


def _find(tokens: Sequence[Token], wanted: Item, taken: set[int]) -> Found:
    """Where it was read back: all its words together, else its figure alone where that could be nothing else."""
    found = _together(tokens, wanted, taken)
    if found.span or found.why or len(wanted.words) != 2 or wanted.words[0] not in _UNSAID:
        return found
    bare = replace(wanted, words=wanted.words[1:], unit=_UNSAID[wanted.words[0]])
    return replace(_together(tokens, bare, taken), item=wanted)


def _together(tokens: Sequence[Token], wanted: Item, taken: set[int]) -> Found:
    """The first place where all its words stand together; that place is taken."""
    many, why = len(wanted.words), ""
    for at in _free(tokens, many, taken):
        if not _stands(tokens, wanted, at):
            continue
        if why := _unit(tokens, wanted, at + many):
            continue
        taken.update(range(at, at + many))
        return Found(wanted, (tokens[at].at, tokens[at + many - 1].after))
    return Found(wanted, None, why=why)


def _free(tokens: Sequence[Token], many: int, taken: set[int]) -> Iterator[int]:
    """Where so many tokens begin of which none is taken; nowhere for none at all."""
    return (at for at in range(len(tokens) - many + 1) if many and taken.isdisjoint(range(at, at + many)))


def _stands(tokens: Sequence[Token], wanted: Item, at: int) -> bool:
    """Whether all its words stand here, with no `not` before them and no side behind them that makes them another."""
    many = len(wanted.words)
    if tokens[at].text != wanted.words[0] or (at and tokens[at - 1].text == "not"):
        return False
    said = tuple(token.text for token in tokens[at : at + many])
    return said == wanted.words and not _sided(tokens, wanted, at + many)


def _unit(tokens: Sequence[Token], wanted: Item, after: int) -> str:
    """What is wrong with the unit behind an item; empty where nothing is."""
    said = tokens[after].text if after < len(tokens) and tokens[after].text in _UNITS else ""
    if wanted.must and said != wanted.must:
        return f"below {HECTOPASCALS_BELOW} say {wanted.must} too"
    return f"you said {said}" if wanted.unit and said not in {"", wanted.unit} else ""


def _sided(tokens: Sequence[Token], wanted: Item, after: int) -> bool:
    """Whether a side follows the runway wanted, which makes it another; in `runway 24 left base` it is the leg's."""
    behind = [token.text for token in tokens[after : after + 2]]
    runway = wanted.words[-2:-1] == ("runway",)
    return runway and behind[:1] in _ONE_SIDE and behind[-1] not in _LEGS


def _instead(heard: Heard, wanted: Item, taken: set[int]) -> Found:
    """What was said where the item should have been: another value behind its words, or a word like one of them."""
    many = len(wanted.words)
    for at in _free(heard.tokens, many, taken):
        window = heard.tokens[at : at + many]
        off = [place for place in range(many) if window[place].text != wanted.words[place]]
        keyed = 0 < len(off) < many or (len(off) == many and wanted.words[0] in _SWAPPED)
        if keyed and all(_comparable(wanted.words[place], window[place].text) for place in off):
            return Found(wanted, None, heard.quoted(window[off[0]].at, window[off[-1]].after))
    said = {token.text for token in heard.tokens}
    for word in (word for word in wanted.words if word not in said and word.isalpha() and len(word) > _SHORT_WORD):
        if near := get_close_matches(word, said - set(wanted.words), 1, _ALIKE):
            return Found(wanted, None, why=f"you said {near[0]}: did you mean {word}?")
    return Found(wanted, None)


def _comparable(wanted: str, said: str) -> bool:
    """Whether one value may have been said for another: a figure, a letter, a side."""
    if wanted in _SWAPPED:
        return _SWAPPED[wanted] == said
    return (wanted[0].isdigit() or len(wanted) == 1) and (said[0].isdigit() or len(said) == 1)
