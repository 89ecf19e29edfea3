"""Past: what one student's log holds, entry by entry, as studying needs it; its answers as arrays, and their fold."""

from bisect import bisect_left, bisect_right
from collections import ChainMap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import attrgetter
from typing import Any, NamedTuple

import numpy as np

from stickback import clock
from stickback.memory import curve
from stickback.memory.columns import Columns
from stickback.memory.curve import DEFAULTS, Flags, Floats, Parameters
from stickback.memory.entry import Entry
from stickback.memory.fold import Misbelief

History = tuple[str, str]  # the name of a question in the log, and its variant


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

    @property
    def history(self) -> History:
        """What was asked, of an answer."""
        return self.question or "", self.variant or ""

    @classmethod
    def of_entry(cls, entry: Entry) -> "Row":
        """What studying looks at of an entry."""
        values = {name: getattr(entry, name) for name in cls._fields}
        return cls(**{**values, "day": clock.day_number(entry.day)})


class Remembered(NamedTuple):
    """The memory of a history; `moved_on` is the day number of the last answer that moved it."""

    stability: float
    difficulty: float
    moved_on: int


@dataclass(frozen=True)
class Past:
    """A student's log up to some day, in the order of (study day, id), and the parameters adopted for its memory."""

    rows: tuple[Row, ...]
    parameters: Parameters = DEFAULTS

    @cached_property
    def voided(self) -> frozenset[str]:
        """Ids that some entry voids; a void may stand before what it voids."""
        return frozenset(row.voids for row in self.rows if row.what == "void" and row.voids)

    @cached_property
    def by_id(self) -> ChainMap[str, Row]:
        """Every row by its id: those added since the log was read, before those that were read."""
        return ChainMap({}, {row.id: row for row in self.rows})

    @cached_property
    def by_question(self) -> dict[str, tuple[Row, ...]]:
        """The rows of each question, or of what else an entry names."""
        found: dict[str, list[Row]] = {}
        for row in self.rows:
            found.setdefault(row.question or "", []).append(row)
        return {question: tuple(rows) for question, rows in found.items()}

    @cached_property
    def answers(self) -> tuple[Row, ...]:
        """All answers, voided ones included."""
        return tuple(row for row in self.rows if row.what == "answer")

    @cached_property
    def graded(self) -> tuple[Row, ...]:
        """Answers that move the memory: not voided, and the first of their history on their day."""
        return tuple(self.answers[at] for at in sorted(self.columns.moving.tolist()))

    @cached_property
    def variants(self) -> dict[str, frozenset[str]]:
        """Variants of each question that an answer which moved the memory was given to."""
        found: dict[str, set[str]] = {}
        for row in self.graded:  # of one question nothing needs to be folded for this
            found.setdefault(row.question or "", set()).add(row.variant or "")
        return {question: frozenset(variants) for question, variants in found.items()}

    @cached_property
    def ever_wrong(self) -> frozenset[str]:
        """Questions with a wrong answer among those that moved the memory."""
        return frozenset(question for question, _ in self._where(self.columns.memory.ever_wrong))

    def _where(self, holds: Flags) -> list[History]:
        """The histories of which something holds; shape (1, histories)."""
        histories = list(self.columns.histories)
        return [histories[at] for at in np.flatnonzero(holds[0]).tolist()]

    @cached_property
    def last_day(self) -> int | None:
        """Day number of the last answer that is not voided."""
        return max((row.day for row in self.answers if row.id not in self.voided), default=None)

    def of(self, question: str) -> "Past":
        """What happened to one question: much quicker to fold than all."""
        return self.only(question).under(self.own)

    def only(self, question: str) -> "Past":
        """What happened to one question, where it matters not how it is remembered."""
        voids = self.by_question.get("", ())  # a void names no question
        return self._with((*self.by_question.get(question, ()), *voids))

    def before(self, day: int) -> "Past":
        """What happened before a day; voids count whenever they came."""
        return self._with(row for row in self.rows if row.day < day or row.what == "void")

    def ahead_of(self, row: Row) -> "Past":
        """What happened before an answer; voids count whenever they came."""
        if row is self.rows[-1]:
            return self._last_left_out
        return self._with(one for one in self.rows if (one.day, one.id) < (row.day, row.id) or one.what == "void")

    @cached_property
    def _last_left_out(self) -> "Past":
        return self._with(self.rows[:-1])

    def after(self, row: Row) -> "Past":
        """What happened with one thing more; a row that is there already changes nothing."""
        if row.id in self.by_id:
            return self
        name, (added, read) = row.question or "", self.by_id.maps
        of_question = _put(self.by_question.get(name, ()), row)
        found = self._with(_put(self.rows, row))._knowing(
            by_id=ChainMap({**added, row.id: row}, read), by_question={**self.by_question, name: of_question}
        )
        if row.what == "answer":
            answered = found._columns([row], self.voided, dict(self.columns.histories))
            columns = self.columns.plus(answered, _place(self.answers, row))
            found._knowing(voided=self.voided, answers=_put(self.answers, row), columns=columns)
            if found.rows[-1] is row:
                found._knowing(_last_left_out=self._alone())
        return found

    def _alone(self) -> "Past":
        """The same without the one before it: else every answer of a sitting would hold all those before."""
        return replace(self)._knowing(**{name: each for name, each in vars(self).items() if name != "_last_left_out"})

    def _knowing(self, **found: object) -> "Past":
        """This past, which need not walk through the whole log for what its cached properties would find.

        A cached property looks into the `__dict__` of its instance before it works anything out, so that is where they
        are put. As fields they would be made for every past, and most are never asked for all of them.
        """
        self.__dict__.update(found)
        return self

    def under(self, parameters: Parameters) -> "Past":
        """The same remembered under other parameters."""
        return replace(self, parameters=parameters)

    def _with(self, rows: Iterable[Row]) -> "Past":
        """With some of the rows, or more; with all of them it stays the same, and what was worked out stays too."""
        kept = tuple(rows)
        return self if len(kept) == len(self.rows) else replace(self, rows=kept)

    def on(self, day: int) -> tuple[Row, ...]:
        """The answers of one day, voided ones included."""
        low = bisect_left(self.answers, day, key=lambda row: row.day)
        high = bisect_right(self.answers, day, key=lambda row: row.day)
        return self.answers[low:high]

    @cached_property
    def columns(self) -> Columns:
        """All answers as arrays."""
        return self._columns(self.answers, self.voided, {})

    def _columns(self, answers: Sequence[Row], voided: frozenset[str], index: dict[History, int]) -> Columns:
        """Some answers as arrays; histories that are not in the index are added to it."""
        # All rows at once: that is much quicker than row by row, and today's first screen waits for it.
        turned: Iterable[Sequence[Any]] = zip(*answers, strict=True) if answers else [()] * len(Row._fields)
        each = dict(zip(Row._fields, turned, strict=True))
        pairs = zip(each["question"], each["variant"], strict=True)
        history = [index.setdefault((question or "", variant or ""), len(index)) for question, variant in pairs]
        confidence = np.array(each["confidence"], dtype=np.str_)
        taken_back = [name in voided for name in each["id"]] if voided else False
        return Columns(
            histories=index,
            student=np.zeros(len(history), dtype=np.int64),
            history=np.array(history, dtype=np.int64),
            day=np.array(each["day"], dtype=np.int64),
            grade=curve.grade(right=each["right"], confidence=confidence, hinted=each["hinted"], voided=taken_back),
            sure=confidence == "sure",
            parameters=(self.parameters,),
            seconds=np.nan_to_num(np.array(each["seconds"], dtype=np.float64)),
        )

    @property
    def own(self) -> Parameters:
        """The parameters that the memory follows: the adopted ones, or what second answers make of the library's."""
        return self.columns.own[0]

    def recall(self, histories: Sequence[History], day: int) -> Floats:
        """Chance of a right answer on a day, 0 to 1; nan where nothing was answered yet; shape (histories,)."""
        at = np.array([self.columns.histories.get(history, -1) for history in histories], dtype=np.int64)
        if not self.columns.histories or not len(at):
            return np.full(len(at), np.nan)
        memory = self.columns.memory
        elapsed = np.maximum(day - memory.moved_on[0, at], 0)
        return np.where(at >= 0, curve.recall(memory.stability[0, at], elapsed, self.own), np.nan)

    def state(self, history: History) -> Remembered | None:
        """The memory of a history; None where no answer moved it."""
        at, memory = self.columns.histories.get(history), self.columns.memory
        if at is None or np.isnan(memory.stability[0, at]):
            return None
        return Remembered(float(memory.stability[0, at]), float(memory.difficulty[0, at]), int(memory.moved_on[0, at]))

    @cached_property
    def misbeliefs(self) -> dict[History, Misbelief]:
        """Those that are still open, oldest first."""
        memory, histories = self.columns.memory, self.columns.histories
        found = [
            Misbelief(one, int(memory.wrong_and_sure[0, at]), int(memory.mended[0, at]))
            for one in self._where(memory.misbelief)
            for at in [histories[one]]
        ]
        return {one.history: one for one in sorted(found, key=lambda one: one.day)}


_order = attrgetter("day", "id")


def _place(rows: tuple[Row, ...], row: Row) -> int:
    """Where a row belongs: nearly always behind the others, unless it was begun before the last and ended after it."""
    return bisect_right(rows, _order(row), key=_order)


def _put(rows: tuple[Row, ...], row: Row) -> tuple[Row, ...]:
    """With a row more; the parts put together are twice as quick as a long tuple made anew."""
    at, one = _place(rows, row), (row,)
    return rows[:at] + one + rows[at:]


def past(rows: Iterable[Row]) -> Past:
    """A past from rows in any order; rows with the same id are one."""
    return Past(tuple(sorted({row.id: row for row in rows}.values(), key=_order)))
