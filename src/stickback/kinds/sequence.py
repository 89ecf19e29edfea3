"""Sequence: steps put in their order; right when the order is exact."""

import math
from dataclasses import dataclass
from itertools import pairwise
from string import ascii_lowercase

from stickback.formulas import draw
from stickback.kinds.protocol import Mark, Part, Point, Reading, Shown, Values
from stickback.reading.problem import Problem

NAME = "sequence"
LEAST, MOST = 3, 8  # steps


@dataclass(frozen=True)
class Sequence:
    """The body of a sequence question: the steps in their right order."""

    steps: tuple[str, ...]


def reads(part: Part) -> bool:
    """An `### Answer` that begins with an ordered list."""
    section = part.parts.get("answer")
    return bool(section and section.blocks and section.blocks[0].kind == "numbers")


def parse(part: Part) -> Reading:
    """The steps, one line each."""
    first, *more = part.parts["answer"].blocks
    steps = tuple(" ".join(item.children[0].text.split()) if item.children else "" for item in first.children)
    extra = [*more, *(child for item in first.children for child in item.children[1:])]
    extra += [item for item in first.children if item.children and item.children[0].kind != "paragraph"]
    if extra:
        message, code = "This is not read: the answer is one numbered list, each step one paragraph.", "answer-form"
        line, hint = min(block.line for block in extra), "put it into the list as a step, or under `### Why`"
    elif not LEAST <= len(steps) <= MOST:
        message, code = f"A sequence has {LEAST} to {MOST} steps, this one has {len(steps)}.", "sequence-steps"
        line, hint = first.line, "join or split steps, or make it two questions"
    elif len(set(steps)) < len(steps) or "" in steps:
        message, code = "Two steps read the same, or one is empty.", "sequence-same"
        line, hint = first.line, "say what is different about each"
    else:
        return Sequence(steps), part.prompt, []
    return None, part.prompt, [Problem(part.file, line, 1, code, message, hint)]


def _body(body: object) -> Sequence:
    assert isinstance(body, Sequence)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def describe(body: object) -> str:
    """How many steps."""
    return f"{len(_body(body).steps)} steps"


def chance(body: object) -> float:
    """One order of all there are."""
    return 1 / math.factorial(len(_body(body).steps))


def _order(body: object, seed: int) -> list[int]:
    """Places of the steps as shown; never in the right order already."""
    count = len(_body(body).steps)
    shown = draw.order(count, seed)
    return shown if shown != sorted(shown) else [*shown[1:], shown[0]]


def present(body: object, seed: int, values: Values) -> Shown:
    """The steps, shuffled by the seed."""
    steps = _body(body).steps
    return Shown("order", tuple(steps[place] for place in _order(body, seed)))


def understand(body: object, text: str) -> str | None:
    """Every letter once, in the order meant: `c a b`."""
    letters = [char for char in text.casefold() if char not in " \t,;-"]
    wanted = ascii_lowercase[: len(_body(body).steps)]
    return " ".join(letters) if sorted(letters) == sorted(wanted) else None


def expects(body: object) -> str:
    """Which letters."""
    last = ascii_lowercase[len(_body(body).steps) - 1]
    return f"the letters a to {last} in the right order"


def mark(body: object, seed: int, given: str, values: Values) -> Mark:
    """Right when the order is exact; the score is the share of neighbours that follow each other rightly."""
    shown = _order(body, seed)
    order = [shown[ascii_lowercase.index(letter)] for letter in given.split()]
    pairs = sum(after == before + 1 for before, after in pairwise(order))
    right = order == sorted(order)
    return Mark(right, pairs / (len(order) - 1), () if right else (_picture(order),))


def _picture(order: list[int]) -> str:
    """The order given, by the right numbers of its steps, those in place marked: `2 4 6 1 (5) 3`."""
    shown = " ".join(f"({step + 1})" if step == place else str(step + 1) for place, step in enumerate(order))
    return f"Yours, by the right numbers: {shown}." + (" In brackets what is in place." if "(" in shown else "")


def answer(body: object, seed: int, values: Values) -> tuple[Point, ...]:
    """The steps in their right order, with the letters they had."""
    shown = _order(body, seed)
    return tuple(Point(step, ascii_lowercase[shown.index(place)]) for place, step in enumerate(_body(body).steps))


def texts(body: object) -> tuple[str, ...]:
    """The steps."""
    return _body(body).steps
