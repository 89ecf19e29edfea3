"""Formulas of a deck: read by a list of what is allowed and compiled once, never handed to `eval`.

Numbers, names, `+ - * / // % **`, comparisons, `and or not` and calls of `functions.FUNCTIONS`; trigonometry takes
degrees. What stands in a formula is refused with its column, before or while it is compiled; nothing in it can reach
the program.
"""

import ast
import math
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from stickback.formulas.expression import FormulaError, Run, compiled
from stickback.trade import units

__all__ = ["LONGEST", "Formula", "FormulaError", "compile_", "names_in", "numbers"]

LONGEST = 500  # characters

_ALLOWED = re.compile(r"[A-Za-z0-9_.,()+\-*/%<>=! \t\n]*")
_NAME = re.compile(r"(?<![\w.])[a-z][a-z0-9_]*(?!\w|\s*\()", re.ASCII)
_SPACE = re.compile(r"\s")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_WORDS = frozenset({"and", "or", "not"})
_ANGLES = "angles are in degrees as they are"
_ALIKE = frozenset({"abs", "round", "floor", "ceil", "min", "max"})  # functions that keep the unit
_MARGINS = (1.0, 1.9)  # factors such as the 1.3 of an approach; what else is multiplied with may be a conversion
_UNITS = {unit.spellings[0]: name for name, unit in units.UNITS.items()}
# What authors mean by characters that are no part of a formula.
_MEANT = {
    **dict.fromkeys("×·⋅", "write * to multiply"),
    **dict.fromkeys("÷∕", "write / to divide"),
    **dict.fromkeys("−–", "write a plain - as minus"),
    **dict.fromkeys("{}", "a value stands here without braces"),
    **dict.fromkeys("&|~", "write and, or, not"),
    **dict.fromkeys("°π", _ANGLES),
    "^": "write ** for a power",
    "≤": "write <=",
    "≥": "write >=",
    "≠": "write !=",
    "√": "write sqrt(…)",
}
# What Python would read in a way of its own, or complain of in its own words.
_SLIPS = tuple(
    (re.compile(pattern, re.ASCII), message, hint)
    for pattern, message, hint in (
        (r"(?<![\w.])0+(?=\d+(?![\w.]))", "A number does not begin with 0.", "leave the 0 out"),
        (
            r"(?<![\w.])(?>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(?=[A-Za-z_])",
            "A number runs into a word.",
            "leave units out; write * to multiply",
        ),
        (r"\b(?:AND|OR|NOT)\b", "This word is written in small letters.", "write and, or, not"),
        (r"(?<=[\d)]) ?[x×] ?(?=[\w(])", "This is no sign of a formula.", "write * to multiply"),
        (r"(?<=\d) ?%(?= ?(?:\*|$))", "A % is the rest of a division.", "write 0.05 for 5 %"),
        (r"(?<![=!<>])=(?!=)", "A single = compares nothing.", "write =="),
        (r"!(?!=)", "An ! says nothing here.", "write not, or !="),
    )
)


@dataclass(frozen=True)
class Formula:
    """A formula, ready for any numbers.

    Args:
        text: as typed.
        names: the values it uses.
        condition: whether it says yes or no instead of a number.
    """

    text: str
    names: frozenset[str]
    condition: bool
    run: Run = field(repr=False, compare=False)

    def value(self, values: Mapping[str, float]) -> float:
        """Its value, finite; of a condition 1.0 or 0.0.

        Errors: FormulaError, with the column, where these numbers give none or one of them is missing.
        """
        if missing := self.names - values.keys():
            places = ((match[0], match.start() + 1) for match in _NAME.finditer(self.text))
            name, column = next(place for place in places if place[0] in missing)
            raise FormulaError(f"'{name}' is no number here.", column)
        return self.run(values)

    def holds(self, values: Mapping[str, float]) -> bool:
        """Whether a condition is met.

        Errors: FormulaError as `value`.
        """
        return self.value(values) != 0

    def unit(self, measured: Mapping[str, str]) -> tuple[str, str]:
        """The unit of its value, and the value or function that says so; both empty where it cannot be told.

        Args:
            measured: the unit of each value that has one.
        """
        return _unit(ast.parse(_SPACE.sub(" ", self.text).strip(), mode="eval").body, measured)


