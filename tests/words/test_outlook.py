from types import SimpleNamespace

import pytest

from stickback.study.candidate import Candidate, Reason
from stickback.words import outlook

THRICE = "; it counts three times"


def candidate(known=None, *, first=False, elsewhere=False):
    return Candidate(
        history=("tw/q", ""),
        topic="t",
        place=0,
        lesson=1,
        must=False,
        assumed=False,
        known=known,
        first=first,
        elsewhere=elsewhere,
        numbers=False,
        seconds=20.0,
    )


def reason(one, gain=None, *, on_the_day=True, sure_but_wrong=False):
    return outlook.reason(Reason(one, 3, gain, not on_the_day, sure_but_wrong))


@pytest.mark.parametrize(
    ("said", "found"),
    [
        (
            f"never seen: an answer today makes it 31\xa0% surer on the day{THRICE}",
            reason(candidate(), 0.312),
        ),
        (
            f"known 62\xa0% today: an answer today makes it 8\xa0% surer for the lesson{THRICE}",
            reason(candidate(0.617), 0.08, on_the_day=False),
        ),
        (
            f"new on this aeroplane: an answer today makes it 50\xa0% surer on the day{THRICE}",
            reason(candidate(elsewhere=True), 0.5),
        ),
        ("answered wrong and sure, still open", reason(candidate(0.5, first=True), 0.2, sure_but_wrong=True)),
        ("behind an error seen in flight", reason(candidate(0.5, first=True), 0.2)),
        ("never seen", reason(candidate())),
        ("known 54\xa0% today", reason(candidate(0.54))),
    ],
)
def test_a_reason_is_a_few_words(said, found):
    assert found == said


@pytest.mark.parametrize(
    ("share", "says"),
    [(1.0, "over 99\xa0%"), (0.0, "under 1\xa0%"), (0.5, "50\xa0%"), (0.99, "99\xa0%"), (0.01, "1\xa0%")],
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
