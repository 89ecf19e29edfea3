from functools import cache
from itertools import product

import pytest
from hypothesis import given as drawn_from
from hypothesis import strategies as st

from parts import part_of
from stickback.course.course import applies
from stickback.formulas import draw, formula
from stickback.kinds.number import Number
from stickback.services import folder
from stickback.trade import units
from stickback.trade.units import Tolerance
from typed import heard

WIND = {"runway": "06", "wind_from": "020", "wind": "20"}  # 12.86 kt from the left, 15.32 kt on the nose
ACROSS = "crosswind(runway, wind_from, wind)"


def part(answer):
    """The question; what stands under `### Answer` begins on its line 5."""
    return part_of(f"## How much? {{#much}}\n\n### Answer\n\n{answer}\n")


def block(*lines):
    return "\n".join(("```number", *lines, "```"))


def read(answer):
    body, _, problems = Number.parse(part(answer))
    assert problems == []
    return body


@cache
def of(answer, unit="", tolerance="0", *slips):
    lines = [f"answer: {answer}", f"tolerance: {tolerance}", *([f"unit: '{unit}'"] if unit else [])]
    return read(block(*lines, *(["slips:"] if slips else []), *(f"  {slip}" for slip in slips)))


def faults(answer):
    body, _, problems = Number.parse(part(answer))
    assert body is None
    return [f"{each.line}:{each.column} {each.code}" for each in problems]


def marked(body, said, **values):
    """Whether it is right, and what is said of it."""
    mark = body.mark(0, said, values)
    assert mark.score == float(mark.right)
    return mark.right, " ".join(mark.remarks)


def right(body, said, **values):
    return marked(body, said, **values)[0]


def printed(body, **values):
    (point,) = body.answer(0, values)
    return point.text


# reading


@pytest.mark.parametrize(
    ("line", "answer", "unit", "size", "way"),
    [
        ("65 kt ± 2", "65", "kt", 2, "absolute"),
        ("65kt +/- 2.5", "65", "kt", 2.5, "absolute"),
        ("-3.5 °C ± 1", "-3.5", "°C", 1, "absolute"),
        ("65 ± 2 kt", "65", "kt", 2, "absolute"),
        ("{{ approach_speed }} ± 5 % {{ speed_unit }}", "approach_speed", "{{ speed_unit }}", 5, "percent"),
        ("{{ approach_speed }} ± 2", "approach_speed", "", 2, "absolute"),
        ("{{ approach_speed }} {{ speed_unit }} ± 5 %", "approach_speed", "{{ speed_unit }}", 5, "percent"),
    ],
)
def test_one_line_is_read_as_answer_unit_and_tolerance(line, answer, unit, size, way):
    body = read(line)
    assert (body.figure.formula.text, body.figure.unit, body.tolerance, body.slips) == (
        answer,
        unit,
        Tolerance(size, way),
        (),
    )


def test_a_block_is_read_as_formula_unit_tolerance_and_slips():
    body = of(ACROSS, "kt", "nearest 5", f"{ACROSS.replace('cross', 'head')}: Along.", "wind: All of it.")
    assert (body.figure.formula.text, body.figure.unit, body.tolerance) == (ACROSS, "kt", Tolerance(5, "nearest"))
    assert [(slip.text, words) for slip, words in body.slips][1] == ("wind", "All of it.")
    assert body.uses() == WIND.keys()
    assert body.texts() == ("kt",)


@pytest.mark.parametrize("answer", ["65 kt", "About 65 kt ± 2", "- 65 kt ± 2", "```\n65 ± 2\n```", "> 65 ± 2", ""])
def test_other_forms_are_no_number(answer):
    assert not Number.reads(part(answer))


@pytest.mark.parametrize("answer", ["65 ± 2", "```number\n```", "65 ± 2\n\nMore."])
def test_a_line_with_a_tolerance_and_a_block_are_numbers(answer):
    assert Number.reads(part(answer))


GOOD = ("answer: wind * 2", "unit: kt", "tolerance: 1")


