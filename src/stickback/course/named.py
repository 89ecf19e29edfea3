"""What a course has by the name that a person typed for it."""

from collections.abc import Collection

from stickback.course.course import Course, Lesson, Sheet, Topic
from stickback.refused import Refused


def sheet(course: Course, name: str) -> Sheet:
    """The sheet of a name.

    Errors: Refused when the course does not have it.
    """
    if name not in course.sheets:
        raise Refused(f"The course has no aircraft sheet '{name}'; it has {listed(course.sheets)}.")
    return course.sheets[name]


def first_sheet(course: Course) -> Sheet:
    """The sheet that stands for a course where no other was named.

    Errors: Refused when the course has none.
    """
    if not course.sheets:
        raise Refused("The course has no aircraft sheet that can be read.", "`stickback check` says why")
    return next(iter(course.sheets.values()))


def lesson(course: Course, name: str) -> Lesson:
    """The lesson of an id or a number.

    Errors: Refused when the plan does not have it.
    """
    if (found := _lesson(course, name)) is None:
        raise Refused(f"The plan has no lesson '{name}'; it has {listed([one.id for one in course.plan.lessons])}.")
    return found


def _lesson(course: Course, name: str) -> Lesson | None:
    return next((each for each in course.plan.lessons if name in {each.id, str(each.number)}), None)


def topic(course: Course, name: str) -> Topic:
    """The topic of an id.

    Errors: Refused when the plan does not have it.
    """
    if name not in course.plan.topics:
        raise Refused(f"The plan has no topic '{name}'.", "`stickback lesson` lists them")
    return course.plan.topics[name]


def section(course: Course, name: str) -> Lesson | Topic:
    """The lesson, by id or number, or the topic of a name.

    Errors: Refused when the plan has neither.
    """
    if (found := _lesson(course, name) or course.plan.topics.get(name)) is None:
        raise Refused(f"The plan has no lesson or topic '{name}'.", "`stickback lesson` lists them")
    return found


def listed(names: Collection[str]) -> str:
    """Some names, for someone who typed another."""
    return ", ".join(sorted(names)) or "none"
