"""The lesson plan to read: one lesson or topic, the brief before a lesson, and the debrief after."""

from dataclasses import dataclass
from typing import Any

from stickback import clock
from stickback.course.course import Course
from stickback.course.plan import Lesson, Topic
from stickback.course.question import Question
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import today
from stickback.services.desk import Desk
from stickback.study.debrief import Weak
from stickback.study.flown import FlownError


def find(course: Course, name: str) -> Lesson | Topic:
    """The lesson (by id or number) or topic of a name.

    Errors: Refused when the plan has neither.
    """
    for lesson in course.plan.lessons:
        if name in {lesson.id, str(lesson.number)}:
            return lesson
    if name in course.plan.topics:
        return course.plan.topics[name]
    raise Refused(f"The plan has no lesson or topic '{name}'; `stickback lesson` lists them.")


def sources(course: Course, keys: list[str]) -> list[str]:
    """The footnotes of these keys."""
    return [course.sources[key] for key in keys if key in course.sources]


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


def readable(key: str) -> str:
    """A value's name in words: `approach_speed` is "approach speed"."""
    return key.replace("_", " ")


@dataclass(frozen=True)
class Debrief:
    """What went wrong and where to read it up."""

    weak: list[Weak]
    misbeliefs: list[Question]
    errors: list[FlownError]


def debrief(desk: Desk, name: str | None) -> Debrief:
    """The weak topics, open misbeliefs and open errors; of one lesson when that is named.

    Errors: Refused when the plan does not have the lesson.
    """
    plan = desk.course.plan
    topics = {topic.id for topic in desks.lesson(desk.course, name).topics} if name else set(plan.topics)
    weak = [one for one in today.weak(desk) if one.topic.id in topics]
    wrong = [desk.questions[history] for history in desk.misbeliefs]
    errors = [error for error in desk.flown_errors if topics & set(error.topics)]
    return Debrief(weak, [question for question in wrong if question.topic in topics], errors)


def as_json(desk: Desk, found: Debrief) -> dict[str, Any]:
    """The debrief as plain values; shares are 0 to 1, unrounded."""
    lessons = {lesson.id: lesson for lesson in desk.course.plan.lessons}
    texts = {seen.id: seen.text for lesson in lessons.values() for seen in lesson.errors}
    return {
        "student": desk.student.name,
        "date": desk.day.isoformat(),
        "aircraft": desk.sheet.id,
        "weak": [
            {
                "topic": one.topic.id,
                "title": one.topic.title,
                "lesson": one.topic.lesson,
                "lesson_title": lessons[one.topic.lesson].title,
                "must": one.topic.must,
                "known": one.known,
                "seen": one.seen,
                "questions": one.questions,
                "rusty": one.rusty,
                "sure_but_wrong": [history[0] for history in one.misbeliefs],
                "errors": list(one.errors),
                "read": f"stickback lesson {one.topic.id}",
            }
            for one in found.weak
        ],
        "sure_but_wrong": [
            {"question": desk.course.key(question), "title": question.title, "topic": question.topic}
            for question in found.misbeliefs
        ],
        "errors": [
            {
                "error": error.error,
                "text": texts.get(error.error, error.error),
                "lesson": error.lesson.rpartition("/")[2],
                "day": clock.day_date(error.day).isoformat(),
                "topics": list(error.topics),
            }
            for error in found.errors
        ],
    }
