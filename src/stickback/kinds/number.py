"""Number: a figure, marked within a tolerance after its unit is converted; known slips are told apart and explained."""

import re
from dataclasses import dataclass

from stickback.formulas import formula, given
from stickback.formulas.formula import Formula, FormulaError
from stickback.kinds.protocol import Mark, Part, Point, Reading, Shown, Values
from stickback.reading import fill, places
from stickback.reading.markup import Block
from stickback.reading.places import Placed
from stickback.reading.problem import Problem
from stickback.trade import units
from stickback.trade.units import Measured

NAME = "number"

_KEYS = ("answer", "unit", "tolerance", "slips")
_SHORT = re.compile(
    r"(?P<answer>\{\{[^{}]+\}\}|-?\d+(?:\.\d+)?)\s*(?P<unit>\{\{[^{}]+\}\}|[^\s\d±+]*)\s*(?:±|\+/-)\s*(?P<tolerance>\d+(?:\.\d+)?\s*%?)"
    r"(?:\s*(?P<behind>\{\{[^{}]+\}\}|[^\s\d±+%]+))?"
)
_TOLERANCE = re.compile(r"(?:(?P<nearest>nearest)\s+)?(?P<size>\d+(?:\.\d+)?)\s*(?P<percent>%)?")
_EXACT = 1e-9
_SIDED = re.compile(r"crosswind\s*\(")  # its sign is a side: positive from the right


@dataclass(frozen=True)
class Number:
    """The body of a number question.

    Args:
        answer: what is right; `unit` is its unit, which may hold a `{{ value }}`.
        size, way: the tolerance: `absolute` in the unit, `percent` of the answer, or to the `nearest` multiple.
        sided: the sign says a side, positive from the right.
        slips: (formula of a wrong figure, what to say of it).
    """

    answer: Formula
    unit: str
    size: float
    way: str
    sided: bool
    slips: tuple[tuple[Formula, str], ...]


def reads(part: Part) -> bool:
    """An `### Answer` with a fenced `number` block, or one line such as `65 kt ± 2`."""
    section = part.parts.get("answer")
    first = section.blocks[0] if section and section.blocks else None
    return first is not None and (_is_number(first) or _short(first) is not None)


def _is_number(block: Block) -> bool:
    return block.kind == "fence" and block.info.split()[:1] == [NAME]


def _short(block: Block) -> re.Match[str] | None:
    return _SHORT.fullmatch(" ".join(block.text.split())) if block.kind == "paragraph" else None


def parse(part: Part) -> Reading:
    """The formula of the answer, its unit, tolerance and slips."""
    block, *more = part.parts["answer"].blocks
    if more:
        message, hint = "This is not read: the answer is one line or block.", "put it under `### Why`"
        return None, part.prompt, [Problem(part.file, more[0].line, 1, "answer-form", message, hint)]
    placed = Placed()
    problems: list[Problem] = []
    if match := _short(block):
        words = {key: match[key] or "" for key in ("answer", "tolerance")}
        words["unit"] = match["unit"] or match["behind"] or ""
        words["answer"] = fill.bare(words["answer"])
    else:
        placed, problems = places.read(block.text, part.file, block.line + 1)
        words = {key: value for key, value in placed.data.items() if isinstance(value, str)}
    try:
        body = None if problems else _number(words, placed.data)
    except _Wrong as wrong:
        line, column = placed.places.get(wrong.path, (block.line, 1))
        problems = [Problem(part.file, line, column + wrong.column - 1, "number-form", wrong.message, wrong.hint)]
        body = None
    return body, part.prompt, problems


class _Wrong(Exception):  # noqa: N818 - turned into a problem where it is caught
    def __init__(self, path: tuple[str, ...], message: str, hint: str, column: int = 1) -> None:
        super().__init__(message)
        self.path, self.message, self.hint, self.column = path, message, hint, column


