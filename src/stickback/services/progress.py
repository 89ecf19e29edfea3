"""Progress: what was known of each lesson week by week, where answers went wrong of late, and what today came to."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from statistics import fmean
from typing import Any

from stickback import clock
from stickback.course.course import Lesson, Topic
from stickback.memory.past import History, Row
from stickback.services.desk import Desk

WEEK, MOST = 7, 26  # days of a week, and how many weeks are looked back on
LATELY = 28  # days over which wrong answers are counted


@dataclass(frozen=True)
class Week:
    """The end of a week.

    Args:
        day: its last; the newest week ends today.
        whole: known of the whole course, topics by their weight, 0 to 1.
        lessons: the same of each lesson, by its id; None where nothing of it was ever answered.
    """

    day: date
    whole: float
    lessons: dict[str, float | None]


@dataclass(frozen=True)
class Wrong:
    """A topic with its wrong answers of the last four weeks, of how many."""

    topic: Topic
    wrong: int
    answers: int


@dataclass(frozen=True)
class Progress:
    """How a student has come on.

    Args:
        weeks: oldest first; none where nothing was answered yet.
        wrong: topics, the most wrong answers first.
    """

    weeks: tuple[Week, ...]
    wrong: tuple[Wrong, ...]


def progress(desk: Desk) -> Progress:
    """What is known after every week since the first answer, worked out from the log as it stood then."""
    desk = desk.so_far
    first = min((row.day for row in desk.past.graded), default=None)
    if first is None:
        return Progress((), ())
    ends = range(desk.number, max(first - 1, desk.number - MOST * WEEK), -WEEK)
    return Progress(tuple(_week(desk, number) for number in reversed(ends)), tuple(_wrong(desk)))


def _week(desk: Desk, number: int) -> Week:
    """What was known on the day after an evening: on the evening itself everything just answered would be certain."""
    histories = list(desk.questions)
    values = desk.known(desk.past.before(number + 1), histories, number + 1)
    by_topic: dict[str, list[float | None]] = defaultdict(list)
    for history, value in zip(histories, values, strict=True):
        by_topic[desk.questions[history].topic].append(value)
    lessons = {one.id: _of(one.topics, by_topic) for one in desk.course.plan.lessons}
    every = [topic for one in desk.course.plan.lessons for topic in one.topics]
    return Week(clock.day_date(number), _of(every, by_topic) or 0.0, lessons)


def _of(topics: "list[Topic] | tuple[Topic, ...]", by_topic: dict[str, list[float | None]]) -> float | None:
    """Known of some topics by their weight, unseen questions as not known; None where all are unseen."""
    asked = [topic for topic in topics if by_topic.get(topic.id)]
    if not any(value is not None for topic in asked for value in by_topic[topic.id]):
        return None
    known = sum(topic.weight * fmean(value or 0.0 for value in by_topic[topic.id]) for topic in asked)
    return known / sum(topic.weight for topic in asked)


def _wrong(desk: Desk) -> list[Wrong]:
    topic_of = desk.topic_of
    lately = [row for row in desk.past.graded if row.day > desk.number - LATELY and row.question in topic_of]
    answers = Counter(topic_of[row.question or ""] for row in lately)
    wrong = Counter(topic_of[row.question or ""] for row in lately if not row.right)
    topics = desk.course.plan.topics
    return [Wrong(topics[name], many, answers[name]) for name, many in wrong.most_common()]


def as_json(desk: Desk, found: Progress) -> dict[str, Any]:
    """Names and plain values; shares 0 to 1, unrounded."""
    return {
        "student": desk.student.name,
        "weeks": [{"date": one.day.isoformat(), "known": one.whole, "lessons": one.lessons} for one in found.weeks],
        "wrong": [{"topic": one.topic.id, "wrong": one.wrong, "answers": one.answers} for one in found.wrong],
    }


def titles(desk: Desk) -> list[tuple[Lesson, str]]:
    """The lessons with their titles, without the word before the colon."""
    return [(one, one.title.partition(": ")[2] or one.title) for one in desk.course.plan.lessons]


@dataclass(frozen=True, kw_only=True)
class Closing:
    """What a study day comes to so far.

    Args:
        answered, right: its answers.
        gained: questions answered right today for the first time.
        tomorrow, week, later: how many of those asked today return so soon, each counted once.
    """

    answered: int
    right: int
    gained: int
    tomorrow: int
    week: int
    later: int


def closing(desk: Desk) -> Closing:
    """What today comes to so far; answers taken back count for nothing."""
    answers = _answers(desk)
    known = {row.history for row in desk.dawn.answers if row.right}
    gained = {row.history for row in answers if row.right} - known
    days = list(_returns(desk, answers))
    return Closing(
        answered=len(answers),
        right=sum(bool(row.right) for row in answers),
        gained=len(gained),
        tomorrow=sum(day <= 1 for day in days),
        week=sum(1 < day <= WEEK for day in days),
        later=sum(day > WEEK for day in days),
    )


def _answers(desk: Desk) -> list[Row]:
    return [row for row in desk.past.on(desk.number) if row.id not in desk.past.voided]


def _returns(desk: Desk, answers: list[Row]) -> Iterator[int]:
    """Days until each question asked today comes back, by its first answer, which is the one that counts."""
    first: dict[History, Row] = {}
    for row in answers:
        first.setdefault(row.history, row)
    for history, row in first.items():
        if history not in desk.guesses:
            continue
        if history in desk.misbeliefs:
            yield 1
            continue
        yield desk.days_to(row, desk.dawn)


def to_read(desk: Desk, most: int = 3) -> list[Topic]:
    """The topics behind today's wrong answers, most of them first."""
    topic_of = desk.topic_of
    wrong = Counter(topic_of[row.question] for row in _answers(desk) if not row.right and row.question in topic_of)
    return [desk.course.plan.topics[topic] for topic, _ in wrong.most_common(most)]