@pytest.mark.parametrize(
    ("line", "instead", "place"),
    [
        (1, "tolerance: some", "8:12"),
        (1, "tolerance: -1", "8:12"),
        (1, "tolerance: [1]", "8:12"),
        (2, "unit: furlongs", "7:7"),
        (3, "answer:", "6:8"),
        (3, "answer: wind.real", "6:9"),
        (3, "answer: 9 ** 9 ** 9", "6:14"),
        (3, "answer: 9999999999999999", "6:9"),
        (3, "answer: " + "-" * 80 + "wind", "6:59"),
        (3, "answer: wind + open(wind)", "6:16"),
        (3, "answer: lambda(wind)", "6:15"),
        (3, "answer: 1 / 0", "6:13"),
        (3, "answer: wind > 3", "6:9"),
        (3, "answer: '{{ wind }}'", "6:9"),
        (1, "tolerance: 1\nprecision: 2", "9:1"),
        (1, "tolerance: 1\nslips: none", "9:8"),
        (1, "tolerance: 1\nslips:\n  wind +: Slip.", "10:9"),
    ],
)
def test_what_is_wrong_in_a_block_is_named_at_its_place(line, instead, place):
    lines = (*GOOD[:-line], instead, *GOOD[len(GOOD) - line + 1 :])
    assert faults(block(*lines)) == [f"{place} number-form"]


def test_a_tolerance_cannot_be_left_out_and_an_answer_neither():
    assert faults(block("answer: 5")) == ["5:1 number-form"]
    assert faults(block("tolerance: 5")) == ["5:1 number-form"]


def test_what_stands_behind_the_answer_is_refused():
    assert faults("65 kt ± 2\n\nMore.") == ["7:1 answer-form"]


def test_a_block_that_is_no_yaml_is_refused_once():
    assert len(faults(block("answer: [5", "tolerance: 1"))) == 1


# understanding


@pytest.mark.parametrize(("said", "stored"), [("14", "14"), ("  14   kt ", "14 kt"), ("1,5", "1,5"), ("x", None)])
def test_what_holds_one_figure_is_an_answer_as_it_was_typed(said, stored):
    assert heard(of("14", "kt"), said) == stored


@pytest.mark.parametrize(
    "said", ["9" * 10_000, "14 " * 3_333, "k" * 10_000, "14\x00", "\x1b[A14", "\u202e" * 20_000 + "14", "(" * 10_000]
)
def test_hostile_text_is_no_answer(said):
    body = of("14", "kt")
    assert heard(body, said) is None
    assert not right(body, said)


@pytest.mark.parametrize("said", ["\u200f14\u200e kt", "\u202e14 kt\u202c", "\u2066１４\u2069 kt"])
def test_marks_that_turn_the_text_change_nothing(said):
    assert heard(of("14", "kt"), said) is not None
    assert marked(of("14", "kt"), said) == (True, "")


@drawn_from(st.text(max_size=30) | st.text("0123456789.,-+ ktmphlef°%'", max_size=12))
def test_any_text_is_marked_or_refused_and_what_is_understood_stays_so(said):
    body = of("14", "kt", "1", "7: Half.")
    once = heard(body, said)
    assert once is None or heard(body, once) == once
    assert body.mark(0, said, {}).right <= (once is not None)


# units


@pytest.mark.parametrize(
    "said", ["14 kt", "14 KTS", "14,0 knots", "16 mph", "16,1 miles per hour", "26 km/h", "7.2 m/s"]
)
def test_an_answer_may_carry_any_unit_of_the_same_quantity(said):
    assert marked(of("14", "kt", "0.5"), said) == (True, "")


def test_a_missing_unit_is_right_with_a_remark():
    assert marked(of("14", "kt", "1"), "14") == (True, "Say the unit too: kt.")
    assert marked(of("140", "deg", "1"), "140") == (True, "")
    assert marked(of("14", "", "1"), "14") == (True, "")


@pytest.mark.parametrize(("said", "unit"), [("14 ft", "ft"), ("14 lbs", "lb"), ("14 hPa", "hPa"), ("14 deg", "deg")])
def test_a_unit_of_another_quantity_is_wrong_with_a_remark(said, unit):
    assert marked(of("14", "kt", "1"), said) == (False, f"{unit} is a unit of something else: the answer is in kt.")


