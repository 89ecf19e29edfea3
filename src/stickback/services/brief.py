"""The brief before a lesson: its text, this aeroplane's numbers, its questions; and its card, to print."""

from dataclasses import dataclass

from stickback.course import named
from stickback.course.course import Lesson, Question, Sheet
from stickback.kinds.shown import Point
from stickback.services import try_
from stickback.services.aircraft import readable
from stickback.services.desk import Desk
from stickback.services.try_ import Trial

NUMBERS, ALOUD = 5, 3  # what a card has room for, and a head
# Values that are figures, the speeds in the sheet's unit, in the order in which a flight meets them.
_FIGURES = {
    "runup_rpm": "rpm",
    "magneto_drop": "rpm",
    "climb_speed": "",
    "demonstrated_crosswind": "",
    "stall_speed": "",
    "approach_speed": "",
    "glide_speed": "",
    "manoeuvring_speed": "",
    "never_exceed_speed": "",
    "magneto_difference": "rpm",
    "cruise_speed": "",
    "fuel_endurance_hours": "hours",
}
_FIRST = ("approach_speed", "climb_speed", "stall_speed", "glide_speed", "demonstrated_crosswind")


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
    lesson = named.lesson(desk.course, name)
    topics = {topic.id for topic in lesson.topics}
    standings = [one for one in desk.grasp(desk.number) if one.topic in topics]
    return Brief(lesson, numbers(desk), [(desk.questions[one.history], one.known) for one in standings])


def numbers(desk: Desk) -> list[tuple[str, str]]:
    """The values of the aeroplane as a person reads them."""
    return [(readable(key), value) for key, value in desk.sheet.values.items() if key not in desk.sheet.derived]


@dataclass(frozen=True)
class Card:
    """What fits on one sheet of paper: in front for the student, overleaf for the instructor.

    Args:
        numbers: of the aeroplane, those that the lesson speaks of first.
        aloud: questions to say aloud, with the points listened for: of must topics first, then what is known least.
    """

    lesson: Lesson
    sheet: Sheet
    numbers: list[tuple[str, str]]
    aloud: list[tuple[Trial, tuple[Point, ...]]]


def card(desk: Desk, name: str) -> Card:
    """The card of a lesson.

    Errors: Refused when the plan does not have it.
    """
    found = brief(desk, name)
    uses = frozenset(name for question, _ in found.questions for name in question.uses)
    trials = [try_.trial(desk.course, question.id, aircraft=desk.sheet.id) for question in _aloud(desk, found)]
    return Card(found.lesson, desk.sheet, _figures(desk.sheet, uses), [(one, one.answer) for one in trials])


def _figures(sheet: Sheet, uses: frozenset[str]) -> list[tuple[str, str]]:
    """Five figures of the aeroplane with their units: what the lesson asks for, then what every flight needs."""
    there = [key for key in _FIGURES if key in sheet.values]
    wanted = [*(key for key in there if key in uses), *_FIRST, *there]
    chosen = [key for key in dict.fromkeys(wanted) if key in there][:NUMBERS]
    unit = sheet.values.get("speed_unit", "")
    return [(readable(key), f"{sheet.values[key]} {_FIGURES[key] or unit}") for key in there if key in chosen]


def _aloud(desk: Desk, found: Brief) -> list[Question]:
    """Questions of different topics that are answered aloud."""
    topics = desk.course.plan.topics
    spoken = [(one, known or 0.0) for one, known in found.questions if one.body.ALOUD]
    spoken.sort(key=lambda each: (not topics[each[0].topic].must, each[1], each[0].id))
    first = {question.topic: question for question, _ in reversed(spoken)}
    ordered = [question for question, _ in spoken if first[question.topic] is question]
    return [*ordered, *(question for question, _ in spoken if question not in ordered)][:ALOUD]
