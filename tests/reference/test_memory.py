"""The memory model, held to published figures and to the library that publishes them.

Source: FSRS-6 as published in py-fsrs 6.3.2 (package `fsrs`, MIT licence): its default parameters, and the figures that
its Scheduler gives without fuzz and without learning steps, written down to six decimals. The grades of an answer, the
raised target and the intervals of a learner who is always right were worked out for this project from simulations.
"""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler

from stickback.memory import curve
from stickback.memory.curve import RIGHT, UNSURE, WRONG

PARAMETERS = (
    *(0.212, 1.2931, 2.3065, 8.2956, 6.4133, 0.8334, 3.0194, 0.001, 1.8722, 0.1666, 0.796),
    *(1.4835, 0.0614, 0.2629, 1.6483, 0.6014, 1.8729, 0.5425, 0.0912, 0.0658, 0.1542),
)
# An answer a line: grade @ days since the answer before; recall just before it; stability / difficulty after it.
FIGURES = {
    "A on time": """
        3 @ 0    -        2.306500 / 2.118104
        3 @ 2    0.909493 10.964332 / 2.111214
        3 @ 11   0.899777 46.280217 / 2.104331
        3 @ 46   0.900417 162.862202 / 2.097455""",
    "B first fail": """
        1 @ 0    -        0.212000 / 6.413300
        3 @ 1    0.766196 1.886788 / 6.402115
        3 @ 1    0.937515 4.474817 / 6.390941
        3 @ 3    0.925062 10.897096 / 6.379779""",
    "C easy, then hard": """
        4 @ 0    -        8.295600 / 1.000000
        3 @ 8    0.902473 38.905150 / 1.000000
        2 @ 40   0.898082 108.770338 / 4.010609
        3 @ 60   0.935514 227.983470 / 4.001827""",
    "D lapse": """
        3 @ 0    -        2.306500 / 2.118104
        3 @ 3    0.880948 13.826904 / 2.111214
        1 @ 14   0.899143 1.726362 / 7.392238
        3 @ 1    0.933003 3.751930 / 7.380074
        3 @ 5    0.879091 10.910197 / 7.367923""",
    "E always hard": """
        2 @ 0    -        1.293100 / 5.112171
        2 @ 1    0.916670 3.249412 / 6.740460
        2 @ 2    0.929785 5.806149 / 7.821393
        2 @ 3    0.938762 8.495662 / 8.538968""",
    "F very late": """
        3 @ 0    -        2.306500 / 2.118104
        3 @ 30   0.667526 37.420638 / 2.111214
        3 @ 365  0.695243 362.184469 / 2.104331""",
    "G same day mixed in": """
        1 @ 0    -        0.212000 / 6.413300
        3 @ 0    1.000000 0.246689 / 6.402115
        3 @ 0    1.000000 0.284206 / 6.390941
        3 @ 1    0.794386 2.152078 / 6.379779
        1 @ 4    0.852159 0.595179 / 8.795286
        3 @ 0    1.000000 0.647087 / 8.781719""",
    "H always fail": """
        1 @ 0    -        -
        1 @ 1    -        -
        1 @ 1    -        -
        1 @ 1    0.636030 0.033369 / 9.851407""",
    "I always easy": """
        4 @ 0    -        -
        4 @ 8    -        -
        4 @ 80   -        -
        4 @ 500  0.891689 2208.946759 / 1.000000""",
    "J same day only": """
        3 @ 0    -        -
        4 @ 0    -        -
        2 @ 0    -        -
        1 @ 0    1.000000 1.280009 / 8.016556
        3 @ 2    0.866546 3.950992 / 8.003768""",
}
every_sequence = pytest.mark.parametrize("figures", FIGURES.values(), ids=FIGURES)

SCHEDULER = Scheduler(enable_fuzzing=False, learning_steps=(), relearning_steps=())
NOON = datetime(2026, 1, 1, 12, tzinfo=UTC)


def lines_of(figures):
    return [" ".join(line.split()) for line in figures.strip().splitlines()]


def answers_of(figures):
    return [(int(line.split()[0]), int(line.split()[2])) for line in lines_of(figures)]


