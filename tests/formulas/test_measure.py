import pytest

from stickback.formulas import measure

MEASURED = {"approach_speed": "kt", "stall_speed": "kt", "climb_mph": "mph", "fuel_l": "l"}


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
    assert measure.unit_of(text, MEASURED) == (unit, name)


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
    assert measure.unit_of(text, MEASURED) == ("", "")
