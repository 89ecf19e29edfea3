"""Everything that looks random and is not: seeds, shuffles and draws, the same on every machine and version.

What is drawn is printed as the trade prints it: runways with two figures, directions with three.
"""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from hashlib import blake2b
from itertools import product
from typing import TYPE_CHECKING

from stickback.formulas.formula import Formula, FormulaError, numbers

if TYPE_CHECKING:
    from stickback.formulas.given import Draws  # who only shuffles reads no block

TRIES = 10_000  # draws before `where` counts as impossible to meet; the proof of a course allows far fewer

# By the last word of a name: `runway_2` and `new_heading` are printed so, `runway_length` and `heading_error` are not.
_RUNWAY = re.compile(r"(?:\w+_)?runway(?:_?\d+)?")
_DIRECTION = re.compile(r"(?:\w+_)?(?:wind_from|heading|track|direction|course)(?:_?\d+)?")


def number(*parts: object) -> int:
    """A whole number below 2**53 (exact in JSON everywhere) that follows from the parts."""
    text = "\x1f".join(str(part) for part in parts)
    return int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "big") >> 11


def order(count: int, seed: int) -> list[int]:
    """The numbers 0 to count-1 in an order that follows from the seed."""
    return sorted(range(count), key=lambda index: number(seed, index))


def values(draws: "Draws", seed: int, sheet: Mapping[str, str], tries: int = TRIES) -> dict[str, str]:
    """The values of one asking; those of the sheet are not among them.

    Conditions on what is drawn are looked at before anything is derived: `where: b != 0` may guard `let: a / b`.

    Errors: FormulaError when no draw meets the conditions, or a formula has no value.
    """
    known = numbers(sheet, draws.needs)
    for attempt in range(tries):
        made = {
            name: _typed(name, texts[number(seed, name, attempt) % len(texts)]) for name, texts in draws.lists.items()
        }
        found = known | numbers(made, made)
        if not _met(draws.early, found):
            continue
        _derive(draws.derived, made, found)
        if _met(draws.late, found):
            return made
    raise FormulaError("No draw meets the conditions.", 1, key="where")


def idle(draws: "Draws", condition: Formula) -> bool:
    """Whether a condition leaves out none of all draws; a sheet's values may always be others, and then it may."""
    used = draws.behind(condition)
    lists = {name: texts for name, texts in draws.lists.items() if name in used}
    if used - draws.defines or math.prod(map(len, lists.values())) > TRIES:
        return False
    derived = [(name, each) for name, each in draws.derived if name in used]
    try:
        return all(
            _holds(condition, derived, dict(zip(lists, texts, strict=True))) for texts in product(*lists.values())
        )
    except FormulaError:
        return False


def _holds(condition: Formula, derived: Sequence[tuple[str, Formula]], made: dict[str, str]) -> bool:
    found = numbers(made, made)
    _derive(derived, made, found)
    return condition.holds(found)


def _derive(derived: Iterable[tuple[str, Formula]], made: dict[str, str], found: dict[str, float]) -> None:
    """Works names out, one after the other, from the texts and numbers that are there."""
    for name, each in derived:
        made[name] = printed(name, _value(each, found, name))
        found |= numbers(made, (name,))


def _met(conditions: Iterable[Formula], found: Mapping[str, float]) -> bool:
    return all(_value(condition, found, "where") for condition in conditions)


def _value(made: Formula, found: Mapping[str, float], key: str) -> float:
    """The value of a formula of the block; where it has none the error says under which key it stands."""
    try:
        return made.value(found)
    except FormulaError as error:
        raise FormulaError(error.message, error.column, error.hint, key) from None


def _typed(name: str, text: str) -> str:
    """A drawn value as an author typed it, but a whole direction in three figures: `40` is `040`."""
    return text.zfill(3) if text.isdecimal() and _DIRECTION.fullmatch(name) else text


def printed(name: str, value: float) -> str:
    """A derived value as the trade prints it, by the name it has."""
    if _RUNWAY.fullmatch(name):
        return f"{round(value) % 36 or 36:02d}"
    if _DIRECTION.fullmatch(name):
        return f"{round(value) % 360 or 360:03d}"
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")
