from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import curve
from stickback.readiness import first_sight, forecast, score
from stickback.readiness.first_sight import Rates
from stickback.readiness.forecast import Basis, Exam

NAN = float("nan")
TOPICS = ("yaw", "feet", "stick")
EXAM = Exam(TOPICS, np.array([2, 3, 1]), 20, 0.8)
GUESS = (0.0, 0.25, 0.5)
LAST = 100

# A question of a student: its topic, its place in GUESS, and its answers as (days since the last, right).
QUESTIONS = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 2), st.lists(st.tuples(st.integers(1, 30), st.booleans()), max_size=4)),
    min_size=1,
    max_size=12,
)


def basis(*students, on=LAST + 7, offset=0.0, error=0.3):
    """What a forecast starts from: students who have the same questions, answered up to day LAST."""
    topic = np.array([at for at, _, _ in students[0]])
    guess = np.array([GUESS[at] for _, at, _ in students[0]])
    chance = np.array([[recall(answers, on) for _, _, answers in one] for one in students])
    grades = np.array([[first_grade(answers) for _, _, answers in one] for one in students])
    rates = first_sight.rates(grades, guess, topic, len(TOPICS))
    many = len(students)
    counted = np.ones(chance.shape, dtype=bool)
    unsure = curve.first(np.array([curve.UNSURE]))[0]
    once = np.repeat(curve.recall(unsure, np.array([on - LAST])), many)
    return Basis(chance, counted, guess, topic, rates, np.full(many, offset), np.full(many, error), once)


def recall(answers, on):
    """The chance on a day of a question whose last answer was on day LAST."""
    state = None
    for gap, right in answers:
        grade = np.array([3 if right else 1])
        state = curve.first(grade) if state is None else curve.step(*state, grade, np.array([gap]), curve.DEFAULTS)
    return NAN if state is None else float(curve.recall(state[0], np.array([on - LAST]))[0])


def first_grade(answers):
    return 0 if not answers else 3 if answers[0][1] else 1


def made(*students, **how):
    return forecast.forecast(basis(*students, **how), EXAM)


def known(*students, **how):
    """By topic, of the first student."""
    return np.nan_to_num(made(*students, **how).topics.known[0])


TOLERANCE = 2e-6  # figures are rounded to six digits


# what must hold


@given(QUESTIONS, st.integers(0, 11), st.integers(1, 400))
def test_a_right_answer_more_never_lowers_what_any_topic_is_known(questions, at, ahead):
    at %= len(questions)
    topic, guess, answers = questions[at]
    more = [*questions[:at], (topic, guess, [*answers, (9, True)]), *questions[at + 1 :]]
    assert np.all(known(more, on=LAST + ahead) >= known(questions, on=LAST + ahead) - TOLERANCE)


@given(QUESTIONS, st.integers(0, 11), st.integers(0, 2), st.integers(1, 400), st.floats(-2, 2))
def test_an_unseen_question_more_in_a_topic_never_raises_what_is_known_nor_the_chance_to_pass(
    questions, at, guess, ahead, offset
):
    topic = questions[at % len(questions)][0]
    before, after = (made([*questions, *more], on=LAST + ahead, offset=offset) for more in ([], [(topic, guess, [])]))
    assert np.all(np.nan_to_num(after.topics.known) <= np.nan_to_num(before.topics.known) + TOLERANCE)
    for one, other in ((after.known[0], before.known[0]), (after.passes[0], before.passes[0])):
        assert all(value <= limit + TOLERANCE for value, limit in zip(one, other, strict=True))


@given(QUESTIONS, st.integers(1, 400), st.integers(1, 400))
def test_a_later_date_never_raises_what_is_known(questions, ahead, more):
    near, far = (made(questions, on=LAST + days) for days in (ahead, ahead + more))
    assert np.all(np.nan_to_num(far.topics.known) <= np.nan_to_num(near.topics.known) + TOLERANCE)
    assert far.known[0].middle <= near.known[0].middle + TOLERANCE


@given(QUESTIONS, st.integers(1, 400), st.integers(1, 400), st.floats(-2, 2))
def test_a_later_date_never_raises_the_chance_to_pass_where_everything_was_seen(questions, ahead, more, offset):
    seen = [(topic, guess, answers or [(1, True)]) for topic, guess, answers in questions]
    near, far = (made(seen, on=LAST + days, offset=offset) for days in (ahead, ahead + more))
    assert all(value <= limit + TOLERANCE for value, limit in zip(far.passes[0], near.passes[0], strict=True))


@given(QUESTIONS, st.floats(-2, 2), st.floats(0, 1))
def test_every_figure_is_a_chance_and_bands_have_their_ends_in_order(questions, offset, error):
    found = made(questions, offset=offset, error=error)
    there = found.topics.questions[0] > 0
    for figures in (found.topics.known, found.low, found.high):
        assert np.all((figures[0][there] >= 0) & (figures[0][there] <= 1))
        assert np.all(np.isnan(figures[0][~there]))
    assert np.all(found.low[0][there] <= found.high[0][there])
    for band in (*found.known, *found.passes):
        assert 0 <= band.low <= band.high <= 1
        assert 0 <= band.middle <= 1


