"""The forecast against published distributions, general libraries and simulated students.

Sources: scipy 1.17 (`binom`, `poisson_binom`, `hypergeom`, `beta`), scikit-learn 1.9 (`brier_score_loss`, `log_loss`,
`calibration_curve`), and exact counting written here. Figures without another source were worked out in two ways when
the method was chosen, and are met here once more.
"""

from itertools import combinations, product

import numpy as np
import pytest
from scipy import stats
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss, log_loss

import standing
from stickback.memory import curve
from stickback.readiness import calibrate, forecast, offset, unseen

MIXED = np.array([0.95, 0.9, 0.85, 0.7, 0.6, 0.5, 0.3, 0.1])


def drawn(chances, questions, least):
    """Chance of so many right or more, of a random set of questions: `[n, m]` for n asked and m right.

    A random set of j of the first i questions holds the i-th with chance j/i: only convex steps, nothing cancels.
    """
    found = np.zeros((questions + 1, least + 1))
    found[0, 0] = 1
    for i, p in enumerate(chances, 1):
        size = min(i, questions)
        share = (np.arange(1, size + 1) / i)[:, None]
        before = found[:size].copy()
        asked = before * (1 - p)
        asked[:, 1:] += p * before[:, :-1]
        asked[:, least] += p * before[:, least]
        found[1 : size + 1] = (1 - share) * found[1 : size + 1] + share * asked
    return found


def passes(known, questions, least):
    return float(standing.oral(questions=questions, share=least / questions).pass_chance(np.array([known]))[0])


# the score of an oral


@pytest.mark.parametrize(("questions", "least"), [(5, 3), (10, 6), (20, 12), (20, 16), (30, 18), (60, 36), (200, 160)])
@pytest.mark.parametrize("known", [0.0, 0.05, 0.61, 0.7, 0.93, 1.0])
def test_the_chance_to_pass_is_scipys_binomial(questions, least, known):
    assert passes(known, questions, least) == pytest.approx(stats.binom.sf(least - 1, questions, known), abs=1e-12)


def test_a_fixed_set_of_questions_scores_as_scipys_poisson_binomial():
    one_by_one = stats.poisson_binom.pmf(range(4), [0.9, 0.8, 0.3])
    assert one_by_one == pytest.approx([0.014, 0.188, 0.582, 0.216])
    assert drawn([0.9, 0.8, 0.3], 3, 3)[3] == pytest.approx(one_by_one)


def test_questions_drawn_without_putting_back_score_as_counted_over_all_sets():
    found = drawn(MIXED, 4, 4)[4]
    assert found == pytest.approx([0.01353786, 0.12811643, 0.36745929, 0.37658071, 0.11430571], abs=5e-9)
    assert drawn(MIXED, 4, 3)[4, 3] == pytest.approx(0.49088643, abs=5e-9)
    sets = [stats.poisson_binom.pmf(range(5), list(each)) for each in combinations(MIXED, 4)]
    assert found == pytest.approx(np.mean(sets, axis=0), abs=1e-15)
    mean = found @ np.arange(5)
    assert mean == pytest.approx(2.45)
    assert found @ (np.arange(5) - mean) ** 2 == pytest.approx(0.813571, abs=5e-7)


def test_what_is_known_or_not_for_certain_scores_as_scipys_hypergeometric():
    found = drawn([1.0] * 180 + [0.0] * 120, 12, 12)[12]
    assert found == pytest.approx(stats.hypergeom.pmf(range(13), 300, 180, 12), abs=1e-15)


def test_questions_that_are_all_alike_score_as_scipys_binomial():
    assert drawn([0.7] * 300, 12, 12)[12] == pytest.approx(stats.binom.pmf(range(13), 12, 0.7), abs=1e-15)
    assert drawn([0.7] * 40, 40, 40)[40] == pytest.approx(stats.poisson_binom.pmf(range(41), [0.7] * 40), abs=1e-14)


