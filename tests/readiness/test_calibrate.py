import json
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.amount import percent
from stickback.readiness import calibrate

ANSWERS = st.lists(st.tuples(st.floats(0.01, 0.99), st.booleans()), min_size=1, max_size=200)


def told(answers):
    return np.array([chance for chance, _ in answers]), np.array([right for _, right in answers], dtype=bool)


def perfect(many, seed=1):
    """A forecaster whose chances are true."""
    rng = np.random.default_rng(seed)
    chance = rng.beta(6, 1.5, many).clip(0.01, 0.99)
    return chance, rng.random(many) < chance


@given(ANSWERS)
def test_every_answer_is_in_one_bin_and_bins_lie_side_by_side(answers):
    bins = calibrate.calibration([told(answers)]).bins
    assert sum(one.answers for one in bins) == len(answers)
    assert all(one.high <= other.low for one, other in pairwise(bins))
    assert all(one.low - 1e-6 <= one.predicted <= one.high + 1e-6 for one in bins)


@given(ANSWERS)
def test_a_bin_holds_the_mean_of_what_was_told_and_the_share_that_was_right(answers):
    *inner, last = calibrate.reliability(*told(answers), 5)
    for one in (*inner, last):
        inside = [row for row in answers if one.low <= row[0] < one.high or (one is last and row[0] >= one.low)]
        assert one.answers == len(inside)
        assert one.predicted == pytest.approx(np.mean([chance for chance, _ in inside]))
        assert one.observed == pytest.approx(np.mean([right for _, right in inside]))


def test_equal_predictions_are_never_parted():
    answers = [(0.9, True)] * 70 + [(0.5, False)] * 30
    bins = calibrate.calibration([told(answers)]).bins
    assert sorted((one.predicted, one.observed, one.answers) for one in bins) == [(0.5, 0, 30), (0.9, 1, 70)]


def test_one_prediction_over_and_over_is_one_bin():
    (one,) = calibrate.calibration([told([(0.8, True), (0.8, False)] * 40)]).bins
    assert one == (0.8, 0.8, 0.8, 0.5, 80)


def test_few_predictions_make_few_bins():
    assert [len(calibrate.calibration([perfect(many)]).bins) for many in (1, 9, 25, 100, 5000)] == [1, 1, 2, 10, 10]


def test_a_perfect_forecaster_shows_about_the_noise_floor_and_no_debiased_error():
    errors, floors, squares = [], [], []
    for seed in range(60):
        found = calibrate.calibration([perfect(1000, seed)])
        errors.append(found.error)
        floors.append(found.noise_floor)
        squares.append(found.debiased)
    assert np.mean(errors) == pytest.approx(np.mean(floors), rel=0.1)
    assert np.mean(squares) == pytest.approx(0, abs=0.0003)


def test_a_forecaster_who_is_off_shows_more_than_the_noise_floor():
    chance, right = perfect(5000)
    found = calibrate.calibration([(chance * 0.9, right)])
    assert found.error > 5 * found.noise_floor
    assert found.debiased > 0.005


def test_below_a_thousand_predictions_the_error_is_not_shown_but_the_bins_and_why():
    few, enough = (calibrate.calibration([perfect(many)]) for many in (999, 1000))
    assert (few.error, few.debiased, len(few.bins)) == (None, None, 10)
    assert few.note.startswith("999 predictions: too few to say")
    assert enough.error is not None
    for share in (enough.error, enough.noise_floor):
        assert percent(share, 1) in enough.note


def test_nothing_told_has_no_figure():
    found = calibrate.calibration([told([]), told([])])
    assert (found.predictions, found.brier, found.error, found.noise_floor, found.bins) == (0, None, None, None, ())
    assert calibrate.calibration([]) == found


def test_a_school_is_all_its_students_together():
    ann, bob = perfect(300, 1), perfect(500, 2)
    both = tuple(map(np.concatenate, zip(ann, bob, strict=True)))
    assert calibrate.calibration([ann, bob]) == calibrate.calibration([both])


def test_the_data_is_plain_and_names_each_value_of_a_bin():
    found = calibrate.calibration([perfect(1500)])
    data = json.loads(json.dumps(calibrate.as_data(found), allow_nan=False))
    assert data["error"] == found.error
    assert list(data["bins"][0]) == ["low", "high", "predicted", "observed", "answers"]
    assert [tuple(one.values()) for one in data["bins"]] == [tuple(one) for one in found.bins]


def test_a_certain_prediction_that_was_wrong_still_has_a_figure():
    assert calibrate.calibration([told([(1.0, False)])]).log_loss > 20
