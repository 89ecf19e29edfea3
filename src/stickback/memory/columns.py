"""The answers of one student or of a school as arrays, and the memory folded from them: the one way from log to memory.

Axes: answers; students; histories, the (question, variant) pairs that occur.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from stickback.memory import curve, early, fold
from stickback.memory.curve import DEFAULTS, Flags, Floats, Ints, Parameters

_ARRAYS = ("student", "history", "day", "grade", "sure")


class Foretold(NamedTuple):
    """Chances of right answers that were told before they were given, oldest first, and what came of them."""

    chance: Floats
    right: Flags


class Expected(NamedTuple):
    """The same by the student's own parameters, and the days since the answer before of that history."""

    chance: Floats
    right: Flags
    elapsed: Ints


@dataclass(frozen=True, kw_only=True)
class Memory:
    """What the answers of some students leave; shape (students, histories) where nothing else is said.

    Args:
        stability, difficulty, moved_on: after the last answer that moved it, by the student's own parameters; nan
            and -1 where none did.
        plain: the stability by the parameters adopted for the student alone, as the memory library gives it.
        answered_on: day number of the last answer, practice too; -1 where none was.
        wrong_and_sure: day number of the last wrong and sure answer, -1 where none was; `mended`, days right since.
        first_grade, last_grade: of the first and the last answer that moved it; 0 where none did.
        ever_wrong: whether any answer that moved it was wrong.
        answers: how many moved it.
        known_before: the chance that it was known before it was asked.
        expected, foretold: of each student, of every answer that moved a history but its first, what the student's own
            parameters and what the adopted ones said; shape (students,).
        parameters: of each student's own memory; shape (students,).
    """

    stability: Floats
    difficulty: Floats
    moved_on: Ints
    plain: Floats
    answered_on: Ints
    wrong_and_sure: Ints
    mended: Ints
    first_grade: Ints
    last_grade: Ints
    ever_wrong: Flags
    answers: Ints
    known_before: Floats
    expected: tuple[Expected, ...]
    foretold: tuple[Foretold, ...]
    parameters: tuple[Parameters, ...]

    @property
    def misbelief(self) -> Flags:
        """Whether a wrong and sure answer is open."""
        return (self.wrong_and_sure >= 0) & (self.mended < fold.DAYS_TO_MEND)


