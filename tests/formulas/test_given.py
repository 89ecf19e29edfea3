import pytest
from hypothesis import given as drawn_from
from hypothesis import strategies as st

from stickback.formulas import draw, given
from stickback.formulas.formula import FormulaError, numbers
from stickback.formulas.given import Draws

SHEET = {"approach_speed": "60", "propeller": "clockwise", "wind": "99"}
FIRST = 10  # line of the file on which the block begins


def read(*lines):
    made, problems = given.read("\n".join(lines), "deck.md", FIRST)
    assert problems == []
    return made


def faults(*lines):
    _, problems = given.read("\n".join(lines), "deck.md", FIRST)
    return [f"{each.line}:{each.column} {each.code}" for each in problems]


def draws(*lines, many=60, values=SHEET):
    made = read(*lines)
    return [draw.values(made, seed, values) for seed in range(many)]


def seen(name, *lines, many=60):
    return {each[name] for each in draws(*lines, many=many)}


# lists and ranges


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("06 | 24L |33", {"06", "24L", "33"}),
        ("A1", {"A1"}),
        ("'to the left | to the right'", {"to the left", "to the right"}),
        ("8 to 11", {"8", "9", "10", "11"}),
        ("-2 to 2 step 2", {"-2", "0", "2"}),
        ("080 to 120 step 20", {"080", "100", "120"}),
        ("090 to 090", {"090"}),
        ("1 to 2 step 0.5", {"1.0", "1.5", "2.0"}),
        ("0.1 to 0.3 step 0.1", {"0.1", "0.2", "0.3"}),
        ("1 to 5 step 2", {"1", "3", "5"}),
    ],
)
def test_a_name_is_drawn_from_a_list_or_a_range(text, values):
    assert seen("x", f"x: {text}") == values


@pytest.mark.parametrize(
    "text",
    [
        *(
            "''",
            "06 | | 24",
            "|",
            "[06, 24]",
            "{a: 1}",
            "5 to 3",
            "1 to 3 step 0",
            "1 to 20000",
            "1 to 2 to 3",
            "1 to 6 step 2",
            "0 to 1 step 0.3",
        ),
        *(
            "8 to 24 by 2",
            "1 to many",
            "8 to 9 | 12",
            "10–24",
            "10-24",
            "06, 15",
            "06 or 24",
            "from 8 to 24",
            "1,000 to 2,000",
            "wind > 5",
            f"1 to {'9' * 400}",
            f"1 to 2 step 0.{'0' * 5000}1",
            f"1 to 2 step 1.{'0' * 400}",
        ),
    ],
    ids=lambda text: text[:20],
)
def test_what_is_neither_list_nor_range_is_named_at_its_value(text):
    assert faults("a: 1", f"x: {text}") == ["11:4 given-form"]


@pytest.mark.parametrize("name", ["X", "wind-from", "2x", "wind from"])
def test_a_name_is_lower_case_letters_digits_and_lines(name):
    assert [each.split()[1] for each in faults(f"{name}: 1")] == ["given-form"]
    assert faults("x: 1", "let:", f"  {name}: x") == ["12:3 given-form"]


@pytest.mark.parametrize("text", ["06 | 24 | 06", "A1 | A1 | A1", "left |  right | left "])
def test_a_value_that_stands_more_than_once_in_a_list_is_warned_of_and_drawn(text):
    made, problems = given.read(f"x: {text}", "deck.md", FIRST)
    assert [(each.line, each.column, each.code, each.severity) for each in problems] == [
        (10, 4, "given-doubled", "warning")
    ]
    assert made.lists["x"]


@pytest.mark.parametrize(
    ("name", "text", "values"),
    [
        ("wind_from", "10 to 30 step 10", {"010", "020", "030"}),
        ("new_heading", "5 | 090", {"005", "090"}),
        ("track", "north", {"north"}),
        ("heading_error", "5", {"5"}),
        ("runway", "9 | 27", {"9", "27"}),  # as it is painted in the USA
    ],
)
def test_a_direction_is_drawn_in_three_figures_and_everything_else_as_it_is_written(name, text, values):
    assert seen(name, f"{name}: {text}") == values


def test_figures_that_are_printed_otherwise_are_other_values():
    assert read("x: 6 | 06").lists == {"x": ("6", "06")}


# what is derived