def test_topics_drawn_by_weight_score_as_counted_over_all_sequences():
    banks, weights, scores = [(0.9, 0.8, 0.7), (0.5, 0.4)], (0.6, 0.4), np.zeros(4)
    for sequence in product(range(2), repeat=3):
        taken = [sequence.count(topic) for topic in range(2)]
        if taken[1] <= 2:
            parts = [
                drawn(bank, many, many)[many] if many else np.ones(1) for bank, many in zip(banks, taken, strict=True)
            ]
            scores += np.prod([weights[topic] for topic in sequence]) * np.convolve(*parts)
    exact = [0.02915385, 0.21638462, 0.45669231, 0.29776923]
    assert scores / scores.sum() == pytest.approx(exact, abs=5e-9)
    quotas = np.convolve(drawn(banks[0], 2, 2)[2], drawn(banks[1], 1, 1)[1])
    assert quotas == pytest.approx([0.02016667, 0.19616667, 0.49716667, 0.2865], abs=5e-9)


@pytest.mark.parametrize(
    ("questions", "least", "off"), [(5, 3, 0.003), (10, 6, 0.003), (20, 12, 0.003), (30, 18, 0.003)]
)
def test_the_binomial_of_the_mean_is_within_three_thousandths_of_drawing_from_three_hundred(questions, least, off):
    bank = np.random.default_rng(3).beta(0.81, 0.51, 300)  # mean 0.61, spread 0.32: as mixed as banks come
    assert bank.std() > 0.3
    assert passes(bank.mean(), questions, least) == pytest.approx(drawn(bank, questions, least)[-1, -1], abs=off)


# the offset


def test_ten_predictions_of_nine_in_ten_with_seven_right_give_the_offset_found_by_direct_search():
    after_days = np.full(10, offset.LONG)  # which weigh in full
    mean, error, _ = offset.offsets([(np.full(10, 0.9), np.arange(10) < 7, after_days)], [curve.DEFAULTS])
    assert (mean[0], error[0]) == pytest.approx((-0.395804, 0.437854), abs=5e-7)
    steps = np.linspace(-2, 2, 400_001)
    likely = 7 * steps - 10 * np.log1p(9 * np.exp(steps)) - steps**2 / (2 * 0.5**2)
    assert steps[likely.argmax()] == pytest.approx(mean[0], abs=1e-5)


def test_a_band_over_the_offset_is_that_of_the_exact_score_at_many_offsets():
    error = np.sqrt(0.5**2 - offset.ON_THE_DAY**2)
    shifts = offset.levels(np.array([-0.3958]), np.array([error]), forecast.LEVELS)[0]
    found = np.array([[drawn(offset.shifted(offset.odds_of(MIXED), shift), 4, 3)[4, 3] for shift in shifts]])
    low, high = forecast._ends(found)
    assert found.mean() == pytest.approx(0.381022, abs=0.001)
    assert (low[0], high[0]) == pytest.approx((0.208, 0.564), abs=0.003)


# questions never seen


def test_rates_that_are_equally_likely_are_those_of_scipys_beta():
    shapes = [(knew, missed) for knew in (0.02, 0.3, 2.0, 5.7, 40.0, 600.0) for missed in (0.05, 0.3, 3.0, 30.0, 600.0)]
    knew, missed = np.array(shapes).T
    exact = stats.beta.ppf((np.arange(20) + 0.5) / 20, knew[:, None], missed[:, None])
    assert np.abs(1 / (1 + np.exp(-unseen.levels(knew, missed, 20))) - exact).max() < 0.01


@pytest.fixture(scope="module")
def first_answers():
    """2,000 students with six topics: the true rate of each, first answers, how many were right, and twenty to come."""
    rng = np.random.default_rng(5)
    own = rng.beta(4, 2, (2000, 1))
    true = rng.beta(6 * own, 6 * (1 - own), (2000, 6))
    many = rng.integers(0, 13, (2000, 6))
    return true, many, rng.binomial(many, true), rng.binomial(20, true)


