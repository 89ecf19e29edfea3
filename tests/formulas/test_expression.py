import ast
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.formulas.expression import DEEPEST, FormulaError, compiled

WORDS = {"a", "b"}


def parsed(text):
    return ast.parse(text, mode="eval").body


def refused(text, names=WORDS):
    with pytest.raises(FormulaError) as caught:
        compiled(parsed(text), names)
    return caught.value


# Texts that never get as far as the compiler, thrown at it all the same: the list is what keeps the program safe.
@pytest.mark.parametrize(
    "text",
    [
        *(
            "'a'",
            "b'a'",
            "f'{a}'",
            "f'a'",
            "True",
            "None",
            "...",
            "1j",
            "(1, 2)",
            "[1]",
            "{1}",
            "{1: 2}",
            "a[0]",
            "a[1:2]",
        ),
        *("a.b", "a.__class__", "().__class__.__bases__", "lambda: a", "lambda x=a: x", "(c := 1)", "a if b else 1"),
        *("[c for c in a]", "{c for c in a}", "{c: c for c in a}", "(c for c in a)", "max(*a)", "abs(*a)", "abs(**a)"),
        *(
            "round(a, decimals=1)",
            "abs(a)(b)",
            "(abs)(a)(b)",
            "a.abs(b)",
            "a is b",
            "a in b",
            "a not in b",
            "a is not b",
        ),
        *("a @ b", "a << b", "a >> b", "a & b", "a | b", "a ^ b", "~a", "await a", "(yield a)", "(yield from a)"),
        *(
            "__import__(a)",
            "eval(a)",
            "exec(a)",
            "open(a)",
            "getattr(a, b)",
            "__builtins__",
            "abs.__self__",
            "print(a)",
        ),
    ],
)
def test_what_is_not_on_the_list_is_refused_with_its_column(text):
    error = refused(text)
    assert 1 <= error.column <= len(text)
    assert error.message


@given(st.integers(-50, 50), st.integers(-50, 50))
def test_sums_are_those_of_plain_numbers(a, b):
    values = {"a": a, "b": b}
    for text in ("a + b", "a - b * 2", "-a - +b", "a * b", "(a + b) ** 2", "a / 4 // 3", "a % 7", "2 ** -2 * a"):
        assert compiled(parsed(text), WORDS)[0].run(values) == float(eval(text, {}, values))  # noqa: S307


@given(st.integers(-3, 3), st.integers(-3, 3))
def test_conditions_are_one_or_nought(a, b):
    values = {"a": a, "b": b}
    for text in ("a < b", "a <= b != 2", "0 <= a <= b", "a == b or a > 1", "not a < b", "a > 0 and b > 0", "a >= b"):
        node = compiled(parsed(text), WORDS)[0]
        assert node.condition
        assert node.run(values) == float(eval(text, {}, values))  # noqa: S307


def test_a_condition_stops_at_the_part_that_decides():
    assert compiled(parsed("a > 0 and 1 / a > 0"), WORDS)[0].run({"a": 0}) == 0
    assert compiled(parsed("a == 0 or 1 / a > 0"), WORDS)[0].run({"a": 0}) == 1
    assert compiled(parsed("1 < a < 1 / a"), WORDS)[0].run({"a": 0}) == 0


@pytest.mark.parametrize("text", ["(a < b) + 1", "abs(a < b)", "(a < b) < 1", "-(a < b)"])
def test_a_condition_is_no_number(text):
    assert "condition where a number" in refused(text).message


@pytest.mark.parametrize("text", ["a and b > 1", "not a", "a > 1 or 2"])
def test_a_number_is_no_condition(text):
    assert "number where a condition" in refused(text).message


@pytest.mark.parametrize(
    ("text", "column", "message"),
    [
        ("a / b", 5, "divides by zero"),
        ("a // b", 6, "divides by zero"),
        ("1 + a % b", 9, "divides by zero"),
        ("b ** -a", 6, "divides by zero"),
        ("(-a) ** 0.5", 9, "no such power"),
        ("a ** 65", 6, "from -64 to 64"),
        ("1 + sqrt(-a)", 5, "square root"),
        ("tan(90 * a)", 1, "right angle"),
        ("a + c ** 64", 10, "too large"),
        ("c * c", 1, "too large"),
        ("crosswind(c, a, a)", 1, "from 1 to 36"),
    ],
)
def test_what_has_no_value_is_told_with_its_column(text, column, message):
    run = compiled(parsed(text), {"a", "b", "c"})[0].run
    with pytest.raises(FormulaError, match=message) as caught:
        run({"a": 1, "b": 0, "c": 1e200})
    assert caught.value.column == column


@pytest.mark.parametrize(
    ("text", "column"), [("a + 1 / 0", 9), ("9 ** 9 ** 9", 6), ("a > 0 and sqrt(-1) > 0", 11), ("1e15 ** 64", 9)]
)
def test_a_part_without_names_is_worked_out_when_compiled(text, column):
    assert refused(text).column == column


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("wnd + 1", "did you mean wind?"),
        ("q", "there are: b, wind, wind_from"),
        ("crosswnd(b, b, b)", "did you mean crosswind?"),
        ("min + 1", "write min(…, …)"),
        ("headwind", "write headwind(runway, wind_from, wind)"),
        ("headwind(b)", "write headwind(runway, wind_from, wind)"),
        ("kt_to_mph()", "write kt_to_mph(…)"),
    ],
)
def test_a_wrong_name_or_call_is_told_what_was_meant(text, hint):
    assert refused(text, {"wind", "wind_from", "b"}).hint == hint


def test_where_no_name_is_given_that_is_said():
    assert refused("q", ()).hint == "none are given here"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("sqrt()", "'sqrt' takes 1 number, not 0."),
        ("headwind(1, 2)", "'headwind' takes 3 numbers, not 2."),
        ("round(1, 2, 3)", "'round' takes 1 to 2 numbers, not 3."),
        ("min(1)", "'min' takes 2 to 20 numbers, not 1."),
        (f"max({', '.join('1' * 21)})", "'max' takes 2 to 20 numbers, not 21."),
    ],
)
def test_the_count_of_arguments_is_checked_when_compiled(text, message):
    assert refused(text).message == message


@pytest.mark.parametrize("text", ["1e16", "1e999", "1" * 400, "1000000000000001.5"])
def test_a_huge_number_is_refused(text):
    assert "too large" in refused(text).message


def test_depth_is_limited_exactly():
    assert compiled(parsed("-" * (DEEPEST - 1) + "a"), WORDS)
    assert "too deep" in refused("-" * DEEPEST + "a").message
    assert "too deep" in refused("+".join("a" * 60)).message


def test_the_names_used_are_told():
    assert compiled(parsed("a + abs(a) * 2"), WORDS)[1] == {"a"}


@given(st.floats())
def test_a_result_is_finite_or_refused(value):
    run = compiled(parsed("a * 1 + abs(a)"), WORDS)[0].run
    if math.isfinite(value + abs(value)):
        assert run({"a": value}) == value + abs(value)
    else:
        with pytest.raises(FormulaError, match="too large"):
            run({"a": value})
