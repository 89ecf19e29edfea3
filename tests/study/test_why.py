import pytest

from stickback.study import why
from stickback.study.choose import Candidate


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
    return why.reason(one, 3, gain, on_the_day=on_the_day, sure_but_wrong=sure_but_wrong)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("+0.31 on the day: never seen, weight 3", reason(candidate(), 0.312)),
        ("+0.08 for the lesson: known 62 % today, weight 3", reason(candidate(0.617), 0.08, on_the_day=False)),
        ("+0.50 on the day: new on this aeroplane, weight 3", reason(candidate(elsewhere=True), 0.5)),
        ("answered wrong and sure, still open", reason(candidate(0.5, first=True), 0.2, sure_but_wrong=True)),
        ("behind an error seen in flight", reason(candidate(0.5, first=True), 0.2)),
        ("never seen", reason(candidate())),
        ("known 54 % today", reason(candidate(0.54))),
    ],
)
def test_a_reason_is_a_few_words(said, found):
    assert found == said
