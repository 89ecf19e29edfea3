"""A read-back or call held against what it must hold: each item read back, missing or wrong.

An item is a few words with their value, and must be said together: the value alone could be anything, as a wind is no
heading. The order of items is free. An item that is longer is looked for first, and what it was found in is taken.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache

from stickback.radio import alphabet, atoms, tokens
from stickback.radio.callsign import Span
from stickback.radio.tokens import Heard, Token

HECTOPASCALS_BELOW = 1000  # where the UK says the unit (CAP 413 edition 22, 3.4 and 2.69)

_UNITS = frozenset(alphabet.UNITS.values())
_SETTINGS = frozenset({"qnh", "qfe"})
# Words that may be left out, and the one unit that their figure may then have: `4320, Basic Service`, `climb to 4500`.
_UNSAID = {"squawk": "none", "maintain": "feet", "altimeter": "inches"}
_SHORT_WORD = 3  # a word as short as this is like too many others
_ALIKE = 0.75  # share of letters, in difflib's measure
_SWAPPED = {"left": "right", "right": "left", "left turn": "right turn", "right turn": "left turn"}

Words = tuple[str, ...]  # the texts of some tokens


@dataclass(frozen=True)
class Item:
    """Something that must be said.

    Args:
        text: as the author wrote it; `words`, its tokens without the unit.
        unit: what it is measured in, as the author wrote it; another is wrong, and none is right.
        must: a unit that must be said after it; empty where none must.
        others: runs of words each of which says it as well.
    """

    text: str
    words: tuple[str, ...]
    unit: str = ""
    must: str = ""
    others: tuple[tuple[str, ...], ...] = ()

    def may_be_in(self, words: frozenset[str]) -> bool:
        """Whether some words are enough to say it; where one is lacking it was left out."""
        bare = self.words[1:] if self.words[:1] and self.words[0] in _UNSAID else self.words
        return any(words.issuperset(run) for run in (bare, *self.others))


@dataclass(frozen=True)
class Fared:
    """How an item fared.

    Args:
        at: the tokens where it was read back; empty where it was not.
        instead: those that stood there instead; `said`, in the student's words; `why`, what else is wrong with it.
    """

    item: Item
    at: range = range(0)
    instead: range = range(0)
    said: str = ""
    why: str = ""

    @property
    def right(self) -> bool:
        """Whether it was read back."""
        return bool(self.at)

    @property
    def wrong(self) -> bool:
        """Whether something else was said in its place."""
        return not self.right and bool(self.said or self.why)

    def span(self, heard: Sequence[Token]) -> Span:
        """The atoms where it was read back."""
        return heard[self.at[0]].at, heard[self.at[-1]].after


@lru_cache(atoms.REMEMBERED)
def item(text: str, phraseology: str) -> Item:
    """An item as it must be said in a phraseology."""
    words = tuple(token.text for token in tokens.hear(text, rules=phraseology).tokens)
    unit = words[-1] if len(words) > 1 and words[-1] in _UNITS else ""
    core = words[:-1] if unit else words
    must = "hectopascals" if phraseology == "uk" and _low(core) else ""
    return Item(text, core, unit, must, tuple(_others(core, unit)) if phraseology == "icao" else ())


def _others(words: tuple[str, ...], unit: str) -> Iterator[tuple[str, ...]]:
    """Other words that say it as well under ICAO's rules; a condition shows that it was understood (4.5.7.5.1.1)."""
    if _in_feet(words, unit):
        yield words[-1], unit
    if words[:1] == ("behind",):
        yield "after", *words[1:]


def _in_feet(words: Sequence[str], unit: str) -> bool:
    """Whether it is a level that ICAO describes by its feet alone: `descend to 2500 feet` (Doc 4444 12.3.1.1)."""
    return len(words) > 1 and words[-2] == "altitude" and unit == "feet"


def _low(words: Sequence[str]) -> bool:
    """Whether it is a pressure whose unit the UK says."""
    setting = len(words) > 1 and words[-2] in _SETTINGS and words[-1].isdecimal()
    return setting and int(words[-1][:9]) < HECTOPASCALS_BELOW


