import pytest

from stickback.services.tune import Outcome
from stickback.words import student


@pytest.mark.parametrize(
    ("outcome", "says"),
    [
        (("adopted", "predictions 3 % sharper", True), "Ann: adopted; predictions 3 % sharper."),
        (
            ("kept", "needs 500 graded answers, has 312", False),
            "Ann: kept the defaults; needs 500 graded answers, has 312.",
        ),
        (("kept", "no fit came", True), "Ann: kept a set of their own; no fit came."),
        (("back", "so", False), "Ann: went back to the defaults; so."),
    ],
)
def test_an_outcome_is_one_sentence(outcome, says):
    what, why, personal = outcome
    assert student.outcome(Outcome(student="Ann", what=what, why=why, answers=312, personal=personal)) == says
