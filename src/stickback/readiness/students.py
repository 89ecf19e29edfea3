"""Students × Questions: how students of one aeroplane stand, from the folded log of their school.

Axes: students, questions (those of the aeroplane), topics (of the plan). Days are day numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.course.course import Course, Sheet
from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.readiness import unseen
from stickback.readiness.exam import Exam, exam_of
from stickback.readiness.folded import Folded, by_parameters
from stickback.readiness.offset import offsets
from stickback.study import choose


@dataclass(frozen=True, kw_only=True)
class Students:
    """Everything that a forecast of some students starts from; shape (students, questions) where nothing else is said.

    Args:
        topic, guess: of each question; shape (questions,).
        stability, moved: memory of each, and the day of the answer that left it; nan and -1 where unseen.
        counted: whether the question counts for the student.
        misbelief: whether a wrong and sure answer is open.
        wrong: whether its last answer was wrong, or a wrong and sure one is open.
        last: day of the last answer; -1 where none was.
        knew, missed: of the rate of knowing an unseen question; shape (students, topics).
        offset, error: of each student, as `offset.offsets` gives them; shape (students,).
        latest: day of the last answer to any question, -1 where none was; shape (students,).
        answers: how many moved the memory of questions of the course; shape (students,).
        parameters: of the memory of each; shape (students,).
    """

    exam: Exam
    topic: Ints
    guess: Floats
    stability: Floats
    moved: Ints
    counted: Flags
    misbelief: Flags
    wrong: Flags
    last: Ints
    knew: Floats
    missed: Floats
    offset: Floats
    error: Floats
    latest: Ints
    answers: Ints
    parameters: Sequence[Parameters]

    def some(self, rows: slice) -> "Students":
        """Some of the students."""
        shared = {"exam", "topic", "guess"}
        return Students(**{name: each if name in shared else each[rows] for name, each in vars(self).items()})

    def recall(self, stability: Floats, elapsed: Ints) -> Floats:
        """The chance of a right answer by each student's own parameters; shape (students, …).

        A question answered on the date itself is not certain on it: what counts is the day after an answer.
        """
        found = np.empty(stability.shape)
        for w, rows in by_parameters(self.parameters).items():
            found[rows] = curve.recall(stability[rows], np.maximum(elapsed[rows], 1), w)
        return found

    def chance(self, on: Ints) -> Floats:
        """The chance of a right answer to each question, each student on a day of their own; nan where unseen."""
        return self.recall(self.stability, on[:, None] - self.moved)


def students(
    course: Course, sheet: Sheet, phraseology: str, folded: Folded, members: Ints, names: Sequence[str]
) -> Students:
    """How students of one aeroplane and phraseology stand.

    Args:
        members: their places in the folded log; `names`, theirs.
    """
    pairs, topics, places = course.pairs(sheet, phraseology), course.plan.topics, course.plan.place
    questions = list(pairs.values())
    topic = np.array([places[one.topic] for one in questions], dtype=np.int64)
    at = np.array([folded.histories.get(pair, -1) for pair in pairs], dtype=np.int64)
    stability, misbelief = _of(folded.stability, members, at, np.nan), _of(folded.misbelief, members, at, 0)
    assumed = np.array([topics[one.topic].assumed for one in questions], dtype=np.bool_)
    keys = [key for key, _ in pairs]
    offset, error = offsets([folded.told[each] for each in members])
    knew, missed = rates(course, folded, members)
    return Students(
        exam=exam_of(course.plan),
        topic=topic,
        guess=np.array([one.guess for one in questions], dtype=np.float64),
        stability=stability,
        moved=_of(folded.day, members, at, -1),
        counted=_counted(keys, topic, assumed, folded, names, members, ~np.isnan(stability)),
        misbelief=misbelief,
        wrong=misbelief | (_of(folded.last_grade, members, at, 0) == curve.WRONG),
        last=_of(folded.last, members, at, -1),
        knew=knew,
        missed=missed,
        offset=offset,
        error=error,
        latest=folded.last[members].max(axis=1, initial=-1),
        answers=_graded(course, folded, members),
        parameters=[folded.parameters[each] for each in members],
    )


def rates(course: Course, folded: Folded, members: Ints) -> tuple[Floats, Floats]:
    """How well each student knew the questions of each topic at first sight, on whichever aeroplane."""
    questions, places = {course.key(one): one for one in course.questions.values()}, course.plan.place
    of = [questions.get(question) for question, _ in folded.histories]
    topic = np.array([places[one.topic] if one else -1 for one in of], dtype=np.int64)
    guess = np.array([one.guess if one else 0.0 for one in of])
    return unseen.rates(folded.first_grade[members], guess, topic, len(places))


def _graded(course: Course, folded: Folded, members: Ints) -> Ints:
    """How many answers to questions of the course moved each student's memory."""
    own = np.array([question.partition("/")[0] == course.plan.id for question, _ in folded.histories], dtype=np.bool_)
    return np.asarray(folded.answers[members][:, own].sum(axis=1))


def _of(values: npt.NDArray[Any], members: Ints, at: Ints, missing: float) -> npt.NDArray[Any]:
    """The values of these students for some histories, whose places may be -1 for none."""
    if not values.shape[1]:
        return np.full((len(members), len(at)), missing, dtype=values.dtype)
    return np.where(at >= 0, values[members][:, at], missing).astype(values.dtype)


def _counted(
    keys: Sequence[str],
    topic: Ints,
    assumed: Flags,
    folded: Folded,
    names: Sequence[str],
    members: Ints,
    seen: Flags,
) -> Flags:
    """Which questions count for whom: of an assumed topic those that are asked, and all once one was missed."""
    counted = np.ones(seen.shape, dtype=np.bool_)
    place = {key: at for at, key in enumerate(keys)}
    topic_of = np.array([topic[place[q]] if q in place else -1 for q, _ in folded.histories], dtype=np.int64)
    for one in np.unique(topic[assumed]).tolist():
        of_topic = np.flatnonzero(topic == one)
        missed = np.any(folded.missed[members][:, topic_of == one], axis=1).tolist()
        for row, name in enumerate(names):
            if not missed[row]:
                kept = {place[key] for key in choose.sample([keys[at] for at in of_topic.tolist()], name)}
                counted[row, [at for at in of_topic.tolist() if at not in kept and not seen[row, at]]] = False
    return counted