def _number(words: dict[str, str], data: dict[str, object]) -> Number:
    for key in data:
        if key not in _KEYS:
            raise _Wrong((key, ""), f"A number block has no key '{key}'.", f"use {', '.join(_KEYS)}")
    tolerance = _TOLERANCE.fullmatch(words.get("tolerance", ""))
    if tolerance is None:
        message = "The tolerance is missing or is none."
        raise _Wrong(("tolerance",), message, "write `tolerance: 2`, `5 %` or `nearest 5`; in one line `65 kt ± 2`")
    unit = words.get("unit", "")
    if unit and not fill.is_open(unit) and units.quantity(unit) is None:
        raise _Wrong(("unit",), f"'{unit}' is no unit.", "write such as kt, mph, ft, hPa, deg or %")
    answer = _formula(("answer",), words.get("answer", ""))
    slips = data.get("slips", {})
    if not isinstance(slips, dict):
        raise _Wrong(("slips",), "Slips are `formula: what to say`, one a line.", "put each on a line of its own")
    way = "percent" if tolerance["percent"] else "nearest" if tolerance["nearest"] else "absolute"
    told = tuple((_formula(("slips", text, ""), text), str(said)) for text, said in slips.items())
    return Number(answer, unit, float(tolerance["size"]), way, bool(_SIDED.match(answer.text)), told)


def _formula(path: tuple[str, ...], text: str) -> Formula:
    try:
        made = formula.compile_(text, formula.names_in(text))
        if made.condition:
            raise FormulaError(
                "This says yes or no, and a figure is asked for.", 1, "write a number, a value or a formula"
            )
    except FormulaError as error:
        raise _Wrong(path, error.message, error.hint or "write a number, a value or a formula", error.column) from None
    return made


def _body(body: object) -> Number:
    assert isinstance(body, Number)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def describe(body: object) -> str:
    """The formula, with its unit."""
    number = _body(body)
    return f"{number.answer.text} {number.unit}".strip()


def chance(body: object) -> float:
    """Nobody guesses a figure."""
    _body(body)
    return 0.0


def present(body: object, seed: int, values: Values) -> Shown:
    """Nothing but the prompt: the figure is typed."""
    _body(body)
    return Shown("typed")


def understand(body: object, text: str) -> str | None:
    """Anything that holds one figure, as it was typed."""
    return " ".join(text.split()) if units.read(text) else None


def expects(body: object) -> str:
    """What an answer looks like."""
    number = _body(body)
    unit = " with its unit" if number.unit else ""
    return f"a figure{unit} and side, left or right" if number.sided else f"a figure{unit}"


def unit_of(number: Number, values: Values) -> str:
    """The unit of the answer, on this aeroplane."""
    return fill.plain(number.unit, values)


def right_value(number: Number, values: Values) -> float:
    """The right figure in its unit; negative for the left where it has a side.

    Errors: FormulaError when the formula has no value.
    """
    return number.answer.value(given.numbers(values))


def close(number: Number, unit: str, said: float, right: float) -> bool:
    """Whether a figure is within the tolerance of another; directions are compared around the compass."""
    off = abs(said - right)
    if units.quantity(unit) == "angle":
        off = abs((said - right + 180) % 360 - 180)
    if number.way == "nearest":
        return bool(off <= number.size / 2 + _EXACT)
    return bool(off <= (number.size * abs(right) / 100 if number.way == "percent" else number.size) + _EXACT)


def mark(body: object, seed: int, given: str, values: Values) -> Mark:
    """Within the tolerance, in the unit or any other of the same quantity; a side that is said must be right."""
    number, said = _body(body), units.read(given)
    unit, right = unit_of(number, values), right_value(number, values)
    if said is None:
        return Mark(False, 0.0, ("No figure was given.",))
    if said.unit and unit and units.quantity(said.unit) != units.quantity(unit):
        return Mark(False, 0.0, (f"{said.unit} is a unit of something else: the answer is in {unit}.",))
    value = units.convert(said.value, said.unit, unit) if said.unit and unit else said.value
    wanted = abs(right) if number.sided else right
    if number.sided:
        value = abs(value)
    if not close(number, unit, value, wanted):
        return Mark(False, 0.0, _why_wrong(number, unit, said, value, wanted, values))
    if _told(number, said, unit, values):
        return Mark(False, 0.0, (f"That is the figure you were told; the answer is in {unit}.",))
    return _sides(number, said, right, unit)