def test_let_derives_names_in_order():
    (made,) = draws("wind: 10", "let:", "  gust: wind * 1.5", "  spread: gust - wind + approach_speed", many=1)
    assert made == {"wind": "10", "gust": "15", "spread": "65"}


def test_a_drawn_value_hides_that_of_the_sheet_and_one_that_is_no_number_too():
    assert draws("wind: 10", "let:", "  twice: wind * 2", many=1)[0]["twice"] == "20"
    with pytest.raises(FormulaError, match="'wind' is no number here"):
        draws("wind: calm", "let:", "  twice: wind * 2", many=1)


@pytest.mark.parametrize(
    ("name", "formula", "text"),
    [
        ("runway", "24 + 18", "06"),
        ("runway", "36", "36"),
        ("other_runway", "6 + 18", "24"),
        ("runway_2", "3", "03"),
        ("heading", "5", "005"),
        ("new_heading", "350 + 30", "020"),
        ("wind_from", "0", "360"),
        ("wind_from", "-10", "350"),
        ("track", "89.6", "090"),
        ("runway_length", "600 * 2", "1200"),
        ("heading_error", "-10", "-10"),
        ("speed", "100 / 3", "33.33"),
        ("speed", "60 / 3", "20"),
        ("speed", "-0.001", "0"),
        ("weight", "1234567.25", "1234567.25"),
        ("weight", "2 ** 40", "1099511627776"),
    ],
)
def test_a_derived_value_is_printed_as_the_trade_prints_it(name, formula, text):
    assert draws("a: 1", "let:", f"  {name}: {formula}", many=1)[0][name] == text


def test_what_is_derived_goes_on_as_it_is_printed():
    (made,) = draws("a: 1", "let:", "  third: a / 3", "  back: third * 300", many=1)
    assert made["back"] == "99"


@pytest.mark.parametrize(
    ("lines", "place"),
    [
        (("let:",), "11:5"),
        (("let: x + 1",), "11:6"),
        (("let: [x]",), "11:6"),
        (("let:", "  x: 2"), "12:3"),
        (("let:", "  y: x +"), "12:9"),
        (("let:", "  y: [x]"), "12:6"),
        (("where:",), "11:7"),
        (("where: {x: 1}",), "11:8"),
        (("where: x",), "11:8"),
        (("where: x = 1",), "11:10"),
        (("where:", "  - x > 0", "  - x >"), "13:8"),
        (("where: [x > 0, [x]]",), "11:16"),
        (("where: x > 0 and x",), "11:18"),
    ],
    ids=lambda value: "".join(value),
)
def test_what_is_wrong_with_let_and_where_is_named_at_its_place(lines, place):
    assert faults("x: 1", *lines) == [f"{place} given-form"]


@pytest.mark.parametrize(
    ("hostile", "column"),
    [
        ("x.real > 1", 1),
        ("x.__class__ > 1", 1),
        ("9 ** 9 ** 9 > 1", 6),
        ("x ** (2 ** 60) ** 60 > 1", None),
        ("99999999999999999999 > x", 1),
        ("(" * 220 + "x" + ")" * 220 + " > 1", None),
        ("-" * 300 + "x > 1", None),
        ("x > 1" + " and x > 1" * 60, None),
        ("x" * 501 + " > 1", 501),
        ("open(x) > 1", 1),
        ("[y for y in x] > 1", 1),
        ("x if x else x", 1),
        ("'a' > x", 1),
    ],
    ids=lambda value: str(value)[:20],
)
def test_a_hostile_condition_is_a_problem_at_its_place(hostile, column):
    quoted = hostile.replace("'", "''")
    _, problems = given.read(f"x: 1\nwhere: '{quoted}'", "deck.md", FIRST)
    assert [(each.line, each.code) for each in problems] == [(11, "given-form")]
    assert column is None or problems[0].column == 7 + column


@pytest.mark.parametrize("text", ["- a", "x: &a 1\ny: *a", "x: 1\nx: 2", "x: [", "x: " + "1 | " * 10_000 + "1"])
def test_what_yaml_or_its_reader_does_not_take_is_said_once(text):
    _, problems = given.read(text, "deck.md", FIRST)
    assert [each.code.partition("-")[0] for each in problems] == ["block"]


@pytest.mark.parametrize(("names", "problems"), [(38, []), (39, ["10:1 given-form"])])
def test_a_block_holds_forty_names_and_conditions(names, problems):
    lines = (*(f"n{number}: 1" for number in range(names)), "let:", "  y: n1", "where: n1 > 0")
    assert faults(*lines) == problems


