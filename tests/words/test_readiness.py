from types import SimpleNamespace

import pytest

from stickback.readiness.statement import Obstacle
from stickback.words import readiness

TITLES = {"feet": "Feet", "stick": "Stick", "yaw": "Yaw", "law": "Law"}
COURSE = SimpleNamespace(
    plan=SimpleNamespace(topics={key: SimpleNamespace(title=title) for key, title in TITLES.items()})
)


def said(kind, *topics, number=0):
    return readiness.obstacle(COURSE, Obstacle(kind, topics, number))


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (said("answers", number=49), "49 answered so far: an estimate needs 50 answers."),
        (said("wrong", "feet", number=1), "Must topic “Feet” holds a wrong answer that is still open."),
        (said("wrong", "feet", number=2), "Must topic “Feet” holds wrong answers that are still open."),
        (
            said("wrong", "feet", "stick", number=2),
            "Must topics “Feet” and “Stick” hold wrong answers that are still open.",
        ),
        (said("weak", "feet"), "Must topic “Feet” may be known to less than 70\xa0% on the day."),
        (said("few", "feet"), "Must topic “Feet” needs 4 questions seen, or all there are."),
        (said("few", *TITLES), "Must topics “Feet”, “Stick”, “Yaw” and “Law” need 4 questions seen, or all there are."),
        (said("unseen", "yaw", number=9), "9 unseen questions keep this from sound: “Yaw”."),
        (said("unseen", "yaw", number=1), "1 unseen question keeps this from sound: “Yaw”."),
        (
            said("unseen", *TITLES, number=16),
            "16 unseen questions keep this from sound, the heaviest first: “Feet”, “Stick”, “Yaw”, “Law”.",
        ),
        (
            said("faded", "yaw", "stick", "feet"),
            "What was seen is not known well enough on the day, the heaviest first: “Yaw”, “Stick”, “Feet”.",
        ),
    ],
)
def test_what_stands_in_the_way_is_a_sentence(found, sentence):
    assert found == sentence


@pytest.mark.parametrize(
    ("short_by", "sentence"),
    [
        (0, "enough"),
        (1, "short by 1 minute a day"),
        (9, "short by 9 minutes a day"),
        (None, "no number of minutes a day is enough by then"),
    ],
)
def test_whether_the_minutes_are_enough_is_said_in_minutes(short_by, sentence):
    assert readiness.plan(short_by) == sentence