def _unit(node: ast.expr, measured: Mapping[str, str]) -> tuple[str, str]:
    if isinstance(node, ast.Name):
        return measured.get(node.id, ""), node.id if node.id in measured else ""
    if isinstance(node, ast.UnaryOp):
        return _unit(node.operand, measured)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        return _same([node.left, node.right], measured)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult):
        left, right = node.left, node.right
        return _unit(right, measured) if _margin(left) else _unit(left, measured) if _margin(right) else ("", "")
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        unit = _UNITS.get(node.func.id.rpartition("_to_")[2], "") if "_to_" in node.func.id else ""
        if unit or node.func.id not in _ALIKE:
            return unit, node.func.id if unit else ""
        return _same(node.args[:1] if node.func.id == "round" else node.args, measured)
    return "", ""


def _same(nodes: list[ast.expr], measured: Mapping[str, str]) -> tuple[str, str]:
    """The unit of what is added or compared; none where two differ."""
    found = [each for each in (_unit(node, measured) for node in nodes) if each[0]]
    return found[0] if len({unit for unit, _ in found}) == 1 else ("", "")


def _margin(node: ast.expr) -> bool:
    if not isinstance(node, ast.Constant) or not isinstance(node.value, int | float):
        return False
    return _MARGINS[0] <= node.value <= _MARGINS[1] and round(node.value, 1) == node.value


def names_in(text: str) -> frozenset[str]:
    """The words of a text that would be values in a formula, whether it can be read or not."""
    return frozenset(_NAME.findall(text)) - _WORDS


def numbers(values: Mapping[str, str], names: Iterable[str]) -> dict[str, float]:
    """Those of some values that are numbers, as formulas take them; of a runway such as 24L the figures."""
    found = ((name, _figure(values[name])) for name in names if name in values)
    return {name: value for name, value in found if value is not None}


@lru_cache(4096)
def _figure(text: str) -> float | None:
    match = _NUMBER.match(text)
    value = float(match[0]) if match else math.nan
    return value if math.isfinite(value) else None


def compile_(text: str, names: Collection[str]) -> Formula:
    """The formula of a text.

    Args:
        names: the values it may use.
    Errors: FormulaError, with the column of the mistake; also for a part without names that has no value, as `1 / 0`.
    """
    _look(text)
    plain = _SPACE.sub(" ", text)
    indent = len(plain) - len(plain.lstrip())
    try:
        tree = ast.parse(plain.strip(), mode="eval")
    except SyntaxError as error:
        on_it = error.lineno == 1 and error.offset  # what is missing at the end is told of the next line
        column = min((error.offset or 0) + indent, len(text) + 1) if on_it else len(text.rstrip()) + 1
        raise FormulaError("The formula cannot be read.", column, "look for a missing sign or bracket") from None
    except (ValueError, RecursionError, MemoryError):
        raise FormulaError("The formula cannot be read.", indent + 1, "split it with `let`") from None
    made, used = compiled(tree.body, names, indent)
    return Formula(text, used, made.condition, made.run)


def _look(text: str) -> None:
    """Stops at what no formula holds, before anything is parsed."""
    if len(text) > LONGEST:
        raise FormulaError(f"A formula has at most {LONGEST} characters.", LONGEST + 1, "split it with `let`")
    if not text.strip():
        raise FormulaError("There is no formula.", 1)
    match = _ALLOWED.match(text)
    end = match.end() if match else 0
    if end < len(text):
        shown = f"'{text[end]}'" if text[end].isprintable() else "This character"
        hint = _MEANT.get(text[end], "write numbers, names, signs and functions only")
        raise FormulaError(f"{shown} is no part of a formula.", end + 1, hint)
    for slip, message, meant in _SLIPS:
        if found := slip.search(text):
            raise FormulaError(message, found.start() + 1, meant)
