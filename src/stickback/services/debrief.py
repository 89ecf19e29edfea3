"""The debrief after a flight: what went wrong, and the topics behind it."""

from dataclasses import dataclass
from typing import Any

from stickback import clock
from stickback.course.course import Question
from stickback.services import desk as desks
from stickback.services import today
from stickback.services.desk import Desk
from stickback.study.debrief import Weak
from stickback.study.flown import FlownError


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
