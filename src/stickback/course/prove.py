"""Proof of what is drawn: each question is tried over many draws, on every aeroplane that has its values."""

from collections.abc import Iterable, Iterator, Mapping

from stickback.course.question import Question
from stickback.course.sheet import Sheet
from stickback.kinds import number, stick
from stickback.kinds.table import KINDS
from stickback.problem import Problem
from stickback.values import given
from stickback.values.formula import FormulaError

DRAWS = 120  # of each question on each aeroplane


def problems(questions: Iterable[Question], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """One problem for each question that fails for some draw, or whose slip would be marked right."""
    for question in questions:
        if not (question.given.defines or question.kind in {number.NAME, stick.NAME}):
            continue
        fitting = [sheet for sheet in sheets.values() if question.uses <= sheet.values.keys()]
        found = next((wrong for sheet in fitting for wrong in _tried(question, sheet)), None)
        if found:
            code, message, hint = found
            yield Problem(question.file, question.line, 1, code, message, hint)


def _tried(question: Question, sheet: Sheet) -> Iterator[tuple[str, str, str]]:
    for seed in range(DRAWS if question.given.defines else 1):
        try:
            values = {**sheet.values, **given.drawn(question.given, seed, sheet.values)}
        except FormulaError as error:
            yield "given-impossible", f"Nothing can be drawn: {error.message}", "loosen `where`, or widen the lists"
            return
        yield from _one(question, sheet, seed, values)


def _one(question: Question, sheet: Sheet, seed: int, values: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """What is wrong with one draw: the answer fails, is not marked right, or a slip is."""
    drawn = ", ".join(f"{name} {values[name]}" for name in sorted(question.given.defines)) or sheet.file
    try:
        point = KINDS[question.kind].answer(question.body, seed, values)[0]
        right = KINDS[question.kind].mark(question.body, seed, point.text, values).right
        slips = number.slipped(question.body, values) if question.kind == number.NAME else ""
    except (FormulaError, ValueError, KeyError) as error:
        message = f"With {drawn} the answer has no value: {error}"
        yield "number-fails", message, "leave such draws out with `where`"
        return
    if question.kind in {number.NAME, stick.NAME} and not right:
        yield (
            "number-fails",
            f"With {drawn} the right answer '{point.text}' is not marked right.",
            "widen the tolerance",
        )
    if slips:
        message = f"With {drawn} the slip '{slips}' would be marked right."
        yield "number-ambiguous", message, "leave such draws out with `where`, or narrow the tolerance"
