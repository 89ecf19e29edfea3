import pytest

from stickback.study import why
from stickback.study.choose import Candidate

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
    return why.reason(one, 3, gain, on_the_day=on_the_day, sure_but_wrong=sure_but_wrong)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        (
            f"never seen: an answer today makes it 31 % surer on the day{THRICE}",
            reason(candidate(), 0.312),
        ),
        (
            f"known 62 % today: an answer today makes it 8 % surer for the lesson{THRICE}",
            reason(candidate(0.617), 0.08, on_the_day=False),
        ),
        (
            f"new on this aeroplane: an answer today makes it 50 % surer on the day{THRICE}",
            reason(candidate(elsewhere=True), 0.5),
        ),
        ("answered wrong and sure, still open", reason(candidate(0.5, first=True), 0.2, sure_but_wrong=True)),
        ("behind an error seen in flight", reason(candidate(0.5, first=True), 0.2)),
        ("never seen", reason(candidate())),
        ("known 54 % today", reason(candidate(0.54))),
    ],
)
def test_a_reason_is_a_few_words(said, found):
    assert found == said
