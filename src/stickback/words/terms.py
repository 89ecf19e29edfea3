"""What several sentences share: days, the end of a course, and the names of things in place of their ids."""

from datetime import date
from importlib.metadata import version

from stickback.amount import many
from stickback.course.course import Course

_ENDS = {"differences": "differences sign-off"}


def end(course: Course) -> str:
    """What stands at the end of the course: "checkride", "differences sign-off"."""
    return _ENDS.get(course.plan.ends_with, course.plan.ends_with)


def end_option(course: Course) -> str:
    """The option that sets its date; `student set` knows both."""
    return "--checkride" if course.plan.ends_with in {"checkride", "club check"} else "--sign-off"


def day(when: date) -> str:
    """A day: "3 June 2026"."""
    return f"{when:%d %B %Y}".lstrip("0")


def short_day(when: date) -> str:
    """A day of this year: "3 Jun"."""
    return f"{when:%d %b}".lstrip("0")


def ahead(today: date, when: date) -> str:
    """A day and how far off it is: "3 June 2026 (in 2 days)"."""
    days = (when - today).days
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}.get(days)
    return f"{day(when)} ({near or (f'in {days} days' if days > 0 else f'{-days} days ago')})"


def lesson(course: Course, name: str) -> str:
    """A lesson's title; its id where the plan has it no more."""
    return next((one.title for one in course.plan.lessons if one.id == name), name)


def topic(course: Course, name: str) -> str:
    """A topic's title; its id where the plan has it no more."""
    found = course.plan.topics.get(name)
    return found.title if found else name


def must(title: str, *, is_must: bool) -> str:
    """The title of a topic, and whether it is a matter of safety."""
    return f"{title} (must)" if is_must else title


def counted(topic_weight: int) -> str:
    """How much a topic counts in the oral; nothing for one that counts like most."""
    return {2: "counts twice in the oral", 3: "counts three times in the oral"}.get(topic_weight, "")


def rules(phraseology: str) -> str:
    """Radio rules by their name: "UK"."""
    return phraseology.upper()


def minutes(number: int) -> str:
    """Minutes a day."""
    return f"{many(number, 'minute')} a day"


def program() -> str:
    """This program and its version."""
    return f"stickback {version('stickback')}"
