"""The figures of questions against an open data set that item analysis is taught with.

Sections 6 and 7 of the Law School Admission Test: 1,000 examinees each, five questions marked right or wrong, from Bock
& Lieberman (1970), *Psychometrika* 35, 179-197. How many gave which pattern stands in the R package psych
(`bock.table`, its columns `Ob6` and `Ob7`; also in the collection Rdatasets); what is published of each question, in
the manual of the R package mirt: what `itemstats` prints of `LSAT6` and `LSAT7`, to three decimals. Nothing here is
written from memory.
"""

from dataclasses import dataclass

import pytest

from stickback.readiness import items
from stickback.readiness.items import Graded


@dataclass(frozen=True)
class Section:
    """What is published of a section.

    Args:
        patterns: how many gave each pattern of the five, from 00000 to 11111.
        ease: the share that is right (`mean`).
        rest: the correlation with the total of the other four (`total.r_if_rm`).
    """

    patterns: tuple[int, ...]
    ease: tuple[float, ...]
    rest: tuple[float, ...]


SECTIONS = {
    "section 6": Section(
        (
            *(3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15),
            *(10, 29, 14, 81, 3, 28, 15, 80, 16, 56, 21, 173, 11, 61, 28, 298),
        ),
        (0.924, 0.709, 0.553, 0.763, 0.870),
        (0.113, 0.153, 0.173, 0.144, 0.122),
    ),
    "section 7": Section(
        (
            *(12, 19, 1, 7, 3, 19, 3, 17, 10, 5, 3, 7, 7, 23, 8, 28),
            *(7, 39, 11, 34, 14, 51, 15, 90, 6, 25, 7, 35, 18, 136, 32, 308),
        ),
        (0.828, 0.658, 0.772, 0.606, 0.843),
        (0.246, 0.247, 0.313, 0.223, 0.175),
    ),
}


@pytest.fixture(scope="module", params=SECTIONS)
def section(request):
    return SECTIONS[request.param]


@pytest.fixture(scope="module")
def answers(section):
    examinees = [f"{pattern:05b}" for pattern, many in enumerate(section.patterns) for _ in range(many)]
    return [
        Graded(
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


def test_the_share_that_is_right_is_the_one_published(found, section):
    assert tuple(each.first.value for each in found) == pytest.approx(section.ease, abs=1e-9)


def test_the_discrimination_is_the_correlation_with_the_rest_that_is_published(found, section):
    assert {each.judged for each in found} == {1000}
    assert tuple(round(each.discrimination, 3) for each in found) == section.rest


def test_nothing_is_found_wrong_with_the_questions_of_a_real_test(found):
    assert [each.advice for each in found] == [()] * 5
