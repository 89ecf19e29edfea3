"""From the log of a school to what each student knows of each question on a date.

Axes: students (those asked about), histories (of the log), questions (those of one aeroplane).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.course.course import Course, variant
from stickback.course.sheet import Sheet
from stickback.kinds.table import KINDS
from stickback.memory import curve, fold, misbelief
from stickback.memory.columns import Columns
from stickback.memory.curve import Floats, Ints
from stickback.memory.misbelief import Flags
from stickback.memory.past import History
from stickback.study import choose


@dataclass(frozen=True)
class Folded:
    """The log of all students folded; axes (students, histories)."""

    histories: dict[History, int]
    stability: Floats
    day: Ints
    last: Ints
    misbelief: Flags
    missed: Flags


@dataclass(frozen=True)
class Asked:
    """The questions of one aeroplane; all arrays have the axis questions.

    Args:
        history: place in the log's histories, -1 where nobody answered it yet.
    """

    names: list[str]
    history: Ints
    topic: Ints
    guess: Floats
    assumed: Flags


def fold_all(columns: Columns, students: int) -> Folded:
    """The log of all students folded at once."""
    many = len(columns.histories)
    place = columns.student * many + columns.history
    shape = (students, many)
    state = fold.fold(place, columns.day, columns.grade, fold.nothing(students * many))
    opened, mended = misbelief.opened(place, columns.day, columns.grade, columns.sure, students * many)
    first = fold.first_of_day(place, columns.day)
    missed = np.zeros(students * many, dtype=np.bool_)
    missed[place[first[columns.grade[first] == curve.WRONG]]] = True
    last = np.full(students * many, -1, dtype=np.int64)
    counts = columns.grade != fold.VOIDED
    np.maximum.at(last, place[counts], columns.day[counts])
    still = (opened >= 0) & (mended < misbelief.DAYS_TO_MEND)
    return Folded(
        columns.histories,
        state.stability.reshape(shape),
        state.day.reshape(shape),
        last.reshape(shape),
        still.reshape(shape),
        missed.reshape(shape),
    )


def ask_all(course: Course, sheet: Sheet, phraseology: str, histories: dict[History, int]) -> Asked:
    """The questions that can be asked on an aeroplane."""
    applicable = course.applicable(sheet, phraseology)
    topics = course.plan.topics
    places = {topic: place for place, topic in enumerate(topics)}
    questions = list(applicable.values())
    return Asked(
        list(applicable),
        np.array([histories.get((key, variant(one, sheet)), -1) for key, one in applicable.items()], dtype=np.int64),
        np.array([places[one.topic] for one in questions], dtype=np.int64),
        np.array([KINDS[one.kind].chance(one.body) for one in questions]),
        np.array([topics[one.topic].assumed for one in questions], dtype=np.bool_),
    )


@dataclass(frozen=True)
class Standing:
    """How the students of one aeroplane stand; shape (students, questions).

    Args:
        known: chance that it is known on the student's date; nan where unseen.
        counted: whether the question counts for the student.
        misbelief: whether a wrong and sure answer is open.
        last: day number of the last answer; -1 where none was.
    """

    known: Floats
    counted: Flags
    misbelief: Flags
    last: Ints


def standing(asked: Asked, folded: Folded, members: Ints, names: Sequence[str], dates: Ints) -> Standing:
    """How students stand on their dates.

    Args:
        members: their places in the folded log; `names` and `dates`, their names and day numbers.
    """
    stability, day = _of(folded.stability, members, asked, np.nan), _of(folded.day, members, asked, -1)
    # A question answered on the date itself is not certain on it: what counts is the day after an answer.
    chance = curve.recall(stability, np.maximum(dates[:, None] - day, 1))
    return Standing(
        curve.known(chance, asked.guess),
        _counted(asked, folded, names, members, ~np.isnan(stability)),
        _of(folded.misbelief, members, asked, 0),
        _of(folded.last, members, asked, -1),
    )


def _of(values: npt.NDArray[Any], members: Ints, asked: Asked, missing: float) -> npt.NDArray[Any]:
    """The values of these students for the questions asked; shape (members, questions)."""
    if not values.shape[1]:
        return np.full((len(members), len(asked.names)), missing, dtype=values.dtype)
    return np.where(asked.history >= 0, values[members][:, asked.history], missing).astype(values.dtype)


def _counted(asked: Asked, folded: Folded, names: Sequence[str], members: Ints, seen: Flags) -> Flags:
    """Which questions count for whom: of an assumed topic those that are asked, and all once one was missed."""
    counted = np.ones(seen.shape, dtype=np.bool_)
    place = {name: at for at, name in enumerate(asked.names)}
    topic_of = np.array([asked.topic[place[q]] if q in place else -1 for q, _ in folded.histories], dtype=np.int64)
    for topic in np.unique(asked.topic[asked.assumed]):
        of_topic = np.flatnonzero(asked.topic == topic)
        questions = [asked.names[at] for at in of_topic]
        missed = [bool(flags.any()) for flags in folded.missed[members][:, topic_of == topic]]
        for row, name in enumerate(names):
            if not missed[row]:
                kept = {place[question] for question in choose.sample(questions, name)}
                counted[row, [at for at in of_topic if at not in kept and not seen[row, at]]] = False
    return counted
