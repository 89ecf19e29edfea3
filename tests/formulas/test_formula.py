import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.formulas import formula
from stickback.formulas.formula import LONGEST, FormulaError, compile_, names_in
from stickback.formulas.functions import FUNCTIONS

NAMES = frozenset({"runway", "wind_from", "wind", "x"})
MEASURED = {"approach_speed": "kt", "stall_speed": "kt", "climb_mph": "mph", "fuel_l": "l"}
DRAWN = {"runway": 24, "wind_from": 270, "wind": 12, "x": 3}
PIECES = [*NAMES, *FUNCTIONS, *"0123456789.+-*/%()<>=!,:'[]{}\\ \n\t", "**", "//", "and", "or", "not", "if", "else"]
PIECES += ["lambda", "for", "in", "is", "await", "__class__", "1e308", "ｗ", "½", "\x00", "\ud800", "\u202e", "=="]


def refused(text):
    with pytest.raises(FormulaError) as caught:
        compile_(text, NAMES)
    return caught.value


def test_a_formula_of_a_deck_has_a_value():
    made = compile_("crosswind(runway, wind_from, wind)", NAMES)
    assert made.names == {"runway", "wind_from", "wind"}
    assert not made.condition
    assert made.value(DRAWN) == 6


def test_a_condition_of_a_deck_holds_or_does_not():
    made = compile_("20 <= off_runway(runway, wind_from) <= 70", NAMES)
    assert made.condition
    assert made.holds(DRAWN)
    assert made.value(DRAWN) == 1
    assert not made.holds({**DRAWN, "wind_from": 250})


def outcome(text):
    try:
        return compile_(text, NAMES).value(DRAWN)
    except FormulaError as error:
        return error


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("x.__class__", 1),
        ("(1).real", 1),
        ("9 ** 9 ** 9", 6),
        ("9**9**9**9", 7),
        ("2 ** 65", 6),
        ("1e16", 1),
        ("9" * 400, 1),
        ("x * 1e999", 5),
        ("-" * 450 + "x", 51),
        ("(" * 240 + "x" + ")" * 240, 201),
        ("not " * 100 + "x", 201),
        ("lambda: x", 7),
        ("'a'", 1),
        ('x + "a"', 5),
        ("f'{x}'", 2),
        ("[x for x in x]", 1),
        ("abs(x for x in x)", 4),
        ("{x}", 1),
        ("(x := 1)", 4),
        ("__import__(x)", 1),
        ("x + __builtins__", 5),
        ("ｗｉｎｄ", 1),
        ("x + ｗind", 5),
        ("x if wind else 2", 1),
        ("x; x", 2),
        ("x\x00", 2),
        ("x \u202e+ 1", 3),
        ("x @ x", 3),
        ("x[0]", 2),
        ("x\\\n+ 1", 2),
        ("True", 1),
        ("1_000", 1),
        ("0x10", 1),
        ("2 + 1j", 5),
        ("x, x", 1),
        ("max(*x)", 1),
        ("abs(value=x)", 10),
        ("\ud800", 1),
    ],
)
def test_a_hostile_formula_is_refused_with_its_column(text, column):
    assert refused(text).column == column


@pytest.mark.parametrize(
    "text",
    ["", "  \n", "x +", "(x", "x)", "x x", "* x", "x +* 2", "abs(x", ", x", "x < > 2", "1 if", "abs(" * 120 + "x)"],
)
def test_what_is_half_a_formula_is_refused_inside_the_text(text):
    assert 1 <= refused(text).column <= len(text) + 1


@pytest.mark.parametrize(
    ("text", "column", "hint"),
    [
        ("x × 2", 3, "write * to multiply"),
        ("x ÷ 2", 3, "write / to divide"),
        ("x − 2", 3, "write a plain - as minus"),
        ("x ^ 2", 3, "write ** for a power"),
        ("x ≤ 2", 3, "write <="),
        ("{{ x }} + 2", 1, "a value stands here without braces"),
        ("x > 1 & x < 3", 7, "write and, or, not"),
        ("sin(30°)", 7, "angles are in degrees as they are"),
        ("x = 2", 3, "write =="),
        ("!x", 1, "write not, or !="),
        ("runway == 06", 11, "leave the 0 out"),
        ("2x", 1, "leave units out; write * to multiply"),
        ("x + 12kt", 5, "leave units out; write * to multiply"),
        ("wnid + 2", 1, "did you mean wind?"),
    ],
)
def test_a_slip_of_an_author_is_told_what_was_meant(text, column, hint):
    error = refused(text)
    assert (error.column, error.hint) == (column, hint)


