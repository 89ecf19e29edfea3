"""The figures of questions against an open data set that item analysis is taught with.

Section 6 of the Law School Admission Test: 1,000 examinees, five questions marked right or wrong, from Bock & Lieberman
(1970), *Psychometrika* 35, 179-197. The table stands in the examples of OpenBUGS ("LSAT: item response") and as `LSAT`
in the R package ltm (Rizopoulos 2006, *Journal of Statistical Software* 17(5)).
"""

import math

import pytest

from stickback.readiness import items
from stickback.readiness.items import Answer

# How many gave each pattern of the five, from 00000 to 11111: OpenBUGS, where they are summed up (`culm`).
PATTERNS = (
    *(3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15),
    *(10, 29, 14, 81, 3, 28, 15, 80, 16, 56, 21, 173, 11, 61, 28, 298),
)
# The share that is right: Bock & Lieberman 1970; the same in the manual of ltm.
EASE = (0.924, 0.709, 0.553, 0.763, 0.870)
# With the total of the other four: `descript(LSAT)` of ltm prints these; written here from memory. Its spread is that
# of a sample in one place and of a population in another, so that a factor of sqrt(999/1000) lies between it and scipy.
REST = (0.1128, 0.1531, 0.1727, 0.1444, 0.1215)


@pytest.fixture(scope="module")
def answers():
    examinees = [f"{pattern:05b}" for pattern, many in enumerate(PATTERNS) for _ in range(many)]
    return [
        Answer(
            student=str(number),
            question=str(place),
            first=True,
            right=mark == "1",
            sure=False,
            seconds=None,
            revision="",
        )
        for number, marks in enumerate(examinees)
        for place, mark in enumerate(marks)
    ]


@pytest.fixture
def found(answers, monkeypatch):
    monkeypatch.setattr(items, "REST", 3)  # there are four other questions, fewer than we judge a student by
    return items.items(answers, {})


def test_the_share_that_is_right_is_the_one_published(found):
    assert tuple(each.first.value for each in found) == pytest.approx(EASE, abs=1e-9)


def test_the_discrimination_is_the_point_biserial_correlation_published(found):
    assert {each.judged for each in found} == {1000}
    printed = tuple(round(each.discrimination * math.sqrt(999 / 1000), 4) for each in found)
    assert printed == REST


def test_nothing_is_found_wrong_with_the_questions_of_a_real_test(found):
    assert [each.advice for each in found] == [()] * 5
