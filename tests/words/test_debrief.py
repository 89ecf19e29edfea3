import pytest

from stickback.kinds.shown import Compared, Point
from stickback.services.debrief import Missed
from stickback.words import debrief

ANOTHER = "You said another order. Right is:"
POINTS = (
    Point(text="Cause", must=True, said=True),
    Point(text="Effect", said=False),
    Point(text="Never mind", fails=True, said=True),
)


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (Compared("“Up”", (Point(text="To the side"),)), ["You said “Up”. Right is: To the side"]),
        (Compared("", (Point(text="{{ speed }} kt"),)), ["You did not know. Right is: 50 kt"]),
        (
            Compared("another order", (Point(text="A", label="b", place="1"), Point(text="B", label="a", place="2"))),
            ["You said another order. Right is:", "1  A", "2  B"],
        ),
        (
            Compared("", POINTS),
            [
                "You said 1 of 2 points. Right is:",
                "✓  Cause",
                "✗  Effect  (not said)",
                "✗  Never mind  (said, and it fails the answer)",
            ],
        ),
    ],
)
def test_what_was_missed_is_what_was_said_and_what_is_right(told, says):
    assert debrief.missed(Missed(None, "Why?", {"speed": "50"}, told)) == says


def test_what_was_missed_of_another_aeroplane_than_the_one_flown_now_names_it():
    told = Compared("“Left”", (Point(text="Right"),))
    assert debrief.missed(Missed(None, "Which foot?", {}, told, "Brackle")) == [
        "Asked on Brackle. You said “Left”. Right is: Right"
    ]
