from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

import standing
from stickback.cli.terminal import report
from stickback.cli.terminal.show import WIDEST
from stickback.readiness.calibrate import calibration
from stickback.readiness.forecast import Band
from stickback.study.student import Student

DAY = date(2026, 6, 1)
TOPICS = {
    name: SimpleNamespace(title=name, weight=1, must=name == "Feet")
    for name in ("Feet", "Yaw", "Stick", "Law", "Radio")
}
COURSE = SimpleNamespace(plan=SimpleNamespace(topics=TOPICS, ends_with="differences", exam_questions=20, exam_pass=0.8))
NOTHING = calibration([])
FINN = standing.statement(
    exam=standing.oral(tuple(TOPICS), must=[True, False, False, False, False]),
    student=Student("Finn Ashby", checkride=DAY + timedelta(days=7)),
    date=DAY + timedelta(days=7),
    known=[0.9, 0.4, 0.6, 0.2, np.nan],
    pass_chance=Band(0.812, 0.7, 0.9),
    questions=[9, 9, 9, 9, 0],
    seen=[9, 9, 3, 0, 0],
    misbeliefs=[0, 2, 0, 0, 0],
    wrong=[1, 2, 0, 0, 0],
    answers=80,
)
SOUND = replace(FINN, pass_chance=Band(0.9, 0.8, 0.97), wrong=np.zeros(5))


def lines(found=NOTHING, one=FINN, **changes):
    return report.report(COURSE, [replace(one, **changes)], found, DAY)


def after(made, head):
    """The lines under a head that are indented deeper."""
    at = made.index(head) + 1
    under = [not line.startswith("    ") for line in made[at:]]
    return made[at : at + under.index(True)]


def test_the_head_says_who_on_what_and_when_and_then_the_verdict_in_words():
    head, verdict, facts, *_ = lines()
    assert head == "Finn Ashby · Pendlewick · differences 2026-06-08 (in 7 days)"
    assert verdict == "  Verdict: borderline · 2 sure but wrong"
    assert facts == "  known 71 % (51 to 76 % by how answers went) · seen 21 of 36"
    assert lines(misbeliefs=np.zeros(5))[1] == "  Verdict: borderline"


def test_what_is_so_today_and_on_the_day_stands_side_by_side():
    assert after(lines(today=Band(0.9, 0.85, 0.97)), "  Chance to pass the oral") == [
        "    if you sat it today                   90 %  (85 to 97 %)",
        "    on the day, without further study     81 %  (70 to 90 %)",
    ]


def test_what_comes_of_keeping_to_the_plan_is_said_when_it_is_known():
    made = after(lines(today=FINN.pass_chance, kept=Band(0.95, 0.9, 0.99)), "  Chance to pass the oral")
    assert made[2] == "    on the day, if you keep to the plan   95 %  (90 to 99 %)"
    assert len(made) == 3


def test_no_chance_is_shown_as_nothing_or_all():
    made = after(lines(pass_chance=Band(0.9999, 0.0001, 1.0)), "  Chance to pass the oral")
    assert made[0].endswith("99 %  (1 to 99 %)")


@pytest.mark.parametrize(
    ("short_by", "said"),
    [
        (0, "enough"),
        (1, "short by 1 minute a day"),
        (9, "short by 9 minutes a day"),
        (None, "no number of minutes a day is enough by then"),
    ],
)
def test_whether_the_plan_is_enough_is_said_beside_it(short_by, said):
    assert f"  Plan: {said}" in lines(kept=Band(0.95, 0.9, 0.99), short_by=short_by)
    assert not any("Plan" in line for line in lines(short_by=short_by))


def test_where_too_few_answers_were_given_only_the_range_is_shown():
    made = after(lines(answers=49, today=None), "  Chance to pass the oral")
    assert made == ["    on the day, without further study   70 to 90 %"]
    assert after(lines(answers=49), "  In the way of an estimate") == [
        "    49 answered so far: an estimate needs 50 answers."
    ]


def test_what_stands_in_the_way_is_wrapped_under_a_head_and_left_out_where_nothing_does():
    assert (
        after(lines(), "  In the way of sound")[0] == "    Must topic “Feet” holds a wrong answer that is still open."
    )
    assert not any("In the way" in line for line in lines(one=SOUND))


def test_the_weakest_seen_topics_come_lowest_first():
    assert after(lines(), "  Weakest") == ["      40 %  Yaw", "      60 %  Stick", "      90 %  Feet"]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"known": Band(*[float("nan")] * 3)}, "  No question of the course applies to this aeroplane."),
        (
            {"questions": np.array([1]), "seen": np.array([0])},
            "  Nothing answered yet; 1 question is unseen.",
        ),
    ],
)
def test_where_nothing_can_be_said_it_says_why(changes, said):
    assert lines(**changes)[1:3] == [said, ""]


# predicted against observed


def told(*bins):
    """From (chance, right, wrong)."""
    chance = np.concatenate([np.full(right + wrong, chance) for chance, right, wrong in bins])
    right = np.concatenate([np.arange(right + wrong) < right for _, right, wrong in bins])
    return calibration([(chance, right)])


def picture(found):
    made = lines(found)
    at = next(number for number, line in enumerate(made) if line.startswith("Predicted against observed"))
    return made[at:]


def test_predicted_and_observed_stand_on_one_scale_a_line_for_each_bin():
    head, low, high, *_ = picture(told((0.5, 30, 70), (0.9, 90, 10)))
    assert head == "Predicted against observed: 200 answers (p predicted, o observed, * both)"
    assert low == f"    50 %   30 %  |{'·' * 12}o{'·' * 7}p{'·' * 19}|     100"
    assert high == f"    90 %   90 %  |{'·' * 36}*{'·' * 3}|     100"


def test_what_is_always_right_still_stands_on_the_scale():
    _, one, *_ = picture(told((0.99, 100, 0)))
    assert one == f"    99 %  100 %  |{'·' * 39}*|     100"


def test_below_a_thousand_answers_no_error_is_shown_and_the_reason_is():
    few, many = (" ".join(picture(told((0.9, 9 * times, times)))) for times in (10, 200))
    assert "The error" not in few
    assert "100 predictions: too few" in few
    assert "The error is 0.000. A perfect forecaster would show an error of about" in many


def test_without_an_answer_told_of_there_is_no_picture():
    assert not any("Predicted" in line for line in lines())


def test_every_line_fits_the_width():
    assert all(len(line) <= WIDEST for line in lines(told((0.9, 900, 100))))


def test_of_a_handful_of_answers_there_is_no_picture_either():
    assert not any("Predicted" in line for line in lines(told((0.9, 20, 9))))
    assert picture(told((0.9, 20, 10)))
