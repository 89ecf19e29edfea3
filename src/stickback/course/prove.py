"""Proof of what is drawn: each question is tried over many draws, on every aeroplane that has its values."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from stickback.course import asking
from stickback.course.course import Question, Sheet, applies
from stickback.formulas import draw
from stickback.formulas.formula import FormulaError
from stickback.kinds.protocol import Draw, Fault
from stickback.reading import fill
from stickback.reading.problem import At, Place, Problem

FEW, MANY = 1, 120  # draws of each question on each aeroplane: when a course is read, and when it is checked
THOROUGH = 4  # draws that are tried in every way there is; the others only to be answered right
ENOUGH = 100  # questions found wrong after which no more are tried: each takes its time
TRIES = 300  # of each draw; far more are made when it is asked, so that what is proven never fails there


def problems(
    questions: Iterable[Question], sheets: Mapping[str, Sheet], times: int, lines: Mapping[str, Sequence[str]]
) -> Iterator[Problem]:
    """What is drawn for nothing, and one problem for each question that fails for some draw: an error, else a warning.

    Args:
        lines: of each file, to find the place of a key.
        times: how often each question is drawn; with 0 nothing is tried.
    """
    wrong = 0
    for question in questions if times else ():
        if wrong == ENOUGH:
            return
        yield from _idle(question, times)
        if found := _worst(each for alike in _alike(question, sheets) for each in _tried(question, alike, times)):
            wrong += found.severity == "error"
            place = _place(question, found.key, lines[question.file])
            yield Problem(At(question.file, *place), found.code, found.message, found.hint, found.severity)


def _idle(question: Question, times: int) -> Iterator[Problem]:
    """Conditions that say nothing; when a course is only read they are not looked for."""
    for condition in question.draws.where if times > FEW else ():
        if draw.idle(question.draws, condition):
            message, hint = "Every draw meets this condition.", "write what it should leave out, or delete it"
            place = question.draws.place_of(condition)
            yield Problem(At(question.file, *place), "given-idle", message, hint, "warning")


def _alike(question: Question, sheets: Mapping[str, Sheet]) -> Iterable[list[Sheet]]:
    """The aeroplanes that it may be asked on, those together that have the same values for it."""
    found: dict[str, list[Sheet]] = {}
    for sheet in sheets.values():
        if applies(question, sheet.values, abroad=True):
            found.setdefault(fill.variant(question.uses, sheet.values), []).append(sheet)
    return found.values()


def _place(question: Question, key: str, lines: Sequence[str]) -> Place:
    """Where a question says something under a key; where it does not, its heading."""
    said = re.compile(rf"[ >]*{re.escape(key)}[ \t]*:[ \t]*")
    for number in range(question.line, question.end + 1) if key else ():
        if match := said.match(lines[number - 1]):
            return number, match.end() + 1
    return question.line, 1


def _worst(found: Iterable[Fault]) -> Fault | None:
    warning = None
    for each in found:
        if each.severity == "error":
            return each
        warning = warning or each
    return warning


def _tried(question: Question, alike: Sequence[Sheet], times: int) -> Iterator[Fault]:
    """What goes wrong on some aeroplanes that are alike; they take turns, and no draw is tried twice."""
    drawn = min(times, question.body.DRAWS) if question.draws.defines else len(alike)
    possible = len(alike) * question.draws.possible
    names, tried = sorted(question.draws.defines), set[tuple[str, ...]]()
    for seed in range(drawn):
        if len(tried) == possible:
            return
        sheet = alike[seed % len(alike)]
        try:
            values = asking.values(question, seed, sheet, TRIES)
        except FormulaError as error:
            message, hint = f"Nothing can be drawn: {error.message}", "loosen `where`, or widen the lists"
            yield Fault("given-impossible", message, hint, key=error.key)
            return
        made = (sheet.id, *(values[name] for name in names))
        if made in tried:
            continue
        tried.add(made)
        words = ", ".join(f"{name} {values[name]}" for name in names)
        thorough = times > FEW and seed < max(THOROUGH, len(alike))
        yield from question.body.prove(Draw(seed, values, words or sheet.file, thorough=thorough))