@given(st.lists(QUESTIONS, min_size=2, max_size=4))
def test_a_student_alone_has_the_figures_that_stand_among_all(students):
    questions = students[0]
    others = [[(topic, guess, answers[:cut]) for topic, guess, answers in questions] for cut in range(4)]
    together = made(*others)
    for row, one in enumerate(others):
        alone = made(one)
        assert alone.passes[0] == together.passes[row]
        assert alone.known[0] == together.known[row]
        assert np.array_equal(alone.low[0], together.low[row], equal_nan=True)


# how the figures come about


SEEN = [(topic, 0, [(1, True)] * times) for topic in range(3) for times in (1, 2, 3)]


def test_the_plain_figure_is_the_mean_of_the_seen_whatever_the_offset():
    given_ = basis(SEEN)
    assert known(SEEN, offset=-1.5)[1] == pytest.approx(given_.chance[0, 3:6].mean(), abs=1e-6)


def test_an_unseen_question_counts_at_the_first_sight_rate_of_its_topic():
    questions = [*SEEN, *[(1, 0, [(1, False)])] * 3, (1, 0, []), (1, 0, [])]
    given_ = basis(questions)
    expected = (given_.chance[0, [3, 4, 5, 9, 10, 11]].sum() + 2 * given_.rates.mean[0, 1]) / 8
    assert given_.rates.mean[0, 1] < min(given_.once[0], np.nanmean(given_.chance[0, [3, 4, 5, 9, 10, 11]]))
    assert known(questions)[1] == pytest.approx(expected, abs=1e-6)


def test_the_plain_figure_takes_an_unseen_question_no_better_than_one_answered_once_on_the_last_day():
    old = [(0, 0, [(1, True)] * 4)] * 9
    far = basis([*old, (0, 0, [])], on=LAST + 400)
    assert far.once[0] < min(far.rates.mean[0, 0], far.chance[0, 0])
    expected = (9 * far.chance[0, 0] + far.once[0]) / 10
    assert known([*old, (0, 0, [])], on=LAST + 400)[0] == pytest.approx(expected, abs=1e-6)


def test_an_unseen_question_counts_no_better_than_the_seen_ones_of_its_topic():
    forgot = [(1, 0, [(1, True), (1, False)])] * 9
    assert basis(forgot).rates.mean[0, 1] > basis(forgot).chance[0, 0] < basis(forgot).once[0]
    assert known([*forgot, (1, 0, [])])[1] == known(forgot)[1] > 0.4


def test_a_topic_without_a_question_has_no_figure_and_no_weight():
    found = made(SEEN[:3])
    assert np.isnan(found.topics.known[0]).tolist() == [False, True, True]
    assert found.known[0].middle == found.topics.known[0, 0]


def test_without_any_question_that_counts_nothing_is_said():
    nothing = replace(basis(SEEN), counted=np.zeros((1, len(SEEN)), dtype=bool))
    found = forecast.forecast(nothing, EXAM)
    assert np.isnan([*found.known[0], *found.passes[0]]).all()


def test_without_students_there_are_no_figures():
    empty = basis(SEEN)
    nobody = replace(
        empty,
        chance=empty.chance[:0],
        counted=empty.counted[:0],
        rates=Rates(empty.rates.knew[:0], empty.rates.missed[:0]),
        offset=empty.offset[:0],
        error=empty.error[:0],
    )
    assert forecast.forecast(nobody, EXAM).passes == ()


def test_more_students_than_are_taken_at_a_time_keep_their_order():
    many = [[(0, 0, [(1, True)] * (1 + at % 3))] for at in range(150)]
    found = made(*many)
    assert [band.middle for band in found.known] == [found.known[at % 3].middle for at in range(150)]
    assert len(set(found.known)) == 3


def test_the_less_sure_the_offset_is_the_wider_the_band():
    widths = [band.high - band.low for error in (0.0, 0.3, 0.6) for band in made(SEEN, error=error).passes]
    assert widths == sorted(widths)
    assert widths[0] > 0.01  # the day itself is never certain


def test_the_chance_to_pass_without_unseen_questions_is_the_binomial_averaged_over_the_offset():
    given_ = basis(SEEN, offset=-0.4, error=0.5)
    shifts = -0.4 + np.hypot(0.5, 0.25) * np.random.default_rng(1).normal(size=20_000)
    odds = given_.chance[0] / (1 - given_.chance[0])
    right = odds * np.exp(shifts)[:, None] / (1 + odds * np.exp(shifts)[:, None])
    whole = right.reshape(-1, 3, 3).mean(axis=2) @ EXAM.weight / EXAM.weight.sum()
    chance = score.pass_chance(whole, 20, 0.8)
    found = made(SEEN, offset=-0.4, error=0.5)
    assert found.passes[0].middle == pytest.approx(chance.mean(), abs=0.01)
    assert found.known[0][1:] == pytest.approx(np.quantile(whole, (0.1, 0.9)), abs=0.01)
    assert found.passes[0][1:] == pytest.approx(np.quantile(chance, (0.1, 0.9)), abs=0.02)


def test_every_draw_pairs_each_level_of_the_offset_with_each_of_a_topic_once():
    orders = forecast._orders(TOPICS)
    assert [sorted(row[at : at + 20]) for row in orders.tolist() for at in range(0, 400, 20)] == [list(range(20))] * 60


def test_another_topic_in_the_plan_leaves_the_order_of_the_others_as_it_is():
    assert forecast._orders(TOPICS)[1].tolist() == forecast._orders(("new", *TOPICS))[2].tolist()