def judged(answers, strength=unseen.STRENGTH):
    """The rates by the product from grades, for open questions."""
    _, many, right, _ = answers
    topic = np.repeat(np.arange(6), 12)
    place = np.tile(np.arange(12), 6)
    grade = np.where(place < right[:, topic], 3, np.where(place < many[:, topic], 1, 0))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(unseen, "STRENGTH", strength)
        return unseen.rates(grade, np.zeros(72), topic, 6)


def mean(rates):
    knew, missed = rates
    return knew / (knew + missed)


def loss(rate, answers):
    """Log loss of the answers to come."""
    share = answers[3] / 20
    return float(-np.mean(share * np.log(rate) + (1 - share) * np.log(1 - rate)))


def test_first_answers_are_told_better_than_by_any_plainer_rule_and_nearly_as_well_as_can_be(first_answers):
    true, many, right, _ = first_answers
    pooled = (4 * 0.05 + right.sum(axis=1)) / (4 + many.sum(axis=1))
    around_guess = (6 * 0.05 + right) / (6 + many)
    losses = [
        loss(true.clip(1e-6, 1 - 1e-6), first_answers),
        loss(mean(judged(first_answers)), first_answers),
        loss(np.repeat(pooled[:, None], 6, axis=1), first_answers),
        loss(around_guess, first_answers),
        loss(np.full((2000, 6), 0.05), first_answers),
        loss(np.full((2000, 6), 0.01), first_answers),
    ]
    assert losses == sorted(losses)
    assert losses[1] - losses[0] < (losses[2] - losses[0]) * 0.8
    assert losses[3] > losses[2] + 0.02


def test_half_or_twice_the_strength_tells_first_answers_no_better(first_answers):
    losses = {many: loss(mean(judged(first_answers, many)), first_answers) for many in (3, 6, 12)}
    assert losses[6] == pytest.approx(min(losses.values()), abs=0.001)


def test_eight_of_ten_bands_hold_the_score_in_twenty_unseen_questions(first_answers):
    low, high = (stats.betabinom.ppf(end, 20, *judged(first_answers)) for end in (0.1, 0.9))
    assert 0.78 < np.mean((low <= first_answers[3]) & (first_answers[3] <= high)) < 0.9


# the number to show


def bank(seen, left, exam, *, known=0.84, rate=0.05, error=0.4):
    """One topic of open questions: some seen, some not; with what was seen known on the next day."""
    chance = np.random.default_rng(7).beta(5 * known, 5 * (1 - known), seen)
    stability = np.concatenate([standing.stability_of(chance), np.full(left, np.nan)])
    shape = np.array([[10 * rate]]), np.array([[10 * (1 - rate)]])
    topic = np.zeros(seen + left, dtype=int)
    return chance, standing.students(
        stability[None], exam, topic, knew=shape[0], missed=shape[1], error=np.array([error])
    )


def passed(students):
    return forecast.forecast(students, np.array([standing.DAY + 1])).pass_chance[0, 0]


def test_without_unseen_questions_the_draws_agree_with_the_exact_score_averaged_over_the_offset():
    chance, students = bank(300, 0, standing.oral(questions=10))
    nodes, weights = np.polynomial.hermite_e.hermegauss(9)
    spread = np.hypot(0.4, offset.ON_THE_DAY)
    odds = offset.odds_of(chance)
    exact = [drawn(offset.shifted(odds, spread * node), 10, 8)[10, 8] for node in nodes]
    assert passed(students) == pytest.approx(np.dot(exact, weights) / weights.sum(), abs=0.005)


def test_unseen_questions_left_out_would_promise_far_too_much():
    exam = standing.oral(questions=10, share=0.6)
    seen, all_ = (passed(bank(180, left, exam, known=0.7)[1]) for left in (0, 120))
    assert seen > 0.8
    assert all_ < 0.35


# guesses


