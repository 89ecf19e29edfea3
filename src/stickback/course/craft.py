"""Craft: what makes a question worse than it could be, and what the plan teaches and nothing asks.

These are matters of judgement, so they are warnings, and only `check --strict` speaks of them.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from stickback import amount
from stickback.course.course import Course, Question, Topic
from stickback.kinds.protocol import Fault, Kind
from stickback.reading.markup import every
from stickback.reading.problem import At, Problem
from stickback.trade import yaw

FEWEST = {3: 9, 2: 6, 1: 4}  # questions a topic should have, by its weight
MUST_KINDS = 3  # over which a must topic should be asked
_ALIKE = 0.75  # share of words that two stems have in common

_NOTE = re.compile(r"\[\^[^\]\s]+\]|common practice", re.IGNORECASE)
_SIDE = re.compile(
    r"\b(?:to|on|from) (?:the|its|your) (?:left|right)\b|\bnose (?:left|right)\b"
    r"|\b(?:left|right)[ -](?:rudder|foot|pedal|wheel|main|side|wing|brake|hand|yaw|swing|aileron|stick)\b",
    re.IGNORECASE,
)


def problems(course: Course) -> list[Problem]:
    """Every warning about craft, sorted by place."""
    found: list[Problem] = []
    sided = _sided_topics(course)
    for question in course.questions.values():
        found += _sourced(question)
        found += _sides(question, sided)
        found += [_told(question, each) for each in question.body.craft()]
    return sorted([*found, *_habits(course), *_alike(course)])


def _warn(question: Question, code: str, message: str, hint: str) -> Problem:
    return Problem(At(question.file, question.line, 1), code, message, hint, "warning")


def _told(question: Question, each: Fault) -> Problem:
    return _warn(question, each.code, each.message, each.hint)


def text_of(question: Question) -> str:
    """All that a question says, as Markdown."""
    blocks = every((*question.prompt, *question.why, *question.hint))
    return "\n".join([question.title, *(block.text for block in blocks), *question.body.texts()])


def _sourced(question: Question) -> Iterator[Problem]:
    if not question.why:
        yield _warn(
            question, "craft-why", "This question does not say why.", "add `### Why` with two or three sentences"
        )
    elif not _NOTE.search(text_of(question)):
        hint = "add a footnote such as `[^afh14]`, or the words *common practice*"
        yield _warn(question, "craft-source", "This question names no source.", hint)


def _habits(course: Course) -> Iterator[Problem]:
    """What all questions of a kind give away together, each told at one of them."""
    by_kind: dict[type[Kind], list[Question]] = {}
    for question in course.questions.values():
        by_kind.setdefault(type(question.body), []).append(question)
    for kind, questions in by_kind.items():
        for place, each in kind.habits([question.body for question in questions]):
            yield _told(questions[place], each)


def _alike(course: Course) -> Iterator[Problem]:
    """Stems that share most of their words with an earlier one."""
    by_word: dict[str, list[int]] = {}
    seen: list[tuple[Question, frozenset[str]]] = []
    for question in course.questions.values():
        words = frozenset(re.findall(r"[a-z]{3,}", question.title.casefold()))
        shared = Counter(other for word in words for other in by_word.get(word, ()))
        alike = (other for other, many in shared.items() if many >= _ALIKE * len(words | seen[other][1]))
        if (other := next(alike, None)) is not None:
            message = f"This stem is much like that of '{seen[other][0].id}'."
            yield _warn(question, "craft-alike", message, "ask from another side, or delete one of the two")
        for word in words:
            by_word.setdefault(word, []).append(len(seen))
        seen.append((question, words))


def _sided_topics(course: Course) -> frozenset[str]:
    """Topics in which some question uses a side that follows from the propeller."""
    derived = yaw.yaw_sides(yaw.PROPELLERS[0]).keys()
    return frozenset(question.topic for question in course.questions.values() if question.uses & derived)


def _sides(question: Question, topics: frozenset[str]) -> Iterator[Problem]:
    match = _SIDE.search(text_of(question)) if question.topic in topics and "sides" not in question.places else None
    if match:
        message = f"'{match[0]}' is typed by hand in a topic whose sides follow from the propeller."
        hint = 'use a value such as {{ swing }}, or say why it may stand: sides="the wind is given"'
        yield _warn(question, "craft-side", message, hint)


@dataclass(frozen=True)
class Coverage:
    """How a topic is asked about.

    Args:
        kinds: number of questions by kind.
        gaps: what is missing, in words.
    """

    topic: Topic
    kinds: dict[str, int]
    gaps: tuple[str, ...]


def coverage(course: Course) -> list[Coverage]:
    """Every topic of the plan with what asks about it."""
    by_topic: dict[str, Counter[str]] = {topic: Counter() for topic in course.plan.topics}
    for question in course.questions.values():
        by_topic[question.topic][question.kind] += 1
    return [
        Coverage(topic, dict(by_topic[name]), _gaps(topic, by_topic[name]))
        for name, topic in course.plan.topics.items()
    ]


def _gaps(topic: Topic, kinds: Counter[str]) -> tuple[str, ...]:
    gaps = []
    missing = FEWEST[topic.weight] - kinds.total()
    if missing > 0:
        gaps.append("nothing asks" if not kinds else f"{missing} more for weight {topic.weight}")
    if topic.must and kinds and len(kinds) < MUST_KINDS:
        gaps.append(f"{amount.many(MUST_KINDS - len(kinds), 'more kind')} for a must")
    return tuple(gaps)
