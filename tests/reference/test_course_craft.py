"""The course that ships gives nothing away to someone clever at tests, and asks in many ways.

Chance is the binomial distribution's 95 % interval, computed here from its terms.
"""

import math
import re

import pytest

from stickback.course import craft
from stickback.kinds.choice import Choice
from stickback.reading import fill
from stickback.services import folder

COURSE = folder.load(folder.shipped())
CHOICES = [question for question in COURSE.questions.values() if question.kind == Choice.NAME]
ABSOLUTE = re.compile(r"\b(?:always|never|all|every|only|no|none|any|must|completely|entirely)\b", re.IGNORECASE)


def interval(trials, chance):
    """The smallest and largest count that 95 % of binomial trials keep to."""
    terms = [math.comb(trials, k) * chance**k * (1 - chance) ** (trials - k) for k in range(trials + 1)]
    low = next(k for k in range(trials + 1) if sum(terms[: k + 1]) > 0.025)
    high = next(k for k in reversed(range(trials + 1)) if sum(terms[k:]) > 0.025)
    return low, high


def options(question, sheet):
    """(length as shown on an aeroplane, whether it is right)."""
    return [(len(fill.fill(one.text, sheet.values)), one.right) for one in question.body.options]


def test_the_interval_of_chance_is_that_of_a_fair_coin():
    assert interval(100, 0.5) == (40, 60)  # a table of the binomial distribution, from memory


@pytest.mark.parametrize("pick", [max, min])
@pytest.mark.parametrize("sheet", COURSE.sheets.values(), ids=COURSE.sheets)
def test_the_right_option_is_the_longest_or_shortest_no_more_often_than_by_chance(sheet, pick):
    hits, chances = 0, []
    for question in CHOICES:
        shown = options(question, sheet)
        lengths = [length for length, _ in shown]
        if not question.uses <= sheet.values.keys() or lengths.count(pick(lengths)) > 1:
            continue  # where two are as long nothing can be told from it
        hits += dict(shown)[pick(lengths)]
        chances.append(sum(right for _, right in shown) / len(shown))
    low, high = interval(len(chances), sum(chances) / len(chances))
    assert low <= hits <= high, (hits, low, high)


def test_an_absolute_word_says_nothing_about_an_option():
    hits, chances = 0, []
    for question in CHOICES:
        marked = [one.right for one in question.body.options if ABSOLUTE.search(one.text)]
        if len(marked) < len(question.body.options):  # a word in every option tells none of them apart
            hits += sum(marked)
            share = sum(one.right for one in question.body.options) / len(question.body.options)
            chances += [share] * len(marked)
    low, high = interval(len(chances), sum(chances) / len(chances))
    assert low <= hits <= high, (hits, low, high)


def test_two_fifths_of_the_questions_at_least_are_no_choice():
    assert len(CHOICES) <= 0.6 * len(COURSE.questions)


def test_every_topic_has_its_questions_and_every_must_topic_its_kinds():
    for topic in COURSE.plan.topics.values():
        kinds = [question.kind for question in COURSE.questions.values() if question.topic == topic.id]
        assert len(kinds) >= {3: 9, 2: 6, 1: 4}[topic.weight], topic.id
        assert not topic.must or len(set(kinds)) >= 3, topic.id


def test_the_course_is_without_a_word_from_the_strict_rules():
    assert COURSE.problems == ()
    assert craft.problems(COURSE) == []


def test_every_question_names_a_source_or_common_practice():
    for question in COURSE.questions.values():
        assert re.search(r"\[\^[^\]\s]+\]|common practice", craft.text_of(question), re.IGNORECASE), question.id
        assert question.why, question.id