@pytest.mark.parametrize(
    ("options", "recalled", "by_confidence"),
    [
        (2, 0.7, (0.44, 0.82, 0.97)),
        (3, 0.7, (0.54, 0.88, 0.98)),
        (4, 0.5, (0.40, 0.80, 0.96)),
        (4, 0.7, (0.61, 0.90, 0.98)),
        (4, 0.9, (0.86, 0.97, 1.00)),
        (5, 0.7, (0.66, 0.92, 0.99)),
    ],
)
def test_a_right_answer_was_known_as_often_as_bayes_says_and_half_the_guesses_lie_between(
    options, recalled, by_confidence
):
    """Who knows says guess, think, sure in 10, 30, 60 of 100 cases; who does not, in 60, 30, 10."""
    lucky = (1 - recalled) / options
    found = [
        recalled * knows / (recalled * knows + lucky * guesses)
        for knows, guesses in zip((0.1, 0.3, 0.6), (0.6, 0.3, 0.1), strict=True)
    ]
    assert found == pytest.approx(by_confidence, abs=0.006)
    right = recalled + lucky
    assert recalled < float(curve.known(np.array([right]), 1 / options)[0]) < right


@pytest.mark.parametrize("options", [2, 3, 4, 5])
def test_first_sight_of_choices_is_the_share_right_less_lucky_guesses_as_a_group(options):
    right, many = 7000, 10_000
    grade = np.where(np.arange(many) < right, 3, 1)[None]
    found = mean(unseen.rates(grade, np.full(many, 1 / options), np.zeros(many, dtype=int), 1))
    assert found[0, 0] == pytest.approx((0.7 - 0.5 / options) / (1 - 0.5 / options), abs=0.001)


# calibration


@pytest.fixture(scope="module")
def points():
    """20,000 predictions that are true, as sharp as those that the noise floor was measured with."""
    rng = np.random.default_rng(11)
    chance = rng.beta(3.1, 0.8, 20_000).clip(0.01, 0.99)
    return chance, rng.random(20_000) < chance


def test_brier_and_log_loss_of_four_predictions():
    chance, right = np.array([0.9, 0.8, 0.3, 0.6]), np.array([True, True, False, False])
    assert calibrate.brier(chance, right) == pytest.approx(0.125)
    assert calibrate.log_loss(chance, right) == pytest.approx(0.400367, abs=5e-7)


def test_brier_and_log_loss_are_scikit_learns(points):
    assert calibrate.brier(*points) == pytest.approx(brier_score_loss(points[1], points[0]), rel=1e-12)
    assert calibrate.log_loss(*points) == pytest.approx(log_loss(points[1], points[0]), rel=1e-12)


def test_the_bins_are_scikit_learns_of_equal_count(points):
    observed, predicted = calibration_curve(points[1], points[0], n_bins=10, strategy="quantile")
    found = calibrate.reliability(*points, 10)
    assert [one.predicted for one in found] == pytest.approx(predicted.tolist(), rel=1e-12)
    assert [one.observed for one in found] == pytest.approx(observed.tolist(), rel=1e-12)


@pytest.mark.parametrize(("many", "floor"), [(100, 0.087), (300, 0.049), (1000, 0.026), (3000, 0.015), (10_000, 0.008)])
def test_the_noise_floor_is_what_a_perfect_forecaster_shows(points, many, floor):
    chance, _ = points
    some = chance[:many]
    told = calibrate.noise_floor(some, calibrate.reliability(some, np.ones(many, dtype=bool), 10))
    assert told == pytest.approx(floor, rel=0.1)
    rng = np.random.default_rng(13)
    shown = [calibrate.gap(calibrate.reliability(some, rng.random(many) < some, 10)) for _ in range(200)]
    assert told == pytest.approx(np.mean(shown), rel=0.06)


def test_the_debiased_square_of_a_perfect_forecaster_is_centred_on_nothing():
    rng = np.random.default_rng(17)
    squares = []
    for _ in range(400):
        chance = rng.beta(3.1, 0.8, 1000)
        squares.append(calibrate.squared_gap(calibrate.reliability(chance, rng.random(1000) < chance, 10)))
    assert np.mean(squares) == pytest.approx(0, abs=0.0002)
