"""Stick: one of nine stick positions for a wind, the aeroplane taxiing; several may be right."""

from dataclasses import dataclass

from stickback.kinds.protocol import Mark, Part, Point, Reading, Shown, Values
from stickback.reading import fill, places
from stickback.reading.markup import Block
from stickback.reading.problem import Problem
from stickback.trade import taxi
from stickback.trade.taxi import Position

NAME = "stick"

_WIND = ("quarter", "heading", "wind_from", "strength")
_KEYS = {*_WIND, "accept"}
# As on a number pad seen from above, the nose up.
_DIGITS = {
    str(7 - 3 * row + column): position
    for row in range(3)
    for column, position in enumerate(taxi.POSITIONS[3 * row : 3 * row + 3])
}
_ELEVATORS = {"forward": "forward", "level": "level", "back": "back"}
_FILLERS = {"full", "fully", "and", "stick", "the"}
_AILERONS = {"left": "left", "middle": "middle", "centre": "middle", "center": "middle", "right": "right"}


@dataclass(frozen=True)
class Stick:
    """The body of a stick question: words of the block, which may hold `{{ values }}`.

    Args:
        quarter: where the wind comes from, seen from the aeroplane; else from `heading` and `wind_from`.
        accept: positions, where the author lists them instead.
    """

    quarter: str
    heading: str
    wind_from: str
    strength: str
    accept: tuple[Position, ...]


def reads(part: Part) -> bool:
    """An `### Answer` that begins with a fenced `stick` block."""
    section = part.parts.get("answer")
    return bool(section and section.blocks and _is_stick(section.blocks[0]))


def _is_stick(block: Block) -> bool:
    return block.kind == "fence" and block.info.split()[:1] == [NAME]


def parse(part: Part) -> Reading:
    """The words of the block, checked as far as they hold no values."""
    block, *more = part.parts["answer"].blocks
    if more:
        message, hint = "This is not read: the answer is the `stick` block alone.", "put it under `### Why`"
        return None, part.prompt, [Problem(part.file, more[0].line, 1, "answer-form", message, hint)]
    placed, problems = places.read(block.text, part.file, block.line + 1)
    words = {key: str(value) for key, value in placed.data.items() if isinstance(value, str)}
    wrong = _wrong(words)
    if problems or wrong:
        message, hint = wrong or ("", "")
        return None, part.prompt, problems or [Problem(part.file, block.line, 1, "stick-form", message, hint)]
    listed = (position_of(text) for text in words.get("accept", "").split("|"))
    accept = tuple(dict.fromkeys(position for position in listed if position))
    quarter, heading, wind_from, strength = (words.get(key, "") for key in _WIND)
    body = Stick(quarter, heading, wind_from, strength, accept)
    return body, part.prompt, []


def _wrong(words: dict[str, str]) -> tuple[str, str] | None:
    """What is wrong with the block, and what to write; None when it is well."""
    given = set(words)
    if given - _KEYS:
        return f"A stick block has no key '{min(given - _KEYS)}'.", f"use {', '.join(sorted(_KEYS))}"
    if given == {"accept"}:
        if all(map(position_of, words["accept"].split("|"))):
            return None
        return "A stick position is not one of the nine.", "write such as `accept: back left | level left`"
    if given not in ({"quarter", "strength"}, {"heading", "wind_from", "strength"}):
        return "A stick block must say the wind or the positions.", "write `quarter:` and `strength:`, or `accept:`"
    for key, allowed in (("quarter", (*taxi.QUARTERS, taxi.NO_WIND)), ("strength", taxi.STRENGTHS)):
        if key in words and not fill.is_open(words[key]) and words[key] not in allowed:
            return f"'{words[key]}' is no {key} of a wind.", f"use {', '.join(allowed)}"
    return None


def _body(body: object) -> Stick:
    assert isinstance(body, Stick)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def accepted(body: object, values: Values) -> tuple[Position, ...]:
    """The positions that are right, the plainest first."""
    stick = _body(body)
    if stick.accept:
        return stick.accept
    words = {name: fill.plain(getattr(stick, name), values) for name in _WIND}
    where = words["quarter"] or taxi.quarter(float(words["heading"]), float(words["wind_from"]))
    return taxi.positions(where, words["strength"])


def position_of(text: str) -> Position | None:
    """A position as typed: `back left`, `forward`, `neutral`, or its digit on a number pad; None for anything else."""
    words = [word for word in text.casefold().replace("-", " ").split() if word not in _FILLERS]
    if len(words) == 1 and words[0] in _DIGITS:
        return _DIGITS[words[0]]
    along = [_ELEVATORS[word] for word in words if word in _ELEVATORS]
    across = [_AILERONS[word] for word in words if word in _AILERONS]
    free = [word for word in words if word == "neutral"]  # of whichever is not named
    if not words or len(along) > 1 or len(across) > 1 or len(along) + len(across) + len(free) < len(words):
        return None
    wanted = (along[0] if along else "level", across[0] if across else "middle")
    return next(position for position in taxi.POSITIONS if position == wanted)


def name(position: Position) -> str:
    """A position in words: `back left`, `level middle`."""
    return " ".join(position)


def describe(body: object) -> str:
    """The wind, or how many positions are right."""
    stick = _body(body)
    return (
        f"{len(stick.accept)} positions right"
        if stick.accept
        else f"wind {stick.quarter or 'by heading'}, {stick.strength}"
    )


def chance(body: object) -> float:
    """One in nine for each position that is right; where the wind is drawn, for one."""
    stick = _body(body)
    drawn = fill.is_open("".join(texts(body)))
    return (1 if drawn else len(accepted(stick, {}))) / len(taxi.POSITIONS)


def present(body: object, seed: int, values: Values) -> Shown:
    """The nine positions are always the same."""
    return Shown("stick")


def understand(body: object, text: str) -> str | None:
    """A position by its two words."""
    position = position_of(text)
    return None if position is None else name(position)


def expects(body: object) -> str:
    """How a position is typed."""
    return "a position such as `back left` or `forward`, or its digit on a number pad"


def mark(body: object, seed: int, given: str, values: Values) -> Mark:
    """Right when it is one of the positions accepted."""
    right = position_of(given) in accepted(body, values)
    return Mark(right, float(right))


def answer(body: object, seed: int, values: Values) -> tuple[Point, ...]:
    """The positions that are right."""
    return tuple(Point(name(position)) for position in accepted(body, values))


def texts(body: object) -> tuple[str, ...]:
    """The words of the block."""
    stick = _body(body)
    return (stick.quarter, stick.heading, stick.wind_from, stick.strength)
