"""Stick: one of nine stick positions for a wind, the aeroplane taxiing; several may be right."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar, Self

from stickback import amount
from stickback.kinds import fenced, letters
from stickback.kinds.fenced import Wrong
from stickback.kinds.protocol import Kind, Reading, Written
from stickback.kinds.shown import Cells, Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading import fill, markup, places
from stickback.reading.markup import Block
from stickback.reading.places import Placed
from stickback.reading.problem import At, Problem
from stickback.trade import taxi
from stickback.trade.taxi import Position

_WIND = ("quarter", "heading", "wind_from", "strength")
KEYS = {
    "quarter": f"where the wind comes from, seen from the aeroplane: {', '.join((*taxi.QUARTERS, taxi.NO_WIND))}",
    "heading": "where the aeroplane points; with `wind_from` in place of `quarter`",
    "wind_from": "where the wind comes from, in degrees",
    "strength": f"of the wind: {', '.join(taxi.STRENGTHS)}",
    "accept": "the positions that are right, in place of a wind: `back left | level left`",
}
_DEGREES = re.compile(r"(?:[0-2]?\d?\d|3[0-5]\d|360)")
# As on a number pad seen from above, the nose up.
_CELLS = Cells(taxi.ELEVATORS, taxi.AILERONS, ("789", "456", "123"))
_DIGITS = dict(zip("".join(_CELLS.keys), taxi.POSITIONS, strict=True))
_SAID = {
    "forward": "forward forwards fwd front f",
    "level": "level",
    "back": "back backward backwards aft rear rearward rearwards b",
    "left": "left port l",
    "middle": "middle mid centre center central centred centered",
    "right": "right starboard r",
    "neutral": "neutral",  # of whichever is not named
    "back left": "bl",
    "back right": "br",
    "forward left": "fl",
    "forward right": "fr",
}
_WORDS = {word: meant.split() for meant, spellings in _SAID.items() for word in spellings.split()}
# Words that change nothing about where the stick is: how far it is held is not asked for.
_FILLERS = frozenset(
    {"a", "all", "and", "at", "bit", "corner", "digit", "full", "fully", "half", "hand", "hard", "held", "hold", "in"}
    | {"is", "it", "keep", "key", "little", "move", "moved", "number", "on", "pull", "pulled", "push", "pushed", "put"}
    | {"side", "slightly", "stick", "the", "to", "toward", "towards", "way", "with"}
    | {"aileron", "ailerons", "elevator", "elevators"}
)
_UNCLEAR = {
    "or": "'or' leaves it open which is meant",
    **dict.fromkeys(("up", "down"), "where the stick is was asked, not what moves up or down"),
    **dict.fromkeys(("wind", "upwind", "downwind", "away", "into"), "left or right was asked, not where the wind is"),
}


@dataclass(frozen=True)
class Stick(Kind):
    """A stick question: words of its block, which may hold `{{ values }}`.

    Args:
        quarter: where the wind comes from, seen from the aeroplane; else from `heading` and `wind_from`.
        accept: positions, where the author lists them instead.
    """

    quarter: str
    heading: str
    wind_from: str
    strength: str
    accept: tuple[Position, ...]

    NAME: ClassVar = "stick"
    RULES: ClassVar = ("Seen from the seat, the aeroplane taxiing. Several positions may be right.",)
    KEYS: ClassVar = KEYS
    EXAMPLE: ClassVar = "### Answer\n\n```stick\nquarter: ahead-left\nstrength: light\n```"

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` that begins with a fenced `stick` block."""
        return any(block.name == cls.NAME for block in written.answer[:1])

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The words of the block, checked as far as they hold no values."""
        body, prompt, problems = fenced.read(written, cls, "stick-form", cls._of)
        if isinstance(body, cls):
            problems = list(_shown(prompt, body, written.file))
        return (None if problems else body), prompt, problems

    @classmethod
    def _of(cls, placed: Placed) -> Self:
        """The question of a block.

        Errors: Wrong.
        """
        words = {key: placed.text(key) for key in placed.data}
        _check(words)
        listed = (position_of(text) for text in words.get("accept", "").split("|"))
        accept = tuple(dict.fromkeys(position for position in listed if not isinstance(position, Unclear)))
        quarter, heading, wind_from, strength = (words.get(key, "") for key in _WIND)
        return cls(quarter, heading, wind_from, strength, accept)

    def describe(self) -> str:
        """The wind, or how many positions are right."""
        if self.accept:
            return f"{amount.many(len(self.accept), 'position')} right"
        return f"wind {self.quarter or 'by heading'}, {self.strength}"

    def texts(self) -> tuple[str, ...]:
        """The words of the block."""
        return (self.quarter, self.heading, self.wind_from, self.strength)

    def solution(self) -> tuple[str, ...]:
        """The words of the block, and the positions listed."""
        return (*self.texts(), *map(name, self.accept))

    def accepted(self, values: Values) -> tuple[Position, ...]:
        """The positions that are right, the plainest first."""
        if self.accept:
            return self.accept
        quarter, heading, wind_from, strength = (fill.plain(text, values) for text in self.texts())
        return taxi.positions(quarter or taxi.quarter(float(heading), float(wind_from)), strength)

    def chance(self) -> float:
        """One in nine for each position that is right; where the wind is drawn, for one."""
        drawn = fill.is_open("".join(self.texts()))
        return (1 if drawn else len(self.accepted({}))) / len(taxi.POSITIONS)

    def show(self, seed: int, values: Values) -> Shown:
        """The nine positions are always the same."""
        return Shown(
            manner="cell",
            expects="a position such as `back left` or `forward`, or its digit on a number pad",
            cells=_CELLS,
        )

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """A position by its two words."""
        position = position_of(typed)
        return position if isinstance(position, Unclear) else name(position)

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """Right when it is one of the positions accepted."""
        right = position_of(given) in self.accepted(values)
        return Mark(right, float(right))

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """The positions that are right."""
        return tuple(Point(text=name(position)) for position in self.accepted(values))

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """The position given, and on one line all that are right."""
        return Compared(given, (Point(text=" or ".join(map(name, self.accepted(values)))),))

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """The plainest position that is right, or the first that is wrong."""
        accepted = self.accepted(values)
        wrong = next((position for position in taxi.POSITIONS if position not in accepted), taxi.POSITIONS[0])
        return name(accepted[0] if right else wrong)


def _check(words: Mapping[str, str]) -> None:
    """Raises what is wrong with the words of a block."""
    given = set(words)
    if given == {"accept"}:
        if any(isinstance(position_of(text), Unclear) for text in words["accept"].split("|")):
            hint = "write such as `accept: back left | level left`"
            raise Wrong("A stick position is not one of the nine.", hint, "accept")
    elif given not in ({"quarter", "strength"}, {"heading", "wind_from", "strength"}):
        hint = "write `quarter:` and `strength:`, or `heading:`, `wind_from:` and `strength:`, or `accept:`"
        raise Wrong("A stick block must say the wind or the positions.", hint)
    closed = {key: text for key, text in words.items() if not fill.is_open(text)}
    for key, allowed in (("quarter", (*taxi.QUARTERS, taxi.NO_WIND)), ("strength", taxi.STRENGTHS)):
        if key in closed and closed[key] not in allowed:
            raise Wrong(f"'{closed[key]}' is no {key} of a wind.", f"use {', '.join(allowed)}", key)
    for key in ("heading", "wind_from"):
        if key in closed and not _DEGREES.fullmatch(closed[key]):
            hint = "write 0 to 360 degrees, or a value in double braces"
            raise Wrong(f"'{closed[key]}' is no direction.", hint, key)


def _shown(prompt: tuple[Block, ...], asked: Stick, file: str) -> Iterator[Problem]:
    """A picture of the stick above the answer that shows another wind."""
    wind = {key: text for key, text in zip(_WIND, asked.texts(), strict=True) if text}
    for block in markup.every(prompt):
        if block.name == "figure":
            drawn = places.read(block.text, file, block.line + 1, "block")[0].data
            other = [key for key in wind if key in drawn and drawn[key] != wind[key]]
            if drawn.get("scene") == "stick" and other:
                key = other[0]
                message = f"The picture shows {key} {drawn[key]}, the answer is for {wind[key]}."
                yield Problem(At(file, block.line, 1), "figure-form", message, "let both say the same")


def position_of(text: str) -> Position | Unclear:
    """A position as typed: `back left`, `fwd`, `fully aft and to the right`, or its digit on a number pad."""
    words = [word for word in letters.words(text) if word not in _FILLERS]
    if len(words) == 1 and words[0] in _DIGITS:
        return _DIGITS[words[0]]
    if not words:
        return Unclear("no position was typed")
    for word in words:
        if word not in _WORDS:
            return Unclear(_UNCLEAR.get(word) or f"'{word[:40]}' means nothing here")
    said = {meant for word in words for meant in _WORDS[word]}
    along = [position for position in taxi.ELEVATORS if position in said]
    across = [position for position in taxi.AILERONS if position in said]
    if len(along) > 1 or len(across) > 1:
        return Unclear(f"'{' and '.join(along if len(along) > 1 else across)}' cannot both be")
    if len(along) + len(across) == 2 and "neutral" in said:
        return Unclear("both are named, so nothing is left to be neutral")
    return along[0] if along else "level", across[0] if across else "middle"


def name(position: Position) -> str:
    """A position in words: `back left`, `level middle`."""
    return " ".join(position)
