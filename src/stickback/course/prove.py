"""Proof of what is drawn: each question is tried over many draws, on every aeroplane that has its values."""

from collections.abc import Iterable, Iterator, Mapping

from stickback.course import prove_radio
from stickback.course.asked import asked_with
from stickback.course.prove_radio import Found
from stickback.course.question import Question
from stickback.course.sheet import Sheet
from stickback.formulas.formula import FormulaError
from stickback.kinds import number, radio, stick
from stickback.kinds.radio import Radio
from stickback.kinds.table import KINDS
from stickback.reading.problem import Problem, Severity

FEW, MANY = 1, 120  # draws of each question on each aeroplane: when a course is read, and when it is checked
_WARNED = frozenset({"radio-station", "radio-unasked", "radio-unmarked"})  # matters of the author's judgement
FEW_DOZENS = 20  # draws of a radio question at the most
ENOUGH = 100  # questions found wrong after which no more are tried: each takes its time
TRIES = 300  # of each draw; far more are made when it is asked, so that what is proven never fails there


def problems(questions: Iterable[Question], sheets: Mapping[str, Sheet], draws: int) -> Iterator[Problem]:
    """One problem for each question that fails for some draw, or whose slip would be marked right.

    Args:
        draws: of each question; with 0 nothing is tried.
    """
    wrong = 0
    for question in questions if draws else ():
        if wrong == ENOUGH:
            return
        if not (question.given.defines or question.kind in {number.NAME, stick.NAME, radio.NAME}):
            continue
        found = _worst(
            each for sheet in sheets.values() if _fits(question, sheet) for each in _tried(question, sheet, draws)
        )
        if found:
            code, message, hint = found
            severity: Severity = "warning" if code in _WARNED else "error"
            wrong += severity == "error"
            yield Problem(question.file, question.line, 1, code, message, hint, severity)


def _worst(found: Iterable[Found]) -> Found | None:
    """The first error; the first warning where there is none."""
    warning = None
    for each in found:
        if each[0] not in _WARNED:
            return each
        warning = warning or each
    return warning


def _fits(question: Question, sheet: Sheet) -> bool:
    """Whether it may be asked on an aeroplane; what hangs on the student instead does not matter here."""
    only = all(sheet.values.get(key, value) == value for key, value in question.only.items())
    return only and question.uses <= sheet.values.keys()


def _tried(question: Question, sheet: Sheet, draws: int) -> Iterator[Found]:
    if question.kind == radio.NAME:  # each draw is answered in a dozen ways
        draws = min(draws, FEW_DOZENS)
    for seed in range(draws if question.given.defines else 1):
        try:
            values = asked_with(question, seed, sheet, TRIES)
        except FormulaError as error:
            yield "given-impossible", f"Nothing can be drawn: {error.message}", "loosen `where`, or widen the lists"
            return
        if isinstance(question.body, Radio):
            yield from prove_radio.problems(question.body, values, thorough=draws > FEW)
        else:
            yield from _one(question, sheet, seed, values)


def _one(question: Question, sheet: Sheet, seed: int, values: Mapping[str, str]) -> Iterator[Found]:
    """What is wrong with one draw: the answer fails, is not marked right, or a slip is."""
    if question.kind not in {number.NAME, stick.NAME}:
        return  # only the words of the others are drawn
    drawn = ", ".join(f"{name} {values[name]}" for name in sorted(question.given.defines)) or sheet.file
    try:
        point = KINDS[question.kind].answer(question.body, seed, values)[0]
        right = KINDS[question.kind].mark(question.body, seed, point.text, values).right
        slips = number.slipped(question.body, values) if question.kind == number.NAME else ""
    except (FormulaError, ValueError, KeyError) as error:
        message = f"With {drawn} the answer has no value: {error}"
        yield "number-fails", message, "leave such draws out with `where`"
        return
    if not right:
        message = f"With {drawn} the right answer '{point.text}' is not marked right."
        yield "number-fails", message, "widen the tolerance"
    if slips:
        message = f"With {drawn} the slip '{slips}' would be marked right."
        yield "number-ambiguous", message, "leave such draws out with `where`, or narrow the tolerance"
