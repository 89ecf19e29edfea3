"""The brief before a lesson: its text, this aeroplane's numbers, its questions."""

from dataclasses import dataclass

from stickback.course.course import Lesson, Question
from stickback.services import desk as desks
from stickback.services.aircraft import readable
from stickback.services.desk import Desk


@dataclass(frozen=True)
class Brief:
    """What to have in mind before a lesson.

    Args:
        numbers: the aeroplane's values, by a readable name.
        questions: the lesson's questions, with how well each is known; None where it is unseen.
    """

    lesson: Lesson
    numbers: list[tuple[str, str]]
    questions: list[tuple[Question, float | None]]


def brief(desk: Desk, name: str) -> Brief:
    """The brief of a lesson.

    Errors: Refused when the plan does not have it.
    """
    lesson = desks.lesson(desk.course, name)
    topics = {topic.id for topic in lesson.topics}
    standings = [one for one in desk.standings(desk.number) if one.topic in topics]
    return Brief(lesson, numbers(desk), [(desk.questions[one.history], one.known) for one in standings])


def numbers(desk: Desk) -> list[tuple[str, str]]:
    """The values of the aeroplane as a person reads them."""
    return [(readable(key), value) for key, value in desk.sheet.values.items() if key not in desk.sheet.derived]
