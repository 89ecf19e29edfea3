"""The log of a whole school folded: the memory of every student, and what the model expected of every answer.

Axes: students (those asked about), histories (of the log), answers told (those that the model could predict).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from stickback.memory import curve, fold, misbelief, predict
from stickback.memory.columns import Columns
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.memory.past import History


@dataclass(frozen=True, kw_only=True)
class Folded:
    """The log of all students folded; shape (students, histories) where nothing else is said.

    Args:
        stability, day: memory after the last answer that moved it; nan and -1 where none did.
        last: day number of the last answer, practice too; -1 where none was.
        misbelief: whether a wrong and sure answer is open.
        first_grade, last_grade: of the first and the last answer that moved it; 0 where none did.
        missed: whether any answer that moved it was wrong.
        answers: how many moved it.
        told: of each student, of every answer that moved a history but its first, the chance of a right answer told
            before it was given, and what came of it, oldest first; shape (students,).
        parameters: of each student; shape (students,).
    """

    histories: dict[History, int]
    stability: Floats
    day: Ints
    last: Ints
    misbelief: Flags
    first_grade: Ints
    last_grade: Ints
    missed: Flags
    answers: Ints
    told: tuple[tuple[Floats, Flags], ...]
    parameters: tuple[Parameters, ...]


def fold_all(columns: Columns, students: int, parameters: Sequence[Parameters] | None = None) -> Folded:
    """The log of all students folded at once.

    Args:
        parameters: of the memory of each student; the library's own when None.
    """
    own = tuple(parameters) if parameters is not None else (curve.DEFAULTS,) * students
    many = len(columns.histories)
    shape, cells = (students, many), students * many
    place = columns.student * many + columns.history
    at = fold.first_of_day(place, columns.day)
    at = at[columns.grade[at] != fold.VOIDED]
    moved, day, grade = place[at], columns.day[at], columns.grade[at]
    stability, chance = _follow(moved, day, grade, many, own)
    opened, mended = misbelief.opened(place, columns.day, columns.grade, columns.sure, cells)
    last = np.full(cells, -1, dtype=np.int64)
    counts = columns.grade != fold.VOIDED
    np.maximum.at(last, place[counts], columns.day[counts])
    return Folded(
        histories=columns.histories,
        stability=stability.reshape(shape),
        day=_at_the(moved, day, cells, -1, last=True).reshape(shape),
        last=last.reshape(shape),
        misbelief=((opened >= 0) & (mended < misbelief.DAYS_TO_MEND)).reshape(shape),
        first_grade=_at_the(moved, grade, cells, 0, last=False).reshape(shape),
        last_grade=_at_the(moved, grade, cells, 0, last=True).reshape(shape),
        missed=(np.bincount(moved[grade == curve.WRONG], minlength=cells) > 0).reshape(shape),
        answers=np.bincount(moved, minlength=cells).reshape(shape),
        told=_told(columns, at, chance, students),
        parameters=own,
    )


def _follow(moved: Ints, day: Ints, grade: Ints, many: int, own: tuple[Parameters, ...]) -> tuple[Floats, Floats]:
    """Stability of every cell and chance of every answer; students with the same parameters are folded together."""
    stability, chance = np.full(len(own) * many, np.nan), np.empty(len(moved))
    bounds = np.searchsorted(moved, np.arange(len(own) + 1) * many)
    for w, members in by_parameters(own).items():
        mine = np.concatenate([np.arange(bounds[one], bounds[one + 1]) for one in members])
        found = predict.follow(moved[mine], day[mine], grade[mine], w)
        stability[found.history], chance[mine] = found.stability, found.chance
    return stability, chance


def by_parameters(own: Sequence[Parameters]) -> dict[Parameters, list[int]]:
    """The places of students who have the same parameters, by these."""
    groups: dict[Parameters, list[int]] = {}
    for student, w in enumerate(own):
        groups.setdefault(w, []).append(student)
    return groups


def _at_the(moved: Ints, values: Ints, cells: int, missing: int, *, last: bool) -> Ints:
    """The value at the first or last answer of each cell; answers are sorted by cell and day."""
    found = np.full(cells, missing, dtype=np.int64)
    edge = np.diff(moved, append=-1) != 0 if last else np.diff(moved, prepend=-1) != 0
    found[moved[edge]] = values[edge]
    return found


def _told(columns: Columns, at: Ints, chance: Floats, students: int) -> tuple[tuple[Floats, Flags], ...]:
    """What was told of each student's answers, in the order of their ids."""
    by_id = np.full(len(columns.day), np.nan)
    by_id[at] = chance
    predicted = np.flatnonzero(~np.isnan(by_id))
    chances, right = by_id[predicted], columns.grade[predicted] != curve.WRONG
    bounds = np.searchsorted(columns.student[predicted], np.arange(students + 1))
    return tuple((chances[low:high], right[low:high]) for low, high in pairwise(bounds))
