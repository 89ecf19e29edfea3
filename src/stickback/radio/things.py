"""What was said, thing by thing: a runway, a level, a turn, a clearance; and what takes it back.

Each kind of thing is one row of a grammar over tokens, the first that fits where it begins. What no row knows is only
words. Some words take back what they govern: `negative runway 24` reads nothing back, nor does a question.

Sources: ICAO Doc 9432 (4th edition) 2.6 and 2.8; CAP 413 edition 22, table 8 and 2.48 to 2.72; AIM 4-2 and 4-4-7. That
a figure alone goes on with what stands before it is common practice.
"""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from stickback.radio import alphabet, atoms, grammar, rules
from stickback.radio.tokens import OWN, Token

_SURE = frozenset({"tower", "ground", "delivery", "radar", "director", "unicom"})  # a name stands before nothing else
_NAMING = frozenset({"contact", "monitor", "call", "change"})
_ENDS = grammar.SUFFIXES | {"depart"}  # what a station's name may end with
_HELD = frozenset({"hold short", "cross"})  # of a runway, which is another than the one in use
_SAME_ACT = {"taking off": "takeoff", "roll": "takeoff"}

_BEHIND = frozenset({"not required", "not in sight", "?"})
# Of these the figure or side alone stands for a later one of the kind.
_PLAIN = {"takeoff": "for take-off", "touch go": "touch and go", "option": "option", "approach": "approach"}
_NAMED = {
    **dict.fromkeys(("act", "vertical", "side", "turn", "position", "compass", "figure", "spelt"), ""),
    **dict.fromkeys(("station", "service", "emergency"), ""),
    "entry": "",
    "letter": "information",
    "sequence": "number",
    "plan": "report",
    "condition": "behind",
}
_ONE_EACH = frozenset({"act", "clearance"})