@dataclass(frozen=True, kw_only=True)
class Columns:
    """The answers of some students as arrays, sorted by student and id.

    Args:
        histories: (question, variant) that occur, numbered by their place.
        student: of each answer, a place among the students asked for; `history`, a number of `histories`.
        day: day number; `grade`, 1 to 3 or `VOIDED`, as in `curve`.
        sure: given as `sure`.
        parameters: adopted for the memory of each student asked for.
        seconds: that each answer took; empty where they were not read.
    """

    histories: dict[tuple[str, str], int]
    student: Ints
    history: Ints
    day: Ints
    grade: Ints
    sure: Flags
    parameters: tuple[Parameters, ...]
    seconds: Floats = field(default_factory=lambda: np.zeros(0))

    def until(self, days: Ints) -> "Columns":
        """What was there on a day: the answers of each student up to a day of the student's own; shape (students,).

        Errors: ValueError where there are not as many days as students.
        """
        kept = self.day <= days.reshape(len(self.parameters))[self.student]
        seconds = self.seconds[kept] if len(self.seconds) else self.seconds
        return replace(self, **{name: getattr(self, name)[kept] for name in _ARRAYS}, seconds=seconds)

    def plus(self, more: "Columns", at: int) -> "Columns":
        """The same with further answers put in at a place, whose histories are numbered alike."""
        arrays: dict[str, Any] = {
            name: np.concatenate([getattr(self, name)[:at], getattr(more, name), getattr(self, name)[at:]])
            for name in (*_ARRAYS, "seconds")
        }
        return replace(self, histories=more.histories, **arrays)

    @property
    def shape(self) -> tuple[int, int]:
        """How many students and histories."""
        return len(self.parameters), len(self.histories)

    @cached_property
    def cell(self) -> Ints:
        """The cell of each answer: its (student, history) as one number, which is a history to `fold`."""
        return self.student * len(self.histories) + self.history

    @cached_property
    def moving(self) -> Ints:
        """The answers that moved a memory, sorted by student, history and day."""
        at = fold.first_of_day(self.cell, self.day)
        return np.asarray(at[self.grade[at] != curve.VOIDED])

    @cached_property
    def memory(self) -> Memory:
        """The fold over all of it."""
        cell, day, grade = (each[self.moving] for each in (self.cell, self.day, self.grade))
        cells = self.shape[0] * self.shape[1]
        plain, told = _folded(cell, day, grade, self.shape, self.parameters)
        own = self.own
        changed = {at for at, (w, adopted) in enumerate(zip(own, self.parameters, strict=True)) if w != adopted}
        state, expected = _folded(cell, day, grade, self.shape, own, changed, (plain, told))
        opened, mended = fold.misbelieved(self.cell, self.day, self.grade, self.sure, cells)
        answered_on = np.full(cells, -1, dtype=np.int64)
        counts = self.grade != curve.VOIDED
        np.maximum.at(answered_on, self.cell[counts], self.day[counts])
        first = _at_the(cell, grade, cells, last=False).reshape(self.shape)
        later = ~np.isnan(told)
        right = grade != curve.WRONG
        elapsed = np.diff(day, prepend=0)
        return Memory(
            stability=state.stability.reshape(self.shape),
            difficulty=state.difficulty.reshape(self.shape),
            moved_on=state.moved_on.reshape(self.shape),
            plain=plain.stability.reshape(self.shape),
            answered_on=answered_on.reshape(self.shape),
            wrong_and_sure=opened.reshape(self.shape),
            mended=mended.reshape(self.shape),
            first_grade=first,
            last_grade=_at_the(cell, grade, cells, last=True).reshape(self.shape),
            ever_wrong=(np.bincount(cell[grade == curve.WRONG], minlength=cells) > 0).reshape(self.shape),
            answers=np.bincount(cell, minlength=cells).reshape(self.shape),
            known_before=early.known_before(first, cell[later], told[later], right[later]),
            expected=tuple(Expected(*each) for each in self._by_student(expected, right, elapsed)),
            foretold=tuple(Foretold(*each) for each in self._by_student(told, right)),
            parameters=own,
        )

    @cached_property
    def own(self) -> tuple[Parameters, ...]:
        """The parameters of each student's memory: the adopted ones, or the library's as far as second answers say."""
        cell, day, grade = (each[self.moving] for each in (self.cell, self.day, self.grade))
        head = np.diff(cell, prepend=-1) != 0
        second = np.flatnonzero(head[:-1] & ~head[1:]) + 1
        second = second[grade[second - 1] != curve.WRONG]
        found = early.stretches(
            cell[second] // max(self.shape[1], 1),
            day[second] - day[second - 1],
            grade[second - 1],
            grade[second] != curve.WRONG,
            len(self.parameters),
        )
        amounts = zip(self.parameters, found.tolist(), strict=True)
        return tuple(early.stretched(w, amount) if w == DEFAULTS else w for w, amount in amounts)

    def _by_student(self, *of_moving: npt.NDArray[Any]) -> Iterator[Any]:
        """Values of the answers that moved a history but its first, for each student in the order of their ids."""
        place = np.full(len(self.day), -1)
        place[self.moving] = np.where(np.isnan(of_moving[0]), -1, np.arange(len(self.moving)))
        later = np.flatnonzero(place >= 0)
        bounds = np.searchsorted(self.student[later], np.arange(len(self.parameters) + 1))
        columns = [each[place[later]] for each in of_moving]
        return (tuple(each[low:high] for each in columns) for low, high in pairwise(bounds))


def _folded(
    cell: Ints,
    day: Ints,
    grade: Ints,
    shape: tuple[int, int],
    parameters: Sequence[Parameters],
    students: set[int] | None = None,
    start: tuple[fold.State, Floats] | None = None,
) -> tuple[fold.State, Floats]:
    """The memory of every cell and the chance told of every answer; those with the same parameters folded together.

    Args:
        students: those folded; `start`, what all others have.
    """
    state, chance = start or (fold.nothing(shape[0] * shape[1]), np.full(len(cell), np.nan))
    state, chance = fold.State(*(each.copy() for each in vars(state).values())), chance.copy()
    bounds = np.searchsorted(cell, np.arange(shape[0] + 1) * shape[1])
    for w, members in by_parameters(parameters).items():
        mine = [np.arange(bounds[one], bounds[one + 1]) for one in members if students is None or one in students]
        if mine:
            at = np.concatenate(mine)
            found, chance[at] = fold.follow(cell[at], day[at], grade[at], w)
            folded = cell[at][np.diff(cell[at], prepend=-1) != 0]
            state.stability[folded], state.difficulty[folded], state.moved_on[folded] = (
                found.stability,
                found.difficulty,
                found.moved_on,
            )
    return state, chance


def by_parameters(parameters: Sequence[Parameters]) -> dict[Parameters, list[int]]:
    """The places of students who have the same parameters, by these."""
    groups: dict[Parameters, list[int]] = {}
    for student, w in enumerate(parameters):
        groups.setdefault(w, []).append(student)
    return groups


def _at_the(cell: Ints, values: Ints, cells: int, *, last: bool) -> npt.NDArray[np.int64]:
    """The value at the first or last answer of each cell, 0 where there is none; answers are sorted by cell and day."""
    found = np.zeros(cells, dtype=np.int64)
    edge = np.diff(cell, append=-1) != 0 if last else np.diff(cell, prepend=-1) != 0
    found[cell[edge]] = values[edge]
    return found
