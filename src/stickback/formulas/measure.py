"""In what the value of a formula is measured, as far as the names in it say so."""

import ast
from collections.abc import Mapping

from stickback.trade import units

_ALIKE = frozenset({"abs", "round", "floor", "ceil", "min", "max"})  # functions that keep the unit
_MARGINS = (1.0, 1.9)  # factors such as the 1.3 of an approach; what else is multiplied with may be a conversion
_WORDS = {unit.spellings[0]: name for name, unit in units.UNITS.items()}


def unit_of(text: str, measured: Mapping[str, str]) -> tuple[str, str]:
    """The unit of a formula's value, and the value of it that says so; both empty where it cannot be told.

    Args:
        text: a formula that can be read.
        measured: the unit of each value that has one.
    """
    return _of(ast.parse(text.strip().replace("\n", " "), mode="eval").body, measured)


def _of(node: ast.expr, measured: Mapping[str, str]) -> tuple[str, str]:
    if isinstance(node, ast.Name):
        return measured.get(node.id, ""), node.id if node.id in measured else ""
    if isinstance(node, ast.UnaryOp):
        return _of(node.operand, measured)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        return _same([node.left, node.right], measured)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult):
        left, right = node.left, node.right
        return _of(right, measured) if _margin(left) else _of(left, measured) if _margin(right) else ("", "")
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        unit = _WORDS.get(node.func.id.rpartition("_to_")[2], "") if "_to_" in node.func.id else ""
        if unit or node.func.id not in _ALIKE:
            return unit, node.func.id if unit else ""
        return _same(node.args[:1] if node.func.id == "round" else node.args, measured)
    return "", ""


def _same(nodes: list[ast.expr], measured: Mapping[str, str]) -> tuple[str, str]:
    """The unit of what is added or compared; none where two differ."""
    found = [each for each in (_of(node, measured) for node in nodes) if each[0]]
    return found[0] if len({unit for unit, _ in found}) == 1 else ("", "")


def _margin(node: ast.expr) -> bool:
    if not isinstance(node, ast.Constant) or not isinstance(node.value, int | float):
        return False
    return _MARGINS[0] <= node.value <= _MARGINS[1] and round(node.value, 1) == node.value