class Thing(NamedTuple):
    """Something that was said.

    Args:
        kind: as in the grammar; value: what it is, in tokens; role: what else tells it from another of its kind.
        unit: that was said with it.
        at, after: places of its first token and of the one behind its last.
        doing: said in the form of what the pilot is doing.
    """

    kind: str
    value: str = ""
    role: str = ""
    unit: str = ""
    at: int = 0
    after: int = 0
    doing: bool = False

    @property
    def permitted(self) -> bool:
        """Whether it needs a permission: a clearance, or what a pilot does only when it was permitted."""
        return self.kind == "clearance" or (self.kind == "act" and self.value in rules.PERMITTED)

    @property
    def named(self) -> str:
        """In words for the student."""
        if self.kind == "clearance":
            return f"cleared {_PLAIN.get(self.value, f'to {self.value}' if self.value else '')}".strip()
        kind = _NAMED.get(self.kind, self.role if self.kind == "level" and self.role else self.kind)
        role = "" if self.kind == "level" else self.role
        return alphabet.printed(" ".join(each for each in (role, kind, self.value) if each)) + " turn" * (
            self.kind == "turn"
        )

    @property
    def same(self) -> tuple[str, str, str]:
        """What it shares with the same thing said elsewhere."""
        return self.kind, self.role, self.value


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A word that takes something back: itself, its place, and the places of the tokens that it governs."""

    word: str
    at: int
    governed: range

    @property
    def how(self) -> str:
        """How it does it."""
        return rules.TAKES_BACK[self.word]

    def of(self, things: Sequence[Thing]) -> list[Thing]:
        """The things that it governs."""
        return [each for each in things if each.kind != "own" and self._over(each)]

    def _over(self, thing: Thing) -> bool:
        return thing.at < self.governed.stop and self.governed.start < thing.after


@dataclass(frozen=True, slots=True)
class Said:
    """A transmission: its tokens, the things in them, and what takes some of them back."""

    tokens: tuple[Token, ...]
    things: tuple[Thing, ...]
    taken_back: tuple[TakenBack, ...]


@lru_cache(atoms.REMEMBERED)
def said(tokens: tuple[Token, ...], places: frozenset[str] = frozenset()) -> Said:
    """A transmission thing by thing, without what was said by mistake and corrected.

    Args:
        places: names that stations are known to have.
    """
    meant = tuple(corrected(tokens, places))
    found = tuple(things(meant, places))
    return Said(meant, found, tuple(_taken_back(meant, found)))


def things(tokens: Sequence[Token], places: Set[str] = frozenset()) -> Iterator[Thing]:
    """The things in a transmission, from left to right."""
    words = [token.text.replace(" ", "_") for token in tokens]
    text = " ".join(words)
    starts = [0]
    for word in words:
        starts.append(starts[-1] + len(word) + 1)
    ends = {at for at, token in enumerate(tokens) if token.text in _ENDS}  # of a station's name
    at, before = 0, Thing(kind="")
    while at < len(tokens):
        thing = _station(tokens, at, places) if not ends.isdisjoint((at, at + 1)) else None
        if not thing and tokens[at].text not in rules.TAKES_BACK:
            thing = _thing(text, starts, at)
        if thing:
            before = _settled(thing, before, tokens)
            yield before
        at = before.after if thing else at + 1


def _settled(thing: Thing, before: Thing, tokens: Sequence[Token]) -> Thing:
    """A thing with what the tokens around it tell of it."""
    said = tokens[thing.at : thing.after]
    if any(token.doing for token in said):
        thing = thing._replace(doing=True)
    if thing.kind == "runway":
        if before.after == thing.at and before.value in _HELD:
            thing = thing._replace(role=before.value)
        if said[-1].apart and " " in thing.value:  # `runway 24, left base`
            return thing._replace(value=thing.value.split()[0], after=thing.after - 1)
    if thing.kind == "condition" and len(said) > 1 and not _of_a_noun(said):
        kind = "when" if said[0].text == "after" else thing.kind
        return thing._replace(kind=kind, value="", after=thing.at + 1)
    return thing


def _thing(text: str, starts: list[int], at: int) -> Thing | None:
    found = grammar.GRAMMAR(text, starts[at])
    if found is None:
        return None
    kind, role, value, unit, end = found
    if kind == "clearance" and role:
        role, value = "", value or role
    value = _SAME_ACT.get(value, value)
    return Thing(kind=kind, value=value, role=role, unit=unit, at=at, after=starts.index(end + 1))


def _of_a_noun(tokens: Sequence[Token]) -> bool:
    """Whether `behind` has its noun: not in `behind, wind 240` or `behind looking`, but in `behind the tug`."""
    apart = any(token.apart for token in tokens[1:])
    return not apart and (len(tokens) > 2 or tokens[1].at > tokens[0].after)


def _station(tokens: Sequence[Token], at: int, places: Set[str]) -> Thing | None:
    """`eldermoor tower`; behind `contact` also `tower` alone."""
    word, *more = (token.text for token in tokens[at : at + 2])
    before = tokens[at - 1].text if at else ""
    if before in _NAMING and word in _ENDS:
        return Thing(kind="station", value=word, at=at, after=at + 1)
    if not more or more[0] not in grammar.SUFFIXES or not is_name(word) or tokens[at + 1].apart:
        return None
    if more[0] == "information" and at + 2 < len(tokens) and tokens[at + 2].letter:
        return None  # the weather's letter
    begins = not at or (before == OWN and more[0] != "traffic")
    if word in places or more[0] in _SURE or before in _NAMING or begins:
        return Thing(kind="station", value=f"{word} {more[0]}", at=at, after=at + 2)
    return None


def is_name(word: str) -> bool:
    """Whether a word may be the name of a place: no figure, and none that the radio has for something else."""
    return word.isalpha() and len(word) > 1 and word not in alphabet.KNOWN


def _taken_back(tokens: Sequence[Token], found: Sequence[Thing]) -> Iterator[TakenBack]:
    within = {place for thing in found for place in range(thing.at, thing.after)}
    places = [at for at, token in enumerate(tokens) if token.text in rules.TAKES_BACK and at not in within]
    for at in places:
        yield TakenBack(tokens[at].text, at, _governed(tokens, found, at, places))


def _governed(tokens: Sequence[Token], found: Sequence[Thing], at: int, others: Sequence[int]) -> range:
    """What a word governs: the rest of its clause; else what stands before it; alone in its clause, the next one."""
    end = _clause_end(tokens, at + 1, others)
    if tokens[at].text not in _BEHIND and any(token.text != OWN for token in tokens[at + 1 : end]):
        return range(at + 1, end)
    if tokens[at].text == "unable":
        return range(at, at)
    if (tokens[at].apart or not at) and tokens[at].text not in _BEHIND:
        after = _clause_end(tokens, end + 1, others)
        if end < len(tokens) and any(end <= thing.at < after and thing.kind != "own" for thing in found):
            return range(end, after)
    before = [thing for thing in found if thing.after <= at and thing.kind != "own"]
    return range(before[-1].at, before[-1].after) if before else range(at, at)


def _clause_end(tokens: Sequence[Token], at: int, others: Sequence[int]) -> int:
    return next((each for each in range(at, len(tokens)) if tokens[each].apart or each in others), len(tokens))


def corrected(tokens: Sequence[Token], places: Set[str]) -> list[Token]:
    """A transmission without what was taken back in it with `correction`.

    What is said behind it replaces the last thing of its kind before it (Doc 9432 2.8.1.6: the last right phrase, then
    the right version), or everything, behind `I say again` (2.8.1.7); CAP 413 edition 22, 2.54 and 2.55.
    """
    before: list[Token] = []
    rest = list(tokens)
    while at := next((at + 1 for at, token in enumerate(rest) if token.text == "correction"), 0):
        before, rest = before + rest[: at - 1], rest[at:]
        if rest and rest[0].text in {"i say again", "say again"}:
            before, rest = [], rest[1:]
        elif rest:
            before, rest = _replaced(before, rest, places)
    return before + rest


def _replaced(before: list[Token], rest: list[Token], places: Set[str]) -> tuple[list[Token], list[Token]]:
    """What was said before, without what the better version behind it replaces."""
    many = 2 if rest[0].letter and len(rest) > 1 and rest[1].number else 1
    if rest[0].number or rest[0].letter or rest[0].text in {"left", "right", "centre"}:
        if (at := _last_like(before, rest[:many])) is not None:
            return before[:at] + rest[:many] + before[at + many :], rest[many:]
        return before, rest
    if rest[0].text == OWN:
        return _without_sign(before), rest
    end = _clause_end(rest, 1, [at for at, token in enumerate(rest) if token.text == "correction"])
    better = list(things(rest[:end], places))
    kinds = {(each.kind, each.role) for place, each in enumerate(better) if not place or each.kind not in _ONE_EACH}
    older = list(things(before, places))
    gone = {kind: each for each in older for kind in kinds if (each.kind, each.role) == kind}
    if gone:
        out = {place for each in gone.values() for place in range(each.at, each.after)}
        return [token for place, token in enumerate(before) if place not in out], rest
    begins = next((at for at in reversed(range(len(before))) if before[at].text == rest[0].text), len(before))
    return before[:begins], rest


def _last_like(before: Sequence[Token], better: Sequence[Token]) -> int | None:
    """Where a figure, a letter or a side stands that a better one replaces; one as long before another."""
    places = [at for at in reversed(range(len(before) - len(better) + 1)) if _alike(before[at:], better)]
    same = [at for at in places if len(before[at].text) == len(better[0].text)]
    return next(iter(same or places), None)


def _alike(one: Sequence[Token], other: Sequence[Token]) -> bool:
    sides = frozenset({"left", "right", "centre"})
    return all(
        (a.number and b.number) or (a.letter and b.letter) or {a.text, b.text} <= sides
        for a, b in zip(one, other, strict=False)
    )


def _without_sign(before: list[Token]) -> list[Token]:
    """Without the wrong callsign that was said last: its clause, where that holds spelt letters and nothing known."""
    begins = max((at for at, token in enumerate(before) if token.apart), default=0)
    last = before[begins:]
    other = {thing.kind for thing in things(last)} - {"spelt", "figure", "own"}
    return before[:begins] if last and not other else before
