"""The lesson plan to read: one lesson or topic, and its sources."""

from stickback.course.course import Course, Lesson, Topic
from stickback.reading import text as texts
from stickback.reading.markup import Block
from stickback.refused import Refused


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


def notes(course: Course, blocks: tuple[Block, ...]) -> dict[str, str]:
    """The footnotes that a text refers to, by key, in the order in which they come."""
    return {key: course.sources[key] for key in texts.notes(blocks) if key in course.sources}
