"""Past: what a student's log holds, as the columns that studying needs, and the memory folded from it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from stickback.memory import curve, fold
from stickback.memory.curve import DEFAULTS, Floats, Ints, Parameters
from stickback.memory.fold import State

History = tuple[str, str]  # question and variant


class Row(NamedTuple):
    """The columns of an entry that studying looks at; `day` is a day number, what does not apply is None."""

    id: str
    what: str
    day: int
    question: str | None
    variant: str | None
    kind: str | None
    given: str | None
    confidence: str | None
    hinted: bool | None
    right: bool | None
    seconds: float | None
    voids: str | None
    marked_by: str | None = None
    aircraft: str | None = None


@dataclass(frozen=True)
class Memory:
    """What is remembered of each history, under a student's parameters."""

    index: dict[History, int]
    state: State
    parameters: Parameters = DEFAULTS

    def recall(self, histories: Sequence[History], day: int) -> Floats:
        """Chance of a right answer on a day, 0 to 1; nan where nothing was answered yet; shape (histories,)."""
        at = np.array([self.index.get(history, -1) for history in histories], dtype=np.int64)
        if not len(self.index) or not len(at):
            return np.full(len(at), np.nan)
        elapsed = np.maximum(day - self.state.day[at], 0)
        return np.where(at >= 0, curve.recall(self.state.stability[at], elapsed, self.parameters), np.nan)

    def before(self, history: History) -> tuple[float, float, int] | None:
        """Stability, difficulty and day number of the last answer that moved a history; None when there is none."""
        at = self.index.get(history)
        if at is None or np.isnan(self.state.stability[at]):
            return None
        return float(self.state.stability[at]), float(self.state.difficulty[at]), int(self.state.day[at])


@dataclass(frozen=True)
class Past:
    """A student's log up to some day, in the order of (study day, id), and the parameters its memory follows."""

    rows: tuple[Row, ...]
    parameters: Parameters = DEFAULTS

    @cached_property
    def voided(self) -> frozenset[str]:
        """Ids that some entry voids; a void may stand before what it voids."""
        return frozenset(row.voids for row in self.rows if row.what == "void" and row.voids)

    @cached_property
    def answers(self) -> tuple[Row, ...]:
        """All answers, voided ones included."""
        return tuple(row for row in self.rows if row.what == "answer")

    @cached_property
    def graded(self) -> tuple[Row, ...]:
        """Answers that move the memory: not voided, and the first of their history on their day."""
        seen: set[tuple[str | None, str | None, int]] = set()
        found = []
        for row in self.answers:
            key = (row.question, row.variant, row.day)
            if key not in seen and row.id not in self.voided:
                found.append(row)
            seen.add(key)
        return tuple(found)

    @cached_property
    def variants(self) -> dict[str, frozenset[str]]:
        """Variants of each question that an answer which moved the memory was given to."""
        found: dict[str, set[str]] = {}
        for row in self.graded:
            found.setdefault(row.question or "", set()).add(row.variant or "")
        return {question: frozenset(variants) for question, variants in found.items()}

    @cached_property
    def last_day(self) -> int | None:
        """Day number of the last answer that is not voided."""
        return max((row.day for row in self.answers if row.id not in self.voided), default=None)

    def of(self, question: str) -> "Past":
        """What happened to one question: much quicker to fold than all."""
        return self._with(row for row in self.rows if row.question == question or row.what == "void")

    def before(self, day: int) -> "Past":
        """What happened before a day; voids count whenever they came."""
        return self._with(row for row in self.rows if row.day < day or row.what == "void")

    def ahead_of(self, row: Row) -> "Past":
        """What happened before an answer; voids count whenever they came."""
        return self._with(one for one in self.rows if (one.day, one.id) < (row.day, row.id) or one.what == "void")

    def after(self, row: Row) -> "Past":
        """What happened with one thing more; a row that is there already changes nothing."""
        return self if any(one.id == row.id for one in self.rows) else self._with((*self.rows, row))

    def under(self, parameters: Parameters) -> "Past":
        """The same remembered under other parameters."""
        return replace(self, parameters=parameters)

    def _with(self, rows: Iterable[Row]) -> "Past":
        return replace(self, rows=tuple(rows))

    def on(self, day: int) -> tuple[Row, ...]:
        """The answers of one day, voided ones included."""
        return tuple(row for row in self.answers if row.day == day)

    @cached_property
    def index(self) -> dict[History, int]:
        """The histories that were answered at all, numbered."""
        found: dict[History, int] = {}
        for row in self.answers:
            found.setdefault((row.question or "", row.variant or ""), len(found))
        return found

    @cached_property
    def columns(self) -> tuple[Ints, Ints, Ints]:
        """History, day and grade of every answer, as the fold takes them."""
        history = [self.index[row.question or "", row.variant or ""] for row in self.answers]
        grades = worth(self.answers, self.voided)
        made = np.array([history, [row.day for row in self.answers], grades], dtype=np.int64).reshape(3, -1)
        return made[0], made[1], made[2]

    @cached_property
    def memory(self) -> Memory:
        """The fold over all of it."""
        state = fold.fold(*self.columns, fold.nothing(len(self.index)), self.parameters)
        return Memory(self.index, state, self.parameters)


def past(rows: Iterable[Row]) -> Past:
    """A past from rows in any order; rows with the same id are one."""
    return Past(tuple(sorted({row.id: row for row in rows}.values(), key=lambda row: (row.day, row.id))))


def worth(rows: Sequence[Row], voided: frozenset[str]) -> Ints:
    """The grades of answers for the fold."""
    return curve.grade(
        right=[row.right for row in rows],
        confidence=[row.confidence for row in rows],
        hinted=[row.hinted for row in rows],
        voided=[row.id in voided for row in rows],
    )
