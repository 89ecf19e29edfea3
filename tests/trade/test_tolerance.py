import pytest

from stickback.trade.units import Tolerance


@pytest.mark.parametrize(
    ("tolerance", "right", "slack"),
    [(Tolerance(2), 50, 2), (Tolerance(5, "percent"), -200, 10), (Tolerance(5, "nearest"), 102, 2.5)],
)
def test_the_slack_is_in_the_unit_of_the_figure_and_never_negative(tolerance, right, slack):
    assert tolerance.slack(right) == slack


def test_the_edge_of_the_tolerance_is_inside_even_where_floats_are_not_exact():
    assert Tolerance(0.1).covers(0.4, 0.3, "kt")
    assert not Tolerance(0.1).covers(0.41, 0.3, "kt")


def test_directions_are_close_across_north_and_speeds_are_not():
    assert Tolerance(5).covers(358, 2, "deg")
    assert not Tolerance(5).covers(358, 2, "kt")


@pytest.mark.parametrize(
    ("tolerance", "right", "unit", "printed"),
    [
        (Tolerance(1), 12.857, "kt", "13"),
        (Tolerance(0.1), 12.857, "kt", "12.9"),
        (Tolerance(5, "nearest"), 102, "ft", "100"),
        (Tolerance(1), 7, "deg", "007"),
        (Tolerance(1), 0, "deg", "360"),
        (Tolerance(0.5), -1.5, "deg", "358.5"),
        (Tolerance(1), -0.2, "°C", "0"),
    ],
)
def test_a_figure_is_printed_no_finer_than_it_must_be(tolerance, right, unit, printed):
    assert tolerance.printed(right, unit) == printed
