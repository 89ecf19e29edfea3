"""Questions to print for a briefing: those of a topic or a lesson, as they are met on one aeroplane."""

from dataclasses import dataclass

from stickback.course import named
from stickback.course.course import Course, Lesson, Sheet
from stickback.formulas import draw
from stickback.refused import Refused
from stickback.services import lesson as lessons
from stickback.services import try_
from stickback.services.try_ import Trial


@dataclass(frozen=True)
class Handout:
    """What is printed: the title, the aeroplane it is for, and the questions with all that is drawn."""

    title: str
    sheet: Sheet
    trials: tuple[Trial, ...]


def handout(course: Course, name: str, aircraft: str | None, phraseology: str, seed: int) -> Handout:
    """The questions of a topic or a lesson.

    Args:
        aircraft: id of a sheet; None takes the course's first.
        seed: of what is drawn and shuffled: another gives other figures.
    Errors: Refused for what the course does not have, and where nothing of it is asked on that aeroplane.
    """
    found = lessons.find(course, name)
    topics = {topic.id for topic in found.topics} if isinstance(found, Lesson) else {found.id}
    if not course.sheets:
        raise Refused("The course has no aircraft sheet that can be read; `stickback check` says why.")
    sheet = named.sheet(course, aircraft or next(iter(course.sheets)))
    wanted = [one for one in course.applicable(sheet, phraseology).values() if one.topic in topics]
    if not wanted:
        raise Refused(f"Nothing in '{name}' is asked on the {sheet.name} by the {phraseology} phraseology.")
    trials = (try_.trial(course, one.id, aircraft=sheet.id, seed=draw.number(seed, one.id)) for one in wanted)
    return Handout(found.title, sheet, tuple(trials))