def test_a_wrong_unit_is_told_from_a_wrong_value():
    assert marked(of("60", "kt", "1"), "60 mph") == (False, "The figure is right in kt, not in mph.")
    assert marked(of("60", "kt", "1"), "50 mph") == (False, "")


def test_a_figure_that_is_right_in_another_unit_is_told():
    assert marked(of("60", "kt", "1"), "69") == (False, "That is the figure in mph; the answer is in kt.")


def test_the_unit_may_be_the_aeroplanes():
    body = read("{{ approach_speed }} {{ speed_unit }} ± 1")
    mossbank = {"approach_speed": "75", "speed_unit": "mph"}
    assert printed(body, **mossbank) == "75 mph"
    assert marked(body, "65 kt", **mossbank) == (True, "")
    assert marked(body, "65", **mossbank) == (False, "That is the figure in kt; the answer is in mph.")


def test_the_figure_of_the_question_typed_back_in_its_own_unit_is_no_answer():
    body = of("speed * 0.868976", "kt", "1")
    told = (False, "That is the figure you were told; the answer is in kt.")
    assert marked(body, "90 mph", speed="90") == told
    assert marked(body, "78 kt", speed="90") == (True, "")
    assert marked(body, "40.2 m/s", speed="90") == (True, "")


# sides and signs


@pytest.mark.parametrize(
    "said", ["13 kt from the left", "from the left 13 kt", "left 13 kt", "15 mph left", "13 kt L", "L 13 kt"]
)
def test_the_side_may_be_said_in_any_way(said):
    assert marked(of(ACROSS, "kt", "1"), said, **WIND) == (True, "")


def test_a_figure_without_its_side_is_not_right_and_told_so():
    missing = "The figure is right, the side is missing: it comes from the left."
    assert marked(of(ACROSS, "kt", "1"), "13 kt", **WIND) == (False, missing)
    assert marked(of(ACROSS, "kt", "1"), "13", **WIND) == (False, missing)


def test_a_side_is_typed_as_a_word_and_not_as_a_sign():
    assert heard(of(ACROSS, "kt", "1"), "-13 kt", **WIND) is None


def test_a_wrong_side_is_told_from_a_wrong_figure():
    body = of(ACROSS, "kt", "1")
    side = "The figure is right, the side is not: it comes from the left."
    assert marked(body, "13 kt from the right", **WIND) == (False, side)
    assert marked(body, "18 kt from the right", **WIND) == (False, "")


def test_where_nothing_blows_across_no_side_is_wanted():
    body, along = of(ACROSS, "kt", "1"), {**WIND, "wind_from": "060"}
    assert printed(body, **along) == "0 kt"
    assert marked(body, "0 kt", **along) == (True, "")


@pytest.mark.parametrize("answer", ["crosswind_limit", "abs(crosswind(6, 20, 20))", "12"])
def test_only_a_crosswind_has_a_side(answer):
    assert "from" not in printed(of(answer, "kt", "1"), crosswind_limit="12")


def test_a_wrong_sign_is_told():
    assert marked(of("-5", "°C", "1"), "5 °C") == (False, "The figure is right, its sign is not.")
    assert marked(of("-5", "°C", "1"), "minus 5 °C") == (True, "")


# slips


SLIPS = ("headwind(runway, wind_from, wind): That is the part along the runway.", "wind: That is the whole wind.")


def test_a_known_slip_is_explained():
    body = of(ACROSS, "kt", "1", *SLIPS)
    assert marked(body, "15 kt", **WIND) == (False, "That is the part along the runway.")
    assert marked(body, "20 kt from the left", **WIND) == (False, "That is the whole wind.")
    assert marked(body, "40 kt", **WIND) == (False, "")


def test_a_slip_without_a_value_explains_nothing():
    body = of("a", "", "1", "1 / (a - 5): Turned over.", "a * 2: Doubled.")
    assert marked(body, "10", a="5") == (False, "Doubled.")


def test_a_slip_within_the_tolerance_of_the_answer_is_found():
    body = of(ACROSS, "kt", "1", *SLIPS)
    assert body.slipped(WIND) == ""
    assert body.slipped({**WIND, "wind_from": "015"}) == SLIPS[0].partition(": ")[2]
    assert body.slipped({**WIND, "wind_from": "150"}) == "That is the whole wind."