def test_a_block_without_anything_draws_nothing():
    assert read("") == Draws()
    assert draw.values(Draws(), 1, SHEET) == {}


@pytest.mark.parametrize(
    ("line", "hint"), [("where:", "write such as `wind > 5`"), ("let: {x: }", "write such as `wind + 5`")]
)
def test_where_a_formula_is_still_to_be_written_it_is_said_how_one_is(line, hint):
    _, problems = given.read(f"wind: 8 | 9\n{line}", "deck.md", FIRST)
    assert [(each.message, each.hint) for each in problems] == [("There is no formula.", hint)]


# conditions


def test_one_condition_stands_alone_and_more_in_a_list():
    assert seen("x", "x: 1 to 20", "where: 5 <= x < 7") == {"5", "6"}
    assert seen("x", "x: 1 to 20", "where:", "  - 5 <= x", "  - x < 7") == {"5", "6"}
    assert seen("x", "x: 1 to 20", "where: [5 <= x, x < 7]") == {"5", "6"}


def test_a_condition_may_use_the_figures_of_a_runway_what_is_derived_and_the_sheet():
    where = "where: off_runway(runway, wind_from) == 30 and speed > approach_speed"
    lines = (
        "runway: 06L | 24R",
        "wind_from: 010 to 360 step 10",
        "a: 10 to 80 step 10",
        "let:",
        "  speed: a + 1",
        where,
    )
    made = draws(*lines)
    assert {(each["runway"], each["wind_from"]) for each in made} == {
        *(("06L", "030"), ("06L", "090")),
        *(("24R", "210"), ("24R", "270")),
    }
    assert {each["a"] for each in made} == {"60", "70", "80"}


def test_a_condition_that_no_draw_meets_is_impossible():
    with pytest.raises(FormulaError, match="No draw meets the conditions"):
        draw.values(read("x: 1 to 9", "where: x > 9"), 1, {}, tries=50)


def test_a_condition_that_one_draw_in_a_thousand_meets_is_met():
    assert seen("x", "x: 1 to 1000", "where: x == 7", many=3) == {"7"}


def test_a_division_by_zero_for_some_draws_is_raised_for_those_unless_a_condition_keeps_them_out():
    lines = ("x: 0 | 1", "let:", "  y: 1 / x")
    zero = next(seed for seed in range(20) if draw.values(read("x: 0 | 1"), seed, {})["x"] == "0")
    with pytest.raises(FormulaError, match="divides by zero"):
        draw.values(read(*lines), zero, {})
    assert {each["y"] for each in draws(*lines, "where: x != 0")} == {"1"}


def test_an_unknown_name_is_said_when_it_is_drawn_and_counted_among_those_needed():
    made = read("x: 1", "let:", "  y: x + flaps", "where: y < approach_speed")
    assert (made.defines, made.needs) == ({"x", "y"}, {"flaps", "approach_speed"})
    with pytest.raises(FormulaError, match="'flaps' is no number here"):
        draw.values(made, 1, SHEET)


def test_a_number_without_end_is_no_number():
    with pytest.raises(FormulaError, match="'x' is no number here"):
        draw.values(read(f"x: {'9' * 400}", "let:", "  runway: x"), 1, {})


# seeds


@drawn_from(st.integers(0, 2**53 - 1))
def test_the_same_seed_draws_the_same_values_whatever_else_is_drawn(seed):
    one, two = read("x: 1 to 1000", "y: a | b | c"), read("z: 1 to 5", "y: a | b | c", "x: 1 to 1000")
    made = draw.values(one, seed, {})
    assert draw.values(one, seed, {}) == made
    assert made.items() <= draw.values(two, seed, {}).items()


def test_draws_do_not_change_from_version_to_version():
    assert [each["x"] for each in draws("x: 1 to 1000", many=4)] == ["329", "288", "302", "675"]


def test_two_names_of_one_list_are_drawn_each_on_its_own():
    assert len({tuple(each.values()) for each in draws("a: 1 to 3", "b: 1 to 3", many=200)}) == 9


def test_numbers_are_what_begins_with_figures():
    texts = {"a": "24L", "b": "010", "c": "-2.5", "d": "left", "e": "60 kt", "f": "9" * 400}
    assert numbers(texts, texts) == {"a": 24, "b": 10, "c": -2.5, "e": 60}
