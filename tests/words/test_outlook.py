from types import SimpleNamespace

import pytest

from stickback.words import outlook


@pytest.mark.parametrize(
    ("share", "says"), [(1.0, "over 99 %"), (0.0, "under 1 %"), (0.5, "50 %"), (0.99, "99 %"), (0.01, "1 %")]
)
def test_a_chance_promises_nothing_and_rules_nothing_out(share, says):
    assert outlook.chance(share) == says


def found(minutes=10, short_by=0, unseen=0.0):
    return SimpleNamespace(
        minutes=minutes,
        short_by=short_by,
        enough=short_by == 0,
        questions=22,
        on_the_day=SimpleNamespace(unseen=unseen),
    )


@pytest.mark.parametrize(
    ("of", "says"),
    [
        (found(), "10 minutes a day are enough."),
        (found(minutes=1), "1 minute a day is enough."),
        (found(short_by=5), "10 minutes a day cannot cover it: about 15 a day would be enough."),
        (found(unseen=3.2), "10 minutes a day are enough. 3 questions of 22 would never be asked."),
        (found(short_by=None), "10 minutes a day cannot be enough, and no number of minutes a day would be by then."),
    ],
)
def test_it_is_said_plainly_whether_the_minutes_are_enough(of, says):
    assert outlook.enough(of) == says