def match(
    heard: Heard, said: Sequence[Token], items: Sequence[Item], back: Mapping[int, Collection[int]] | None = None
) -> list[Fared]:
    """How each item fared, in the order given.

    Args:
        said: the tokens of what was heard, without what was corrected.
        back: places of tokens that something takes back, and of what does so; an item may hold both.
    """
    taken: set[int] = set()
    found: dict[int, Fared] = {}
    words = tuple(token.text for token in said)
    for place in sorted(range(len(items)), key=lambda each: -len(items[each].words)):
        found[place] = _find(words, items[place], taken, back or {})
    for place, one in found.items():
        if not one.right and not one.why:
            found[place] = _instead(heard, said, items[place], taken)
    return [found[place] for place in range(len(items))]


def _find(said: Words, wanted: Item, taken: set[int], back: Mapping[int, Collection[int]]) -> Fared:
    """Where it was read back: all its words together, else its figure alone where that could be nothing else."""
    found = _together(said, wanted, taken, back)
    for words in wanted.others:
        if not found.right:
            found = replace(_together(said, replace(wanted, words=words, unit=""), taken, back), item=wanted)
    if found.right or found.why or len(wanted.words) != 2 or wanted.words[0] not in _UNSAID:
        return found
    bare = replace(wanted, words=wanted.words[1:], unit=_UNSAID[wanted.words[0]])
    return replace(_together(said, bare, taken, back), item=wanted)


def _together(said: Words, wanted: Item, taken: set[int], back: Mapping[int, Collection[int]]) -> Fared:
    """The first place where all its words stand together; that place is taken."""
    many, whys = len(wanted.words), list[str]()
    for at in (at for at in _free(said, many, taken) if said[at : at + many] == wanted.words):
        where = range(at, at + many)
        governs = {by for place in where for by in back.get(place, ()) if by not in where}
        why = f"'{said[min(governs)]}' takes it back" if governs else _unit(said, wanted, at + many)
        if not why:
            taken.update(where)
            return Fared(wanted, where)
        whys.append(why)
    return Fared(wanted, why="".join(whys[:1]))


def _free(said: Sequence[object], many: int, taken: set[int]) -> Iterator[int]:
    """Where so many tokens begin of which none is taken; nowhere for none at all."""
    places = range(len(said) - many + 1 if many else 0)
    return (at for at in places if taken.isdisjoint(range(at, at + many))) if taken else iter(places)


def _unit(said: Words, wanted: Item, after: int) -> str:
    """What is wrong with the unit behind an item; empty where nothing is."""
    unit = said[after] if after < len(said) and said[after] in _UNITS else ""
    if wanted.must and unit != wanted.must:
        return f"below {HECTOPASCALS_BELOW} say {wanted.must} too"
    return f"you said {unit}" if wanted.unit and unit not in {"", wanted.unit} else ""


def _instead(heard: Heard, said: Sequence[Token], wanted: Item, taken: set[int]) -> Fared:
    """What was said where the item should have been: another value behind its words, or a word like one of them."""
    many = len(wanted.words)
    for at in _free(said, many, taken):
        window = said[at : at + many]
        off = [place for place in range(many) if window[place].text != wanted.words[place]]
        keyed = 0 < len(off) < many or (len(off) == many and wanted.words[0] in _SWAPPED)
        if keyed and all(_comparable(wanted.words[place], window[place].text) for place in off):
            return Fared(wanted, instead=range(at, at + many), said=_quoted(heard, window, off))
    words = {token.text for token in said}
    for word in (word for word in wanted.words if word not in words and word.isalpha() and len(word) > _SHORT_WORD):
        if near := get_close_matches(word, words - set(wanted.words), 1, _ALIKE):
            return Fared(wanted, why=f"you said {near[0]}: did you mean {word}?")
    bare = many == 2 and any(said[at].text == wanted.words[1] and said[at].number for at in _free(said, 1, taken))
    why = f"you said {wanted.words[1]} without the word {alphabet.printed(wanted.words[0])}" if bare else ""
    return Fared(wanted, why=why)


def _quoted(heard: Heard, window: Sequence[Token], off: Sequence[int]) -> str:
    """What was said from the first place that is off to the last; of a letter and its number both: `A2`."""
    first, last = off[0], off[-1]
    first -= first > 0 and window[first].number and window[first - 1].letter
    last += last + 1 < len(window) and window[last].letter and window[last + 1].number
    return heard.quoted(window[first].at, window[last].after)


def _comparable(wanted: str, said: str) -> bool:
    """Whether one value may have been said for another: a figure, a letter, a side."""
    if wanted in _SWAPPED:
        return _SWAPPED[wanted] == said
    return (wanted[0].isdigit() or len(wanted) == 1) and (said[0].isdigit() or len(said) == 1)
