"""A parsed expression to functions of plain numbers: what is on the list is compiled, everything else refused.

Every number is a float, so that a formula costs bounded time and memory whatever it says. Numbers and conditions are
two things: `20 <= wind <= 30` may be asked, not added to.
"""

import ast
import math
import operator
from collections.abc import Callable, Collection, Mapping
from difflib import get_close_matches
from typing import NamedTuple

from stickback.formulas.functions import FUNCTIONS

DEEPEST = 50  # one inside the other; a sum of many terms counts each
LARGEST = 1e15  # a number as typed
STEEPEST = 64  # an exponent, either way

Run = Callable[[Mapping[str, float]], float]


class FormulaError(Exception):
    """A formula that cannot be read, or has no value for some numbers.

    Args:
        message: what is wrong, one sentence.
        column: where in the formula, from 1.
        hint: what to type instead, or `""`.
        key: the key of a block under which it stands, where that is known.
    """

    def __init__(self, message: str, column: int, hint: str = "", key: str = "") -> None:
        super().__init__(message)
        self.message, self.column, self.hint, self.key = message, column, hint, key


class Node(NamedTuple):
    """An expression, compiled.

    Args:
        run: from the numbers of its names to its value, finite; raises FormulaError where it has none.
        condition: whether it says yes or no, as 1 or 0.
    """

    run: Run
    condition: bool = False


def _power(base: float, exponent: float) -> float:
    """A power with real numbers, small enough to be written down."""
    if abs(exponent) > STEEPEST:
        raise ValueError(f"An exponent is from -{STEEPEST} to {STEEPEST}.")
    result = base**exponent
    if isinstance(result, complex):
        raise ValueError("A negative number has no such power.")
    return float(result)


_SIGNS: dict[type[ast.unaryop], Callable[[float], float]] = {ast.UAdd: operator.pos, ast.USub: operator.neg}
_SUMS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: operator.mod,
    ast.Pow: _power,
}
_COMPARISONS: dict[type[ast.cmpop], Callable[[float, float], bool]] = {
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
}


def _applied(function: Callable[..., float], column: int, *parts: Run) -> Run:
    """A function of the parts; what it finds impossible is told with the column."""

    def run(values: Mapping[str, float]) -> float:
        arguments = [part(values) for part in parts]
        try:
            result = float(function(*arguments))
        except ZeroDivisionError:
            raise FormulaError("This divides by zero.", column) from None
        except OverflowError:
            result = math.inf
        except ValueError as error:
            raise FormulaError(str(error), column) from None
        if not math.isfinite(result):
            raise FormulaError("This number grows too large.", column)
        return result

    return run


def _chained(tests: list[Callable[[float, float], bool]], parts: list[Run]) -> Run:
    """A comparison such as `20 <= wind <= 30`: each pair of neighbours in turn, until one fails."""

    def run(values: Mapping[str, float]) -> float:
        left = parts[0](values)
        for test, part in zip(tests, parts[1:], strict=True):
            right = part(values)
            if not test(left, right):
                return 0.0
            left = right
        return 1.0

    return run


