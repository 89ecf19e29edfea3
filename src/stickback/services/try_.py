"""A question tried: shown as a student will meet it, answered, marked, and nothing recorded; or many, to be printed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from stickback.course import named
from stickback.course.asking import drawn
from stickback.course.course import PHRASEOLOGIES, Course, Lesson, Question, Sheet, applies
from stickback.formulas import draw
from stickback.kinds.shown import Compared, Mark, Point, Shown, Unclear
from stickback.refused import Refused


@dataclass(frozen=True, kw_only=True)
class Trial:
    """A question put under a seed.

    Args:
        values: of the aeroplane, those drawn, and those set in their place.
    """

    question: Question
    sheet: Sheet
    seed: int
    values: Mapping[str, str]
    shown: Shown

    @property
    def answer(self) -> tuple[Point, ...]:
        """What is right."""
        return self.question.body.answer(self.seed, self.values)


@dataclass(frozen=True)
class Tried:
    """An answer held against a question; without a mark where it is none.

    Args:
        typed: as it was given.
        why: what was not understood of it.
    """

    typed: str
    mark: Mark | None = None
    compared: Compared | None = None
    why: str = ""


def trial(
    course: Course,
    name: str,
    *,
    aircraft: str | None = None,
    phraseology: str | None = None,
    seed: int = 0,
    fixed: Mapping[str, str] | None = None,
) -> Trial:
    """A question as it is met on an aeroplane.

    Args:
        aircraft: id of a sheet; None takes the first on which it is asked.
        seed: of what is drawn and shuffled; where a draw has no answer the next one that has.
        fixed: values put in the place of those drawn, or of the sheet's.
    Errors: Refused for what the course does not have, and where nothing can be drawn.
    """
    question = _question(course, name)
    if phraseology is not None and question.only.get("phraseology", phraseology) != phraseology:
        raise Refused(f"The question '{name}' is asked only under {question.only['phraseology']}.")
    sheet = _sheet(course, question, aircraft)
    instead, sheet = _set(question, sheet, fixed or {})
    if (found := drawn(question, seed, sheet, instead)) is None:
        said = ", ".join(f"{key} {value}" for key, value in (fixed or {}).items())
        if said:
            raise Refused(f"The question '{name}' has no answer with {said}.")
        raise Refused(f"The question '{name}' has no answer for what is drawn.", "`stickback check` says why")
    seed, values = found
    shown = question.body.show(seed, values)
    return Trial(question=question, sheet=sheet, seed=seed, values=values, shown=shown)


def _question(course: Course, name: str) -> Question:
    if name not in course.questions:
        lacks = f"The course has no question '{name}' that can be asked"
        if near := get_close_matches(name, list(course.questions), 1):
            raise Refused(f"{lacks}; did you mean '{near[0]}'?")
        raise Refused(f"{lacks}.", "`stickback check` lists them")
    return course.questions[name]


def _sheet(course: Course, question: Question, name: str | None) -> Sheet:
    """The sheet asked for, or the first on which a question is asked."""
    wanted = [named.sheet(course, name)] if name is not None else list(course.sheets.values())
    for sheet in wanted:
        for rules in PHRASEOLOGIES:
            if applies(question, {**sheet.values, "phraseology": rules, "rules": rules}):
                return sheet
    raise Refused(f"The question '{question.id}' is never asked on {name or 'an aeroplane of this course'}.")


def _set(question: Question, sheet: Sheet, fixed: Mapping[str, str]) -> tuple[dict[str, str], Sheet]:
    """What is set in the place of what is drawn, and the sheet with what is set in the place of its own."""
    drawn = {name: value for name, value in fixed.items() if name in question.draws.lists}
    others = {name: value for name, value in fixed.items() if name not in drawn}
    for name in others:
        if name in question.draws.defines:
            raise Refused(f"'{name}' is worked out from other values: set those.")
        if name not in sheet.values:
            names = ", ".join(sorted(question.draws.lists)) or "nothing"
            raise Refused(f"Neither the question nor the sheet has a value '{name}'; drawn: {names}.")
    return drawn, replace(sheet, values={**sheet.values, **others})


def tried(one: Trial, typed: str) -> Tried:
    """What an answer would be worth."""
    body = one.question.body
    given = body.understand(typed, one.values)
    if isinstance(given, Unclear):
        return Tried(typed, why=given.why)
    return Tried(typed, body.mark(one.seed, given, one.values), body.compare(one.seed, given, one.values))


def as_data(one: Trial, answer: Tried) -> dict[str, Any]:
    """An answer with its mark as plain values."""
    if answer.mark is None:
        said = f"not understood: {answer.why}; give {one.shown.expects}"
        return {"given": answer.typed, "right": False, "score": 0.0, "remarks": [said], "understood": False}
    mark = answer.mark
    remarks, score = list(mark.remarks), round(mark.score, 6)
    return {"given": answer.typed, "right": mark.right, "score": score, "remarks": remarks, "understood": True}


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
    found = named.section(course, name)
    topics = {topic.id for topic in found.topics} if isinstance(found, Lesson) else {found.id}
    first = named.first_sheet(course)
    sheet = named.sheet(course, aircraft) if aircraft else first
    wanted = [one for one in course.applicable(sheet, phraseology).values() if one.topic in topics]
    if not wanted:
        raise Refused(f"Nothing in '{name}' is asked on the {sheet.name} by the {phraseology} phraseology.")
    trials = (trial(course, one.id, aircraft=sheet.id, seed=draw.number(seed, one.id)) for one in wanted)
    return Handout(found.title, sheet, tuple(trials))