def _told(number: Number, said: Measured, unit: str, values: Values) -> bool:
    """Whether a figure of the question was typed back in its own unit, and never put into the one asked for."""
    if not said.unit or said.unit == units.name(unit):
        return False
    found = given.numbers(values)
    return any(name in found and abs(found[name] - said.value) < _EXACT for name in number.answer.names)


def _sides(number: Number, said: Measured, right: float, unit: str) -> Mark:
    """The figure is right: what is to be said of its side and unit."""
    side = "left" if right < 0 else "right"
    given_side = said.side or ("left" if number.sided and said.value < 0 else "")
    if number.sided and given_side and given_side != side and abs(right) > _EXACT:
        return Mark(False, 0.0, (f"The figure is right, the side is not: it comes from the {side}.",))
    remarks = [f"Say the unit too: {unit}."] if unit and not said.unit and units.quantity(unit) != "angle" else []
    if number.sided and not given_side and abs(right) > _EXACT:
        remarks.append(f"Say the side too: from the {side}.")
    return Mark(True, 1.0, tuple(remarks))


def _why_wrong(
    number: Number, unit: str, said: Measured, value: float, wanted: float, values: Values
) -> tuple[str, ...]:
    """The slip behind a wrong figure, where it can be told."""
    found = given.numbers(values)
    for slip, words in number.slips:
        try:
            missed = slip.value(found)
        except FormulaError:  # this slip cannot be made with these values
            continue
        if close(number, unit, value, abs(missed) if number.sided else missed):
            return (words,)
    if said.unit and close(number, unit, said.value, wanted):
        return (f"The figure is right in {unit}, not in {said.unit}.",)
    for other in units.siblings(unit):
        if not said.unit and close(number, unit, units.convert(value, other, unit), wanted):
            return (f"That is the figure in {other}; the answer is in {unit}.",)
    if not number.sided and wanted and close(number, unit, -value, wanted):
        return ("The figure is right, its sign is not.",)
    return ()


def answer(body: object, seed: int, values: Values) -> tuple[Point, ...]:
    """The right figure, printed no finer than the tolerance asks."""
    number = _body(body)
    right = right_value(number, values)
    unit = unit_of(number, values)
    side = f" from the {'left' if right < 0 else 'right'}" if number.sided and abs(right) > _EXACT else ""
    shown = abs(right) if number.sided else right
    return (Point(f"{_printed(number, unit, shown)} {unit}".strip() + side),)


def _printed(number: Number, unit: str, value: float) -> str:
    if number.way == "nearest" and number.size:
        value = round(value / number.size) * number.size
    slack = number.size * abs(value) / 100 if number.way == "percent" else number.size
    decimals = next((places for places in range(6) if abs(round(value, places) - value) <= slack / 2), 6)
    if units.quantity(unit) == "angle" and not decimals:
        return f"{round(value) % 360 or 360:03d}"
    return f"{round(value, decimals) + 0.0:.{decimals}f}"


def slipped(body: object, values: Values) -> str:
    """The words of a slip whose figure is within the tolerance of the right one; empty when none is."""
    number, found = _body(body), given.numbers(values)
    unit, right = unit_of(number, values), right_value(number, values)
    if number.sided:
        right = abs(right)
    for slip, words in number.slips:
        value = slip.value(found)
        if close(number, unit, abs(value) if number.sided else value, right):
            return words
    return ""


def texts(body: object) -> tuple[str, ...]:
    """The unit, which may hold a value; what the formulas use is in `names`."""
    return (_body(body).unit,)


def names(body: object) -> frozenset[str]:
    """Names that the formulas use."""
    number = _body(body)
    return frozenset(name for each in (number.answer, *(slip for slip, _ in number.slips)) for name in each.names)
