from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import standing
from stickback.memory import curve, early
from stickback.readiness import forecast, unseen

NAN = float("nan")
TOPICS = ("yaw", "feet", "stick")
EXAM = standing.oral(TOPICS, [2, 3, 1])
GUESS = (0.0, 0.25, 0.5)
LAST = standing.DAY

# A question of a student: its topic, its place in GUESS, and its answers as (days since the last, right).
QUESTIONS = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 2), st.lists(st.tuples(st.integers(1, 30), st.booleans()), max_size=4)),
    min_size=1,
    max_size=12,
)


def stand(*students, offset=0.0, error=0.3):
    """Students who have the same questions, answered up to day LAST."""
    topic = np.array([at for at, _, _ in students[0]])
    guess = np.array([GUESS[at] for _, at, _ in students[0]])
    grades = np.array([[first_grade(answers) for _, _, answers in one] for one in students])
    knew, missed = unseen.rates(grades, guess, topic, len(TOPICS))
    many = len(students)
    return standing.students(
        [[stability(answers) for _, _, answers in one] for one in students],
        EXAM,
        topic,
        guess=guess,
        ever_wrong=np.array([[not all(right for _, right in answers) for _, _, answers in one] for one in students]),
        knew=knew,
        missed=missed,
        offset=np.full(many, offset),
        error=np.full(many, error),
    )


def stability(answers):
    """What the answers leave, the last one given on day LAST."""
    state = None
    for gap, right in answers:
        grade = np.array([3 if right else 1])
        state = curve.first(grade) if state is None else curve.step(*state, grade, np.array([gap]), curve.DEFAULTS)
    return NAN if state is None else float(state[0][0])


def chance(students, on):
    return students.chance(np.full(len(students.stability), on))[0]


def first_grade(answers):
    return 0 if not answers else 3 if answers[0][1] else 1


def made(*students, on=LAST + 7, **how):
    return forecast.forecast(stand(*students, **how), np.full(len(students), on))


def known(*students, **how):
    """By topic, of the first student."""
    return np.nan_to_num(made(*students, **how).topics[0, :, 0])


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
    assert np.all(np.nan_to_num(after.topics[..., 0]) <= np.nan_to_num(before.topics[..., 0]) + TOLERANCE)
    assert np.all(after.known <= before.known + TOLERANCE)
    assert np.all(after.pass_chance <= before.pass_chance + TOLERANCE)


@given(QUESTIONS, st.integers(1, 400), st.integers(1, 400))
def test_a_later_date_never_raises_what_is_known(questions, ahead, more):
    near, far = (made(questions, on=LAST + days) for days in (ahead, ahead + more))
    assert np.all(np.nan_to_num(far.topics[..., 0]) <= np.nan_to_num(near.topics[..., 0]) + TOLERANCE)
    assert far.known[0, 0] <= near.known[0, 0] + TOLERANCE


@given(QUESTIONS, st.integers(1, 400), st.integers(1, 400), st.floats(-2, 2))
def test_a_later_date_never_raises_the_chance_to_pass_where_everything_was_seen(questions, ahead, more, offset):
    seen = [(topic, guess, answers or [(1, True)]) for topic, guess, answers in questions]
    near, far = (made(seen, on=LAST + days, offset=offset) for days in (ahead, ahead + more))
    assert np.all(far.pass_chance <= near.pass_chance + TOLERANCE)


@given(QUESTIONS, st.floats(-2, 2), st.floats(0, 1))
def test_every_figure_is_a_chance_inside_of_its_band(questions, offset, error):
    found = made(questions, offset=offset, error=error)
    there = found.questions[0] > 0
    assert np.all((found.topics[0, there] >= 0) & (found.topics[0, there] <= 1))
    assert np.all(np.isnan(found.topics[0, ~there]))
    for figures in (found.topics[0, there], found.known, found.pass_chance):
        assert np.all((figures >= 0) & (figures <= 1))
        assert np.all((figures[:, 1] <= figures[:, 0]) & (figures[:, 0] <= figures[:, 2]))


@given(st.lists(QUESTIONS, min_size=2, max_size=4))
def test_a_student_alone_has_the_figures_that_stand_among_all(students):
    questions = students[0]
    others = [[(topic, guess, answers[:cut]) for topic, guess, answers in questions] for cut in range(4)]
    together = made(*others)
    for row, one in enumerate(others):
        alone = made(one)
        for name in ("questions", "seen", "topics", "known", "known_by_model", "pass_chance"):
            assert np.array_equal(getattr(alone, name)[0], getattr(together, name)[row], equal_nan=True), name