# tolerance


@pytest.mark.parametrize(
    ("answer", "tolerance", "inside", "outside"),
    [
        ("100", "2", (98, 102), (97.9, 102.1)),
        ("0.3", "0.1", (0.2, 0.4), (0.19, 0.41)),
        ("200", "5 %", (190, 210), (189.9, 210.1)),
        ("-200", "5%", (-190, -210), (-189.9, -210.1)),
        ("102", "nearest 5", (99.5, 104.5, 100), (99.4, 105)),
        ("100", "0", (100,), (99.99, 100.01)),
    ],
)
def test_the_tolerance_is_absolute_percent_or_nearest(answer, tolerance, inside, outside):
    body = of(answer, "", tolerance)
    assert [right(body, f"{said}") for said in (*inside, *outside)] == [True] * len(inside) + [False] * len(outside)


@pytest.mark.parametrize(
    ("answer", "said"), [(2, "358"), (2, "360"), (358, "002"), (360, "000"), (0, "360"), (350, "355")]
)
def test_angles_are_compared_round_the_compass(answer, said):
    assert right(of(str(answer), "deg", "5"), said)
    assert not right(of(str(answer + 180), "deg", "5"), said)


@pytest.mark.parametrize("said", ["362", "-10", "minus 1", "400 degrees"])
def test_what_lies_outside_the_compass_is_asked_again(said):
    assert heard(of("2", "deg", "5"), said) is None
    assert not right(of("2", "deg", "5"), said)


def test_what_is_no_angle_is_not_compared_round_the_compass():
    assert not right(of("350", "kt", "10"), "-10")


# the answer shown


@pytest.mark.parametrize(
    ("answer", "unit", "tolerance", "shown"),
    [
        ("12.857", "kt", "1", "13 kt"),
        ("12.857", "kt", "0.1", "12.9 kt"),
        ("12.5", "kt", "0", "12.5 kt"),
        ("7", "deg", "1", "007 deg"),
        ("0", "deg", "1", "360 deg"),
        ("-10", "deg", "1", "350 deg"),
        ("102", "ft", "nearest 5", "100 ft"),
        ("104", "ft", "nearest 50", "100 ft"),
        ("-0.2", "°C", "1", "0 °C"),
        ("1234.4", "", "1 %", "1234"),
    ],
)
def test_the_answer_is_printed_no_finer_than_its_tolerance(answer, unit, tolerance, shown):
    assert printed(of(answer, unit, tolerance)) == shown
    assert right(of(answer, unit, tolerance), shown)


def test_the_answer_names_its_side():
    assert printed(of(ACROSS, "kt", "1"), **WIND) == "13 kt from the left"
    assert printed(of(ACROSS, "kt", "1"), **{**WIND, "wind_from": "100"}) == "13 kt from the right"


@drawn_from(
    st.floats(-5000, 5000),
    st.sampled_from(["kt", "ft", "hPa", "deg", "°C", "%", ""]),
    st.sampled_from(["1", "0.5", "5", "10 %", "nearest 5", "nearest 10"]),
)
def test_the_answer_shown_is_marked_right(value, unit, tolerance):
    size = "1" if tolerance == "10 %" and abs(value) < 1 else tolerance
    body = of("x", unit, size)
    assert right(body, printed(body, x=f"{value:.6f}"), x=f"{value:.6f}")


def test_nothing_is_shown_before_the_answer_and_nobody_guesses_it():
    body = of("14", "kt", "1")
    assert (body.show(1, {}).manner, body.show(1, {}).options) == ("line", ())
    assert body.chance() == 0
    assert body.describe() == "14 kt"
    assert body.show(1, {}).expects == "a figure with its unit"
    assert of(ACROSS, "kt", "1").show(1, {}).expects == "a figure with its unit and side, left or right"


def test_an_answer_without_a_value_raises_with_its_column():
    with pytest.raises(formula.FormulaError) as raised:
        of("1 / a", "", "1").answer(0, {"a": "0"})
    assert raised.value.column == 5


# the course that ships


