"""A question as it is asked: its values, which are those of the aeroplane and those drawn for one asking."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from stickback.course.course import PHRASEOLOGIES, Question, Sheet
from stickback.formulas import draw
from stickback.formulas.formula import FormulaError
from stickback.kinds.shown import Compared
from stickback.radio import callsign
from stickback.reading import text as texts

REDRAWS = 20  # seeds that are tried before a question is given up


class Drawn(NamedTuple):
    """The values of one asking, and the seed under which they were drawn."""

    seed: int
    values: dict[str, str]


def values(
    question: Question,
    seed: int,
    sheet: Sheet,
    tries: int = draw.TRIES,
    fixed: Mapping[str, str] = MappingProxyType({}),
) -> dict[str, str]:
    """The values of one asking; the callsign is shortened as the question's phraseology does it.

    Args:
        fixed: values in the place of those drawn.
    Errors: FormulaError when nothing that meets the conditions is drawn in so many tries.
    """
    rules = question.only.get("phraseology", PHRASEOLOGIES[1])
    signs = callsign.signs(sheet.values.get("callsign", ""), rules, sheet.name)
    draws = question.draws
    if fixed:
        draws = replace(draws, lists={**draws.lists, **{key: (text,) for key, text in fixed.items()}})
    return {**sheet.values, **signs, **draw.values(draws, seed, sheet.values, tries)}


def drawn(question: Question, seed: int, sheet: Sheet, fixed: Mapping[str, str] = MappingProxyType({})) -> Drawn | None:
    """What is drawn under the first seed from this one on that gives an answer; None where none is near.

    In a course that was checked it is the first one.

    Args:
        fixed: values in the place of those drawn.
    """
    for tried in range(seed, seed + REDRAWS):
        try:
            found = Drawn(tried, values(question, tried, sheet, fixed=fixed))
            question.body.answer(*found)  # raises where these values have none
        except (FormulaError, ValueError, KeyError):
            continue
        return found
    return None


def in_words(compared: Compared, values: Mapping[str, str]) -> str:
    """The answer given, for where its options are not to be seen any more and their letters mean nothing."""
    return texts.line(compared.later, values) if compared.later else compared.said


def undrawn(question: Question, sheet: Sheet) -> dict[str, str]:
    """The values of no asking: what is drawn anew for each is left open."""
    return {**sheet.values, **dict.fromkeys(question.draws.defines, "…")}


def titled(question: Question, sheet: Sheet) -> str:
    """A question as a list shows it."""
    return texts.line(question.title, undrawn(question, sheet))