# how the figures come about


SEEN = [(topic, 0, [(1, True)] * times) for topic in range(3) for times in (1, 2, 3)]


WRONG_ONCE = [(topic, guess, [(1, False), *answers]) for topic, guess, answers in SEEN]


def shifted(chance, offset):
    return float(1 / (1 + (1 - chance) / chance * np.exp(-offset)))


def test_the_figure_has_the_students_own_offset_in_it_and_the_models_has_not():
    recalled = chance(stand(WRONG_ONCE), LAST + 7)[3:6]
    own = np.mean([shifted(each, -0.5) for each in recalled])
    assert known(WRONG_ONCE, offset=-0.5)[1] == pytest.approx(own, abs=1e-6)
    found = made([(1, guess, answers) for _, guess, answers in WRONG_ONCE[3:6]], offset=-0.5)
    assert found.known_by_model[0] == pytest.approx(recalled.mean(), abs=1e-6)


def rate(students, topic):
    return students.knew[0, topic] / (students.knew[0, topic] + students.missed[0, topic])


def test_an_unseen_question_counts_at_the_first_sight_rate_of_its_topic_however_far_the_date():
    questions = [*SEEN, *[(1, 0, [(1, False), (2, True)])] * 3, (1, 0, []), (1, 0, [])]
    students = stand(questions)
    for on in (LAST + 1, LAST + 30):
        seen = chance(students, on)[[3, 4, 5, 9, 10, 11]]
        assert rate(students, 1) < seen.min()
        assert known(questions, on=on)[1] == pytest.approx((seen.sum() + 2 * rate(students, 1)) / 8, abs=1e-6)


def test_an_unseen_question_counts_no_better_than_the_seen_ones_of_its_topic():
    forgot = [*[(1, 0, [(1, True), (1, False)])] * 9, *[(0, 0, [(1, True)])] * 9]
    students = stand(forgot)
    assert rate(students, 1) > chance(students, LAST + 7)[0]
    assert known([*forgot, (1, 0, [])])[1] == known(forgot)[1] > 0.4


def test_what_was_never_wrong_counts_no_worse_than_an_unseen_question_however_far_the_date():
    for ahead in (1, 40, 400, 4000):
        fresh = known([(0, 0, [(1, True)])] * 20 + [(0, 0, [])] * 20, on=LAST + ahead)[0]
        faded = known([(0, 0, [(1, True)])] * 20, on=LAST + ahead)[0]
        assert fresh <= faded


def test_an_unseen_question_comes_down_a_part_of_the_way_where_what_was_right_once_fades_below_its_rate():
    questions = [(0, 0, [(1, True)])] * 20
    students = stand(questions)
    fresh, faded = rate(students, 0), chance(students, LAST + 400)[0]
    assert faded < fresh
    down = fresh + unseen.FADES * (faded - fresh)
    assert known(questions, on=LAST + 400)[0] == pytest.approx(down, abs=1e-6)
    assert known([*questions, (0, 0, [])], on=LAST + 400)[0] == pytest.approx(down, abs=1e-6)


def test_what_was_known_before_is_held_to_stay_in_the_measure_that_it_was():
    students = stand(WRONG_ONCE)
    learnt = chance(students, LAST + 90)[:3]
    for before in (0.0, 0.5, 1.0):
        found = replace(students, known_before=np.full(students.stability.shape, before))
        made = forecast.forecast(found, np.array([LAST + 90]))
        mixed = before * early.KEEPS + (1 - before) * learnt
        assert made.topics[0, 0, 0] == pytest.approx(mixed.mean(), abs=1e-6)
        assert made.known_by_model[0] == pytest.approx(
            chance(students, LAST + 90).reshape(3, 3).mean(1) @ [2, 3, 1] / 6
        )


def test_what_fades_steeply_is_known_less_the_farther_the_date_and_by_the_model_as_ever():
    steep = replace(stand(WRONG_ONCE), steep=np.array([True]))
    lost = [
        known(WRONG_ONCE, on=LAST + days)[0] - forecast.forecast(steep, np.array([LAST + days])).topics[0, 0, 0]
        for days in (10, 100)
    ]
    assert lost[1] > lost[0] > 0
    told = forecast.forecast(steep, np.array([LAST + 100])).known_by_model
    assert told.tolist() == made(WRONG_ONCE, on=LAST + 100).known_by_model.tolist()


