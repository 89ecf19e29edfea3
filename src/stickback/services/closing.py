"""The end of a sitting: what the day was, what it brought, what returns, and what to read."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from stickback.course.course import Topic
from stickback.memory.past import History, Row
from stickback.services.desk import Desk

WEEK = 7  # days


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
    topics = {key: question.topic for (key, _), question in desk.questions.items()}
    wrong = Counter(topics[row.question] for row in _answers(desk) if not row.right and row.question in topics)
    return [desk.course.plan.topics[topic] for topic, _ in wrong.most_common(most)]
