from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from stickback.readiness.forecast import Band
from stickback.readiness.score import Topics
from stickback.readiness.verdict import Case, musts, obstacles, verdict

PLAN = [
    SimpleNamespace(title="Feet", must=True, weight=3),
    SimpleNamespace(title="Stick", must=True, weight=2),
    SimpleNamespace(title="Yaw", must=False, weight=2),
    SimpleNamespace(title="Law", must=False, weight=1),
]


def topics(questions=(8, 3, 9, 5), seen=(4, 3, 0, 5), known=(0.95, 0.9, 0.5, 0.8)):
    return Topics(np.array(questions), np.array(seen), np.array(known))


GOOD = Case(PLAN, 50, Band(0.9, 0.8, 0.95), topics(), np.array([0.7, 0.7, 0.1, 0.1]), np.zeros(4, dtype=int))


def case(**changes):
    return replace(GOOD, **changes)


def wrong(*numbers):
    return case(wrong=np.array(numbers))


def low(*shares):
    return case(low=np.array(shares))


NOT_SOUND = {
    "the lower end of the band": case(passes=Band(0.9, 0.799999, 0.95)),
    "a must topic that may be known too little": low(0.699999, 0.9, 0.9, 0.9),
    "a must topic with too few questions seen": case(topics=topics(seen=(3, 3, 9, 5))),
    "a must topic with few questions that are not all seen": case(topics=topics(seen=(8, 2, 9, 5))),
    "a wrong answer in a must topic": wrong(0, 1, 0, 0),
}


def test_a_case_that_just_holds_in_everything_is_sound_and_nothing_stands_in_its_way():
    assert (verdict(GOOD), obstacles(GOOD)) == ("sound", ())


@pytest.mark.parametrize("one", NOT_SOUND.values(), ids=NOT_SOUND)
def test_each_thing_alone_keeps_it_from_sound_and_is_named(one):
    assert verdict(one) == "borderline"
    assert obstacles(one)


@pytest.mark.parametrize("one", NOT_SOUND.values(), ids=NOT_SOUND)
def test_below_the_middle_nothing_else_is_asked(one):
    assert verdict(replace(one, passes=Band(0.799999, 0.5, 0.95))) == "not yet"


def test_the_middle_alone_makes_it_borderline():
    assert verdict(case(passes=Band(0.8, 0.1, 0.9))) == "borderline"
    assert verdict(case(passes=Band(0.79, 0.7, 0.9))) == "not yet"


def test_below_fifty_answers_there_is_no_estimate_however_good_it_looks():
    few = case(answers=49)
    assert verdict(few) == "no estimate"
    assert obstacles(few) == ("49 answered so far: an estimate needs 50 answers.",)


def test_where_no_question_applies_there_is_no_estimate():
    nothing = case(passes=Band(*[float("nan")] * 3), answers=400)
    assert (verdict(nothing), obstacles(nothing)) == ("no estimate", ())


def test_a_topic_that_is_no_must_is_not_asked_for_seen_questions_nor_right_answers():
    assert verdict(wrong(0, 0, 3, 0)) == "sound"


def test_a_must_topic_that_the_aeroplane_has_no_question_about_is_passed_over():
    none = case(topics=topics(questions=(8, 0, 9, 5), seen=(4, 0, 0, 5)), low=np.array([0.7, np.nan, 0.1, 0.1]))
    assert verdict(none) == "sound"


# the sentences


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (wrong(1, 0, 0, 0), ["Must topic “Feet” holds a wrong answer that is still open."]),
        (wrong(2, 0, 0, 0), ["Must topic “Feet” holds wrong answers that are still open."]),
        (wrong(1, 1, 0, 0), ["Must topics “Feet” and “Stick” hold wrong answers that are still open."]),
        (low(0.5, 0.9, 0, 0), ["Must topic “Feet” may be known to less than 70 % on the day."]),
        (
            case(topics=topics(seen=(0, 3, 0, 0)), low=np.array([0.1, 0.9, 0, 0])),
            ["Must topic “Feet” needs 4 questions seen, or all there are."],
        ),
    ],
)
def test_what_is_wrong_with_must_topics_is_said_in_one_sentence_for_each_kind(one, said):
    assert musts(one) == said


def weak(**of_topics):
    return obstacles(case(passes=Band(0.5, 0.3, 0.7), topics=topics(**of_topics)))


def test_unseen_questions_are_counted_and_placed():
    assert "9 unseen questions in “Yaw” keep this from sound." in weak(questions=(4, 3, 9, 5))
    assert "1 unseen question in “Yaw” keeps this from sound." in weak(questions=(4, 3, 9, 5), seen=(4, 3, 8, 5))


def test_of_many_topics_with_unseen_questions_the_heaviest_three_are_named():
    found = weak(questions=(8, 8, 8, 8), seen=(4, 4, 4, 4), known=(0.5, 0.5, 0.5, 0.5))
    assert "16 unseen questions, most of them in “Feet”, “Stick”, “Yaw”, keep this from sound." in found


def test_what_takes_most_is_said_first():
    faded = weak(questions=(4, 3, 9, 5), seen=(4, 3, 8, 5), known=(0.3, 0.3, 0.9, 0.3))
    assert [sentence.split()[0] for sentence in faded] == ["What", "1"]
    unseen = weak(questions=(4, 3, 9, 5), seen=(4, 3, 0, 5), known=(0.95, 0.95, 0.1, 0.95))
    assert [sentence.split()[0] for sentence in unseen] == ["9", "What"]


def test_where_all_was_seen_only_what_faded_is_said():
    (said,) = weak(questions=(4, 3, 9, 5), seen=(4, 3, 9, 5), known=(0.9, 0.6, 0.5, 0.9))
    assert said == "What was seen is not known well enough on the day, least of all in “Yaw”, “Stick”, “Feet”."