def askings(draws):
    """Every number question of the course on every aeroplane that it fits, over its draws."""
    shipped = folder.load(folder.shipped())
    for sheet, question in product(shipped.sheets.values(), shipped.questions.values()):
        values = {**question.only, **sheet.values}
        if question.kind == Number.NAME and applies(question, values):
            for seed in range(draws):
                yield question, {**sheet.values, **draw.values(question.draws, seed, sheet.values)}


def beyond(body, values):
    """A figure just outside the tolerance, with its side."""
    wanted, unit = body.figure.value(values), body.figure.unit_of(values)
    side = f" from the {'left' if wanted < 0 else 'right'}" if body.sided else ""
    far = (abs(wanted) if body.sided else wanted) + body.tolerance.slack(wanted) * 1.001 + 1e-6
    return f"{far:.7f} {unit if units.quantity(unit) else ''}{side}"


def test_every_number_of_the_course_takes_the_answer_it_prints_and_none_beyond_its_tolerance():
    failing = [
        (question.id, values)
        for question, values in askings(60)
        if not right(question.body, printed(question.body, **values), **values)
        or right(question.body, beyond(question.body, values), **values)
    ]
    assert failing == []


@pytest.mark.parametrize(
    ("answer", "message", "hint"),
    [
        ("60 kt – 2", "The tolerance has another sign.", "± 2"),
        ("60 kt +- 2", "The tolerance has another sign.", "± 2"),
        ("60 kt plus or minus 2", "The tolerance has another sign.", "± 2"),
        ("60 kt", "This number has no tolerance.", "± 2"),
        ("60 to 65 kt", "A range is not read.", "how far it reaches"),
        ("- 60 kt ± 2", "A number stands without a bullet.", "on a line of its own"),
        ("4 l ± 0,5", "A number has a point, no comma.", "0.5"),
        ("1,500 ft ± 50", "A number has a point, no comma.", "1500"),
        ("about 4 l ± 0.5", "'about' is not read beside a number.", "± 2"),
        ("on finals {{ speed }} kt ± 2", "'on finals' is not read beside a number.", "± 2"),
        ("crosswind(24, 200, 10) kt ± 1", "A formula is not read on one line.", "fenced `number` block"),
        ("{{ speed }} + 5 kt ± 1", "A formula is not read on one line.", "fenced `number` block"),
        ("1.3 * 50 kt ± 1", "A formula is not read on one line.", "fenced `number` block"),
        ("60 kt (± 2)", "This number is not read as one.", "± 2"),
    ],
)
def test_what_is_nearly_a_number_is_told_why_it_is_none(answer, message, hint):
    (problem,) = Number.near_misses(part(answer))
    assert (problem.code, problem.message) == ("number-form", message)
    assert hint in problem.hint


SHEET = {"approach_speed": "65", "speed_unit": "mph", "fuel_l": "40"}
MEASURED = {"approach_speed": "mph", "fuel_l": "l"}


@pytest.mark.parametrize(
    ("answer", "unit", "told"),
    [
        ("approach_speed", "kt", "`approach_speed` is in mph on reedling.md, and the answer is asked for in kt."),
        ("approach_speed + 5", "kg", "`approach_speed` is in mph on reedling.md, and the answer is asked for in kg."),
        ("fuel_l", "kt", "`fuel_l` is in l on reedling.md, and the answer is asked for in kt."),
        ("approach_speed", "MPH", None),
        ("approach_speed", "{{ speed_unit }}", None),
        ("approach_speed", "", None),
        ("approach_speed * minutes", "kt", None),
        ("approach_speed", "{{ nowhere }}", None),
    ],
)
def test_a_value_is_asked_for_in_the_unit_that_the_sheet_has_it_in(answer, unit, told):
    found = [each.message for each in of(answer, unit).misfits(SHEET, MEASURED, "reedling.md")]
    assert found == ([told] if told else [])


def test_a_speed_in_another_unit_is_told_which_value_to_write():
    (speed,) = of("approach_speed", "kt").misfits(SHEET, MEASURED, "reedling.md")
    (fuel,) = of("fuel_l", "kg").misfits(SHEET, MEASURED, "reedling.md")
    assert 'unit: "{{ speed_unit }}"' in speed.hint
    assert fuel.hint == "write l as its unit"
