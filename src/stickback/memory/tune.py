"""Personal memory parameters: when fitting them to a student's own answers is worth it, and when it was.

Measured on invented students (30 each): a fit to 100 to 1,000 answers predicts an average student worse than the
defaults do. So there are least numbers, and a gate: what is fitted to the earlier answers must predict the later ones
better than the defaults. Nothing here needs numpy, so that the process that fits starts quickly.
"""

import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from stickback.memory.curve import Parameters

Answer = tuple[int, int, int]  # history, day number and grade of an answer that moved the memory

LEAST_ANSWERS, LEAST_ITEMS = 500, 250
LEAST_WRONG = 30  # a judgement: of answers that are all right the library makes first intervals of a month
LONGEST = 256  # answers of a history; the library drops what is longer
PARTS = 6  # the first is only learnt from, each of the others predicted from those before it
WRONG = 1


class Item(NamedTuple):
    """An answer that can be predicted, with all of its history before it.

    Args:
        answers: grade, and days since the answer before, 0 for the first; the last answer is the one predicted.
    """

    history: int
    answers: tuple[tuple[int, int], ...]


def items(answers: Iterable[Answer]) -> Iterator[Item]:
    """What can be predicted: an item for each answer at least a day after another of its history, in the order given.

    Args:
        answers: in the order of their days, since later items weigh more in a fit.
    """
    so_far: dict[int, tuple[tuple[int, int], ...]] = {}
    last: dict[int, int] = {}
    for history, day, grade in answers:
        before = so_far.get(history, ())
        if len(before) == LONGEST:
            continue
        gap = day - last.get(history, day)
        so_far[history], last[history] = (*before, (grade, gap)), day
        if gap >= 1:
            yield Item(history, so_far[history])


def tested(found: Sequence[Item]) -> Sequence[Item]:
    """The items that are predicted before they are learnt from."""
    return found[len(found) // PARTS :]


def short_of(answers: Sequence[Answer]) -> str:
    """What is still missing for a fit to these answers, as the end of a sentence; empty when nothing is."""
    wrong = [item.answers[-1][0] == WRONG for item in items(answers)]
    for what, least, there in (
        ("graded answers", LEAST_ANSWERS, len(answers)),
        ("answers to a question met on an earlier day", LEAST_ITEMS, len(wrong)),
        ("wrong answers to a question met on an earlier day", LEAST_WRONG, sum(wrong)),
    ):
        if there < least:
            return f"needs {least} {what}, has {there}"
    return ""


def due_at(tried: int) -> int:
    """At how many graded answers a fit is due, after one at `tried` (0 for never): at each doubling."""
    return max(LEAST_ANSWERS, 2 * tried)


def due(answers: int, tried: int) -> bool:
    """Whether a fit is due."""
    return answers >= due_at(tried)


@dataclass(frozen=True)
class Fit:
    """What a fit came to.

    Args:
        parameters: the set fitted; empty where the gate refused it.
        defaults, fitted: mean log loss over the items tested, of the defaults and of sets fitted to what came before.
        tested: how many items that were.
    """

    parameters: "Parameters"
    defaults: float
    fitted: float
    tested: int

    @property
    def sharper(self) -> float:
        """By which share predictions got better on answers not seen before; negative when they got worse."""
        return 1 - self.fitted / self.defaults

    @property
    def better(self) -> bool:
        """Whether the gate lets it pass."""
        return self.fitted < self.defaults


def request(answers: Sequence[Answer], defaults: "Parameters") -> str:
    """What the process that fits is told."""
    return json.dumps({"answers": answers, "defaults": defaults}, separators=(",", ":"))


def understood(reply: str) -> Fit:
    """What the process that fits replied.

    Errors: ValueError when that is no fit.
    """
    row = json.loads(reply)
    try:
        fit = Fit(tuple(map(float, row["parameters"])), float(row["defaults"]), float(row["fitted"]), row["tested"])
    except (KeyError, TypeError, OverflowError):
        raise ValueError("no fit") from None
    if not all(map(math.isfinite, (*fit.parameters, fit.defaults, fit.fitted))) or fit.defaults <= 0:
        raise ValueError("a fit without an end")
    if fit.better and not fit.parameters:
        raise ValueError("a fit without parameters")
    return fit
