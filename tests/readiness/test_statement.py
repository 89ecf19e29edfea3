from dataclasses import replace
from datetime import timedelta
from types import SimpleNamespace

import numpy as np
import pytest

import standing
from stickback import clock
from stickback.readiness import statement
from stickback.readiness.forecast import Band, forecast
from stickback.readiness.statement import Case, Obstacle, stated
from stickback.study.student import Student

GOOD = standing.statement(
    oral=standing.oral(("feet", "stick", "yaw", "law"), [3, 2, 2, 1], must=[True, True, False, False]),
    pass_chance=Band(0.9, 0.8, 0.95),
    questions=[8, 3, 9, 5],
    seen=[4, 3, 0, 5],
    known=[0.95, 0.9, 0.5, 0.8],
    low=[0.7, 0.7, 0.1, 0.1],
    answers=50,
)


def case(**changes):
    return replace(GOOD, **{name: np.array(each) if isinstance(each, list) else each for name, each in changes.items()})


def low(*shares):
    topics = GOOD.topics.copy()
    topics[:, 1] = shares
    return case(topics=topics)


def known(*shares):
    topics = GOOD.topics.copy()
    topics[:, 0] = shares
    return topics


NOT_SOUND = {
    "the lower end of the band": case(pass_chance=Band(0.9, 0.799999, 0.95)),
    "a must topic that may be known too little": low(0.699999, 0.9, 0.9, 0.9),
    "a must topic with too few questions seen": case(seen=[3, 3, 9, 5]),
    "a must topic with few questions that are not all seen": case(seen=[8, 2, 9, 5]),
    "a wrong answer in a must topic": case(wrong=[0, 1, 0, 0]),
}


def test_a_case_that_just_holds_in_everything_is_sound_and_nothing_stands_in_its_way():
    assert (GOOD.verdict, GOOD.obstacles) == ("sound", ())


@pytest.mark.parametrize("one", NOT_SOUND.values(), ids=NOT_SOUND)
def test_each_thing_alone_keeps_it_from_sound_and_is_named(one):
    assert one.verdict == "borderline"
    assert one.obstacles


@pytest.mark.parametrize("one", NOT_SOUND.values(), ids=NOT_SOUND)
def test_below_the_middle_nothing_else_is_asked(one):
    assert replace(one, pass_chance=Band(0.799999, 0.5, 0.95)).verdict == "not yet"


def test_the_middle_alone_makes_it_borderline():
    assert case(pass_chance=Band(0.8, 0.1, 0.9)).verdict == "borderline"
    assert case(pass_chance=Band(0.79, 0.7, 0.9)).verdict == "not yet"


def test_below_fifty_answers_there_is_no_estimate_however_good_it_looks():
    few = case(answers=49)
    assert few.verdict == "no estimate"
    assert few.obstacles == (Obstacle("answers", (), 49),)


def test_where_no_question_applies_there_is_no_estimate():
    nothing = case(pass_chance=Band(*[float("nan")] * 3), answers=400)
    assert (nothing.verdict, nothing.obstacles) == ("no estimate", ())


def test_a_topic_that_is_no_must_is_not_asked_for_seen_questions_nor_right_answers():
    assert case(wrong=[0, 0, 3, 0]).verdict == "sound"


def test_a_must_topic_that_the_aeroplane_has_no_question_about_is_passed_over():
    none = replace(low(0.7, np.nan, 0.1, 0.1), questions=np.array([8, 0, 9, 5]), seen=np.array([4, 0, 0, 5]))
    assert none.verdict == "sound"


@pytest.mark.parametrize(
    ("one", "found"),
    [
        (case(wrong=[1, 2, 4, 0]), Obstacle("wrong", ("feet", "stick"), 3)),
        (low(0.5, 0.9, 0, 0), Obstacle("weak", ("feet",))),
        (case(seen=[0, 3, 0, 0], topics=low(0.1, 0.9, 0, 0).topics), Obstacle("few", ("feet",))),
    ],
)
def test_what_is_wrong_with_must_topics_is_one_obstacle_for_each_kind(one, found):
    assert one.obstacles == (found,)


def weak(**changes):
    return case(pass_chance=Band(0.5, 0.3, 0.7), **changes).obstacles


def test_unseen_questions_are_counted_and_placed():
    assert Obstacle("unseen", ("yaw",), 9) in weak(questions=[4, 3, 9, 5])
    assert Obstacle("unseen", ("yaw",), 1) in weak(questions=[4, 3, 9, 5], seen=[4, 3, 8, 5])


def test_every_topic_with_unseen_questions_is_named_the_heaviest_first():
    found = weak(questions=[8, 8, 8, 8], seen=[4, 4, 4, 4], topics=known(0.5, 0.5, 0.5, 0.5))
    assert Obstacle("unseen", ("feet", "stick", "yaw", "law"), 16) in found


def test_what_takes_most_comes_first():
    faded = weak(questions=[4, 3, 9, 5], seen=[4, 3, 8, 5], topics=known(0.3, 0.3, 0.9, 0.3))
    assert [one.kind for one in faded] == ["faded", "unseen"]
    unseen = weak(questions=[4, 3, 9, 5], seen=[4, 3, 0, 5], topics=known(0.95, 0.95, 0.1, 0.95))
    assert [one.kind for one in unseen] == ["unseen", "faded"]


def test_where_all_was_seen_only_what_faded_is_named():
    found = weak(questions=[4, 3, 9, 5], seen=[4, 3, 9, 5], topics=known(0.9, 0.6, 0.5, 0.9))
    assert found == (Obstacle("faded", ("yaw", "stick", "feet", "law")),)


def test_students_are_stated_in_the_order_of_their_cases_each_for_the_date_and_with_the_latest_day_of_each_topic():
    today = clock.day_date(standing.DAY)
    cases = [Case(Student(name=name), today, today + timedelta(left)) for name, left in (("Ann", 90), ("Bo", 1))]
    days = np.array([[standing.DAY - 9, standing.DAY - 4, -1]] * 2)
    standings = standing.students(
        [[30.0, 30.0, np.nan]] * 2, standing.oral(("feet", "law")), [0, 0, 1], answered_on=days
    )
    sheet, foretold = SimpleNamespace(id="pendlewick"), [("of Ann",), ("of Bo",)]
    ann, bo = stated(cases, sheet, standings, foretold, today=True)
    assert [(one.student.name, one.date, one.foretold) for one in (ann, bo)] == [
        (case.student.name, case.date, own) for case, own in zip(cases, foretold, strict=True)
    ]
    assert ann.answered_on.tolist() == [standing.DAY - 4, -1]
    assert ann.known.middle < bo.known.middle
    assert ann.pass_today == bo.pass_today == bo.pass_chance
    assert [one.pass_today for one in stated(cases, sheet, standings, foretold, today=False)] == [None, None]
    for wrong in ((cases[:1], foretold), (cases, foretold[:1])):
        with pytest.raises(ValueError, match=r"zip|shape"):
            stated(wrong[0], sheet, standings, wrong[1], today=False)


def test_for_the_day_itself_one_forecast_says_both(monkeypatch):
    made = []
    monkeypatch.setattr(statement, "forecast", lambda *each: made.append(each) or forecast(*each))
    today = clock.day_date(standing.DAY)
    standings = standing.students([[30.0, np.nan]], standing.oral(), [0, 0])
    (ann,) = stated([Case(Student(name="Ann"), today, today)], SimpleNamespace(), standings, [()], today=True)
    assert (ann.pass_today, len(made)) == (ann.pass_chance, 1)