def test_a_topic_is_the_mean_of_its_questions_and_the_whole_that_of_the_topics_by_weight():
    found, seen = made(WRONG_ONCE), chance(stand(WRONG_ONCE), LAST + 7).reshape(3, 3).mean(axis=1)
    assert found.questions.tolist() == found.seen.tolist() == [[3, 3, 3]]
    assert found.topics[0, :, 0] == pytest.approx(seen, abs=1e-6)
    assert found.known[0, 0] == pytest.approx(seen @ [2, 3, 1] / 6, abs=1e-6)


def test_what_does_not_count_for_a_student_is_in_no_figure():
    students = stand([*WRONG_ONCE, (1, 0, [(1, True)])])
    counted = students.counted.copy()
    counted[0, -1] = False
    found, without = (
        forecast.forecast(each, np.array([LAST + 7]))
        for each in (replace(students, counted=counted), stand(WRONG_ONCE))
    )
    assert found.questions.tolist() == without.questions.tolist()
    assert found.topics[0, 1, 0] == without.topics[0, 1, 0]


def test_a_topic_without_a_question_has_no_figure_and_no_weight():
    found = made(SEEN[:3])
    assert np.isnan(found.topics[0, :, 0]).tolist() == [False, True, True]
    assert found.known[0, 0] == found.topics[0, 0, 0]


def test_without_any_question_that_counts_nothing_is_said():
    nothing = replace(stand(WRONG_ONCE), counted=np.zeros((1, len(SEEN)), dtype=bool))
    found = forecast.forecast(nothing, np.array([LAST]))
    assert np.isnan([*found.known[0], *found.pass_chance[0]]).all()


def test_without_students_there_are_no_figures():
    assert forecast.forecast(stand(WRONG_ONCE).some(slice(0)), np.array([], dtype=int)).pass_chance.shape == (0, 3)


def test_more_students_than_are_taken_at_a_time_keep_their_order():
    many = [[(0, 0, [(1, True)] * (1 + at % 3))] for at in range(150)]
    middles = made(*many).known[:, 0].tolist()
    assert middles == [middles[at % 3] for at in range(150)]
    assert len(set(middles)) == 3


def test_the_less_sure_the_offset_is_the_wider_the_band():
    bands = [made(WRONG_ONCE, error=error).pass_chance[0] for error in (0.0, 0.3, 0.6)]
    widths = [high - low for _, low, high in bands]
    assert widths == sorted(widths)
    assert widths[0] > 0.01  # the day itself is never certain


def test_the_chance_to_pass_without_unseen_questions_is_the_binomial_averaged_over_the_offset():
    shifts = -0.4 + np.hypot(0.5, 0.25) * np.random.default_rng(1).normal(size=20_000)
    recalled = chance(stand(WRONG_ONCE), LAST + 7)
    odds = recalled / (1 - recalled)
    right = odds * np.exp(shifts)[:, None] / (1 + odds * np.exp(shifts)[:, None])
    whole = right.reshape(-1, 3, 3).mean(axis=2) @ EXAM.weight / EXAM.weight.sum()
    passed = EXAM.pass_chance(whole)
    found = made(WRONG_ONCE, offset=-0.4, error=0.5)
    assert found.pass_chance[0, 0] == pytest.approx(passed.mean(), abs=0.01)
    assert found.known[0, 1:] == pytest.approx(np.quantile(whole, (0.1, 0.9)), abs=0.01)
    assert found.pass_chance[0, 1:] == pytest.approx(np.quantile(passed, (0.1, 0.9)), abs=0.02)


def test_every_draw_pairs_each_level_of_the_offset_with_each_of_a_topic_once():
    orders = forecast._orders(TOPICS)
    assert [sorted(row[at : at + 20]) for row in orders.tolist() for at in range(0, 400, 20)] == [list(range(20))] * 60


def test_another_topic_in_the_plan_leaves_the_order_of_the_others_as_it_is():
    assert forecast._orders(TOPICS)[1].tolist() == forecast._orders(("new", *TOPICS))[2].tolist()
