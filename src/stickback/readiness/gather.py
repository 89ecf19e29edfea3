"""From the folded log of a school to what each student knows of each question on a date.

Axes: students (those asked about), histories (of the log), questions (those of one aeroplane).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.course.course import Course, variant
from stickback.course.sheet import Sheet
from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.memory.past import History
from stickback.readiness import first_sight
from stickback.readiness.first_sight import Rates
from stickback.readiness.folded import Folded, by_parameters
from stickback.study import choose


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
        np.array([one.body.chance() for one in questions]),
        np.array([topics[one.topic].assumed for one in questions], dtype=np.bool_),
    )


@dataclass(frozen=True)
class Standing:
    """How the students of one aeroplane stand; shape (students, questions).

    Args:
        chance: of a right answer on the student's date; nan where unseen.
        counted: whether the question counts for the student.
        misbelief: whether a wrong and sure answer is open.
        wrong: whether its last answer was wrong, or a wrong and sure one is open.
        last: day number of the last answer; -1 where none was.
        once: chance of a right answer on the date to what was first answered, and not surely, on the student's last
            day; shape (students,).
    """

    chance: Floats
    counted: Flags
    misbelief: Flags
    wrong: Flags
    last: Ints
    once: Floats


def standing(asked: Asked, folded: Folded, members: Ints, names: Sequence[str], dates: Ints) -> Standing:
    """How students stand on their dates.

    Args:
        members: their places in the folded log; `names` and `dates`, their names and day numbers.
    """
    stability, day = _of(folded.stability, members, asked, np.nan), _of(folded.day, members, asked, -1)
    parameters = [folded.parameters[at] for at in members]
    misbelief = _of(folded.misbelief, members, asked, 0)
    return Standing(
        _recall(stability, dates[:, None] - day, parameters),
        _counted(asked, folded, names, members, ~np.isnan(stability)),
        misbelief,
        misbelief | (_of(folded.last_grade, members, asked, 0) == curve.WRONG),
        _of(folded.last, members, asked, -1),
        _once(folded, members, dates, parameters),
    )


def _once(folded: Folded, members: Ints, dates: Ints, parameters: Sequence[Parameters]) -> Floats:
    """The chance that the least first answer that is right leaves, had it been given on each student's last day."""
    last = folded.last[members].max(axis=1, initial=-1)
    grades = np.array([curve.UNSURE, curve.RIGHT])
    least = np.array([[curve.first(grades, w)[0].min()] for w in parameters]).reshape(-1, 1)
    return _recall(least, np.where(last < 0, 1, dates - last)[:, None], parameters)[:, 0]


def _recall(stability: Floats, elapsed: Ints, parameters: Sequence[Parameters]) -> Floats:
    """The chance of a right answer by each student's own parameters.

    A question answered on the date itself is not certain on it: what counts is the day after an answer.
    """
    found = np.empty(stability.shape)
    for w, rows in by_parameters(parameters).items():
        found[rows] = curve.recall(stability[rows], np.maximum(elapsed[rows], 1), w)
    return found


def rates(course: Course, folded: Folded, members: Ints) -> Rates:
    """How well each student knew the questions of each topic at first sight, on whichever aeroplane."""
    places = {topic: place for place, topic in enumerate(course.plan.topics)}
    questions = {course.key(one): one for one in course.questions.values()}
    of = [questions.get(question) for question, _ in folded.histories]
    topic = np.array([places[one.topic] if one else -1 for one in of], dtype=np.int64)
    chances = {key: one.body.chance() for key, one in questions.items()}
    guess = np.array([chances.get(question, 0.0) for question, _ in folded.histories])
    return first_sight.rates(folded.first_grade[members], guess, topic, len(places))


def graded(course: Course, folded: Folded, members: Ints) -> Ints:
    """How many answers to questions of the course moved each student's memory."""
    own = np.array([question.partition("/")[0] == course.plan.id for question, _ in folded.histories], dtype=np.bool_)
    return np.asarray(folded.answers[members][:, own].sum(axis=1))


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