def as_line(asked, answer, chance, state):
    """What was computed, written as the figures are; what they leave out is left out."""
    _, _, _, wants_chance, *wants_state = asked.split()
    shown_chance = "-" if wants_chance == "-" else f"{chance:.6f}"
    shown_state = "-" if wants_state == ["-"] else f"{state[0]:.6f} / {state[1]:.6f}"
    return f"{answer[0]} @ {answer[1]} {shown_chance} {shown_state}"


def by_curve(answers):
    state = None
    for grade, elapsed in answers:
        grades, days = np.array([grade]), np.array([elapsed])
        chance = None if state is None else float(curve.recall(state[0], days)[0])
        state = curve.first(grades) if state is None else curve.step(*state, grades, days, curve.DEFAULTS)
        yield chance, (float(state[0][0]), float(state[1][0]))


def by_library(answers):
    card, now = Card(card_id=1), NOON
    for grade, elapsed in answers:
        now += timedelta(days=elapsed)
        chance = SCHEDULER.get_card_retrievability(card, now)
        card, _ = SCHEDULER.review_card(card, Rating(grade), now)
        yield chance, (card.stability, card.difficulty)


@every_sequence
@pytest.mark.parametrize("compute", [by_curve, by_library])
def test_every_figure_of_a_sequence_comes_out_to_six_decimals(figures, compute):
    asked, answers = lines_of(figures), answers_of(figures)
    found = zip(asked, answers, compute(answers), strict=True)
    assert [as_line(line, answer, *values) for line, answer, values in found] == asked


def test_the_parameters_are_the_published_ones():
    assert curve.DEFAULTS == PARAMETERS


def test_a_first_wrong_answer_leaves_more_than_half_the_recall_after_a_week():
    assert f"{curve.recall(np.array(0.212), np.array(7)):.2f}" == "0.58"


@pytest.mark.parametrize(
    ("target", "ratio"), [(0.80, "3.316"), (0.85, "1.906"), (0.90, "1.000"), (0.95, "0.4026"), (0.97, "0.2228")]
)
def test_the_interval_is_the_stability_times_the_ratio_of_the_target(target, ratio):
    decimals, unit = len(ratio) - 2, float(f"1e{2 - len(ratio)}")
    nearest = np.array([float(ratio) - unit / 2, float(ratio) + unit / 2])
    sooner, later = curve.recall(np.ones(2), nearest)
    assert sooner >= target >= later
    # Right again on the same day leaves a stability of 10,000 as it is, so its interval shows the ratio.
    days = curve.interval((10_000.0, 5.0), RIGHT, 0, target, 0.0)
    assert f"{days / 10_000:.{decimals}f}" == ratio


def test_who_is_always_right_on_time_waits_the_published_days():
    grades = np.array([RIGHT])
    waits = [curve.interval(None, RIGHT, 0, 0.9, 0.0)]
    state = curve.first(grades)
    while len(waits) < 5:
        waits.append(curve.interval((float(state[0][0]), float(state[1][0])), RIGHT, waits[-1], 0.9, 0.0))
        state = curve.step(*state, grades, np.array([waits[-2]]), curve.DEFAULTS)
    assert waits == [2, 11, 46, 163, 497]


@pytest.mark.parametrize(
    ("confidence", "wrong", "right"),
    [("guess", WRONG, UNSURE), ("think", WRONG, RIGHT), ("sure", WRONG, RIGHT)],
)
def test_confidence_and_mark_give_the_grade_and_never_the_highest(confidence, wrong, right):
    assert curve.grade(right=False, confidence=confidence, hinted=False) == wrong == Rating.Again
    assert curve.grade(right=True, confidence=confidence, hinted=False) == right
    assert right < Rating.Easy


@pytest.mark.parametrize(("options", "raised"), [(2, 0.925), (3, 0.9167), (4, 0.9125), (5, 0.91)])
def test_a_choice_aims_at_the_target_raised_by_half_the_luck(options, raised):
    assert round(curve.raised(0.9, 1 / options), 4) == raised
