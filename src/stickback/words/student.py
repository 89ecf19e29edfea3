"""Who studies, with which settings, and what came of fitting the memory model to their answers."""

from stickback.amount import percent
from stickback.course.course import Course
from stickback.services.student import Listed
from stickback.services.tune import Outcome
from stickback.study.student import Student
from stickback.words import terms

HEAD = ("Name", "Aeroplane", "Minutes", "Next lesson", "Sign-off", "Answers", "Last answer")
NO_DATE = "The lesson has no date yet: add --on DATE, and the questions are chosen for that day."


def settings(course: Course, one: Student) -> str:
    """A student with everything that is set, in one line."""
    parts = [
        one.name,
        f"aeroplane {_aeroplane(course, one) or 'none'}",
        f"radio rules {terms.rules(one.phraseology)}",
        terms.minutes(one.minutes),
        f"fresh from {percent(one.target)}",
    ]
    if one.next_lesson:
        when = f" on {terms.day(one.next_on)}" if one.next_on else ""
        parts.append(f"next {terms.lesson(course, one.next_lesson)}{when}")
    if one.checkride:
        parts.append(f"{terms.end(course)} on {terms.day(one.checkride)}")
    if one.zone:
        parts.append(f"zone {one.zone}")
    if one.abroad:
        parts.append("other states' rules too")
    if one.listen != "off":
        parts.append("transmissions heard" + f" ({one.listen})" * (one.listen != "on"))
    return ", ".join(parts)


def _aeroplane(course: Course, one: Student) -> str | None:
    """The name of the aeroplane flown: the one set, else the first of the course."""
    sheet = course.sheets.get(one.aircraft) if one.aircraft else next(iter(course.sheets.values()), None)
    return sheet.name if sheet else one.aircraft


def row(course: Course | None, each: Listed) -> tuple[str, ...]:
    """A student in a list, under `HEAD`; without a course by ids alone."""
    one = each.student
    lesson = terms.lesson(course, one.next_lesson) if course and one.next_lesson else one.next_lesson
    aeroplane = _aeroplane(course, one) if course else one.aircraft
    found = (one.name, aeroplane, one.minutes, lesson, one.checkride, each.entries, each.last)
    return tuple("-" if text is None else str(text) for text in found)


def outcome(found: Outcome) -> str:
    """An outcome as one sentence."""
    there = "a set of their own" if found.personal else "the defaults"
    did = {"adopted": "adopted", "kept": f"kept {there}", "back": f"went back to {there}"}[found.what]
    return f"{found.student}: {did}; {found.why}."