@pytest.mark.parametrize(
    ("text", "value"),
    [("1e3", 1000), ("1.5e-1", 0.15), ("0.5", 0.5), (".5", 0.5), ("2.", 2), ("0", 0), ("100", 100), ("x != 2", 1)],
)
def test_plain_numbers_and_signs_are_no_slips(text, value):
    assert compile_(text, NAMES).value({"x": 3}) == value


def test_columns_count_from_the_start_of_the_text_through_spaces_and_lines():
    assert refused("   wnid").column == 4
    assert refused("x\n  + wnid").column == 7
    assert compile_(" \n x\n + 1 ", NAMES).value({"x": 1}) == 2


@pytest.mark.parametrize("error", [ValueError, RecursionError, MemoryError])
def test_a_text_that_is_too_much_for_the_parser_is_refused(monkeypatch, error):
    def parse(text, mode):
        raise error

    monkeypatch.setattr(formula.ast, "parse", parse)
    assert refused("  x").column == 3


def test_a_formula_may_be_as_long_as_it_may_be():
    longest = "x" + " " * (LONGEST - 1)
    assert compile_(longest, NAMES).value({"x": 1}) == 1
    assert refused(longest + " ").column == LONGEST + 1
    assert refused("x+" * 500_000).column == LONGEST + 1


def test_a_missing_number_is_told_where_it_is_needed():
    with pytest.raises(FormulaError) as caught:
        compile_("x + wind * wind_from", NAMES).value({"x": 1, "wind_from": 2})
    assert (caught.value.message, caught.value.column) == ("'wind' is no number here.", 5)


def test_dividing_by_zero_is_told_for_some_numbers_only():
    made = compile_("12 / (x - 3)", NAMES)
    assert made.value({"x": 6}) == 4
    with pytest.raises(FormulaError, match="divides by zero") as caught:
        made.value(DRAWN)
    assert caught.value.column == 7


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("crosswind(runway, wind_from, wind)", {"runway", "wind_from", "wind"}),
        ("a and not b or c", {"a", "b", "c"}),
        ("1e5 + e5", {"e5"}),
        ("min (a, b)", {"a", "b"}),
        ("min + a", {"min", "a"}),
        ("__class__ + A", set()),
        ("((", set()),
    ],
)
def test_names_are_found_in_any_text(text, names):
    assert names_in(text) == names


def test_two_formulas_of_one_text_are_the_same():
    assert compile_("x + 1", NAMES) == compile_("x + 1", NAMES)
    assert hash(compile_("x + 1", NAMES)) == hash(compile_("x + 1", NAMES))
    assert "lambda" not in repr(compile_("x + 1", NAMES))


@given(st.lists(st.sampled_from(PIECES), max_size=12).map("".join) | st.text(max_size=30))
def test_any_text_is_a_formula_with_finite_values_or_refused_inside_the_text(text):
    found = outcome(text)
    if isinstance(found, FormulaError):
        assert 1 <= found.column <= len(text) + 1
        assert found.message.endswith(".")
    else:
        assert math.isfinite(found)
        assert compile_(text, NAMES).names <= names_in(text) & NAMES


@pytest.mark.parametrize(
    ("text", "unit", "name"),
    [
        ("approach_speed", "kt", "approach_speed"),
        (" approach_speed\n+ gust / 2 ", "kt", "approach_speed"),
        ("gust + approach_speed", "kt", "approach_speed"),
        ("-approach_speed", "kt", "approach_speed"),
        ("1.3 * stall_speed + 5", "kt", "stall_speed"),
        ("stall_speed * 1.3", "kt", "stall_speed"),
        ("round(stall_speed, 0)", "kt", "stall_speed"),
        ("max(stall_speed, approach_speed, 5)", "kt", "stall_speed"),
        ("kt_to_mph(approach_speed)", "mph", "kt_to_mph"),
        ("kt_to_mph(approach_speed) + climb_mph", "mph", "kt_to_mph"),
    ],
)
def test_a_sum_a_margin_and_a_conversion_are_measured_in_a_unit(text, unit, name):
    assert compile_(text, [*MEASURED, "gust", "minutes"]).unit(MEASURED) == (unit, name)


@pytest.mark.parametrize(
    "text",
    [
        "gust + 5",
        "approach_speed + climb_mph",
        "approach_speed * minutes",
        "approach_speed * 1.15",
        "approach_speed / 60",
        "stall_speed * sqrt(2)",
        "fuel_l / approach_speed",
        "approach_speed ** 2",
        "crosswind(24, 200, approach_speed)",
    ],
)
def test_what_may_be_a_conversion_or_another_quantity_is_measured_in_nothing_that_can_be_told(text):
    assert compile_(text, [*MEASURED, "gust", "minutes"]).unit(MEASURED) == ("", "")