class _Compiler:
    """One walk over one tree.

    Args:
        names: those that may be used; `used` are those that are.
        indent: characters before the text that was parsed, which is ASCII: its bytes are its columns.
    """

    def __init__(self, names: Collection[str], indent: int) -> None:
        self.names = names
        self.indent = indent
        self.used: list[str] = []

    def column(self, tree: ast.expr) -> int:
        return self.indent + tree.col_offset + 1

    def wrong(self, tree: ast.expr, message: str, hint: str) -> FormulaError:
        return FormulaError(message, self.column(tree), hint)

    def node(self, tree: ast.expr, depth: int) -> Node:
        """A part, compiled; one without names is worked out here and now."""
        if depth > DEEPEST:
            raise self.wrong(tree, "The formula is nested too deep.", "split it with `let`")
        before = len(self.used)
        made = self.made(tree, depth + 1)
        if len(self.used) > before:
            return made
        known = made.run({})
        return Node(lambda _: known, made.condition)

    def made(self, tree: ast.expr, depth: int) -> Node:
        match tree:
            case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
                return self.constant(tree, value)
            case ast.Name(id=name):
                return self.name(tree, name)
            case ast.BinOp(op=op) if type(op) in _SUMS:
                return self.sum(tree, depth)
            case ast.UnaryOp(op=op, operand=operand) if type(op) in _SIGNS:
                return Node(_applied(_SIGNS[type(op)], self.column(tree), self.number(operand, depth)))
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                return Node(_applied(operator.not_, self.column(tree), self.condition(operand, depth)), True)
            case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]):
                return self.call(tree, name, arguments, depth)
            case ast.Compare(ops=ops) if all(type(op) in _COMPARISONS for op in ops):
                parts = [self.number(part, depth) for part in (tree.left, *tree.comparators)]
                return Node(_chained([_COMPARISONS[type(op)] for op in ops], parts), True)
            case ast.BoolOp(op=op, values=conditions):
                return self.joined(op, [self.condition(part, depth) for part in conditions])
        raise self.wrong(tree, "This is not allowed in a formula.", "write numbers, names, signs and functions only")

    def number(self, tree: ast.expr, depth: int) -> Run:
        made = self.node(tree, depth)
        if made.condition:
            raise self.wrong(tree, "This is a condition where a number is needed.", "join conditions with and, or, not")
        return made.run

    def condition(self, tree: ast.expr, depth: int) -> Run:
        made = self.node(tree, depth)
        if not made.condition:
            raise self.wrong(tree, "This is a number where a condition is needed.", "compare it, as in wind > 5")
        return made.run

    def constant(self, tree: ast.expr, value: float) -> Node:
        if not value <= LARGEST:
            raise self.wrong(tree, "This number is too large.", f"a number is at most {LARGEST:g}")
        known = float(value)
        return Node(lambda _: known)

    def name(self, tree: ast.expr, name: str) -> Node:
        if name not in self.names:
            if name in FUNCTIONS:
                raise self.wrong(tree, f"'{name}' is a function, not a value.", f"write {_written(name)}")
            raise self.wrong(tree, f"There is no value '{name}'.", _near(name, self.names))
        self.used.append(name)
        return Node(lambda values: float(values[name]))

    def sum(self, tree: ast.BinOp, depth: int) -> Node:
        left, right = self.number(tree.left, depth), self.number(tree.right, depth)
        simple = isinstance(tree.op, ast.Add | ast.Sub | ast.Mult)
        place = tree if simple else tree.right  # what divides, and an exponent, is itself the mistake
        return Node(_applied(_SUMS[type(tree.op)], self.column(place), left, right))

    def call(self, tree: ast.expr, name: str, arguments: list[ast.expr], depth: int) -> Node:
        if name not in FUNCTIONS:
            raise self.wrong(tree, f"There is no function '{name}'.", _near(name, FUNCTIONS))
        function, least, most = FUNCTIONS[name]
        if not least <= len(arguments) <= most:
            takes = f"{least} to {most} numbers" if least < most else f"{least} number{'s' if least > 1 else ''}"
            raise self.wrong(tree, f"'{name}' takes {takes}, not {len(arguments)}.", f"write {_written(name)}")
        return Node(_applied(function, self.column(tree), *(self.number(part, depth) for part in arguments)))

    def joined(self, op: ast.boolop, parts: list[Run]) -> Node:
        every = all if isinstance(op, ast.And) else any
        return Node(lambda values: float(every(part(values) for part in parts)), True)


def _written(name: str) -> str:
    """A function as it is called, with the names of its numbers where they are known."""
    function = FUNCTIONS[name]
    code = getattr(function.call, "__code__", None)
    return f"{name}({', '.join(code.co_varnames[: function.least] if code else ['…'] * function.least)})"


def _near(name: str, known: Collection[str]) -> str:
    """A hint with the name that was probably meant, or with a few that there are."""
    near = get_close_matches(name, known, 1)
    if near:
        return f"did you mean {near[0]}?"
    return f"there are: {', '.join(sorted(known)[:8])}" if known else "none are given here"


def compiled(tree: ast.expr, names: Collection[str], indent: int = 0) -> tuple[Node, frozenset[str]]:
    """An expression, compiled, and the names it uses; a part without names is worked out once.

    Args:
        names: those it may use.
        indent: characters before the text that was parsed, which is ASCII.
    Errors: FormulaError for all that is not on the list, and for a part without names that has no value.
    """
    compiler = _Compiler(names, indent)
    return compiler.node(tree, 1), frozenset(compiler.used)
