"""Students × Questions: how students of one aeroplane stand, from the answers of their school.

Axes: students, questions (those of the aeroplane), topics (of the plan). Days are day numbers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from stickback.course.course import Course, Question
from stickback.memory import curve
from stickback.memory.columns import Columns, by_parameters
from stickback.memory.curve import Flags, Floats, Ints, Parameters
from stickback.memory.past import History
from stickback.readiness import unseen
from stickback.readiness.offset import offsets
from stickback.readiness.oral import OralRules, per_topic, rules_of
from stickback.study import candidate
from stickback.study.ahead import Bank

OF_QUESTIONS = (
    *("topic", "guess", "stability", "difficulty", "plain", "moved_on", "known_before"),
    *("ever_wrong", "counted", "misbelief", "wrong", "answered_on"),
)


@dataclass(frozen=True, kw_only=True)
class Standings:
    """Everything that a forecast of some students starts from; shape (students, questions) where nothing else is said.

    Args:
        topic, guess: of each question; shape (questions,).
        stability, difficulty, moved_on: memory of each, and the day of the answer that left it; nan and -1 where
            unseen.
        plain: its stability by the memory model alone, without what is the student's own.
        known_before: the chance that it was known before it was asked; see `memory.early`.
        ever_wrong: whether it was ever answered wrong.
        counted: whether the question counts for the student.
        misbelief: whether a wrong and sure answer is open.
        wrong: whether its last answer was wrong, or a wrong and sure one is open.
        answered_on: day of the last answer; -1 where none was.
        knew, missed: the two parameters of the rate of knowing an unseen question, as `unseen` has it; shape (students,
            topics).
        offset, error: how far the model is off for a student: one shift of the logit of all chances, and its standard
            error; shape (students,).
        steep: whether what the student knows fades more steeply than the model has it; shape (students,).
        answers: how many moved the memory of questions of the course; shape (students,).
        parameters: of the memory of each; shape (students,).
    """

    oral: OralRules
    topic: Ints
    guess: Floats
    stability: Floats
    difficulty: Floats
    plain: Floats
    moved_on: Ints
    known_before: Floats
    ever_wrong: Flags
    counted: Flags
    misbelief: Flags
    wrong: Flags
    answered_on: Ints
    knew: Floats
    missed: Floats
    offset: Floats
    error: Floats
    steep: Flags
    answers: Ints
    parameters: Sequence[Parameters]

    def some(self, rows: slice) -> "Standings":
        """Some of the students."""
        shared = {"oral", "topic", "guess"}
        return Standings(**{name: each if name in shared else each[rows] for name, each in vars(self).items()})

    def only(self, questions: Ints) -> "Standings":
        """The same of some of the questions, in another order, all of which count."""
        chosen = replace(self, **{name: getattr(self, name)[..., questions] for name in OF_QUESTIONS})
        return replace(chosen, counted=np.ones_like(chosen.counted))

    def bank(self, seconds: Floats) -> Bank:
        """The questions of the first student, who may be asked all that counts of each topic.

        Args:
            seconds: what asking each costs; shape (questions,).
        """
        share = self.oral.share_of_each(per_topic(self.counted, self.topic, len(self.oral.topics)))[0]
        rate = unseen.mean(self.knew, self.missed)[0]
        return Bank(
            topic=self.topic,
            stability=self.stability[0],
            difficulty=self.difficulty[0],
            moved_on=self.moved_on[0],
            guess=self.guess,
            sight=curve.right(rate[self.topic], self.guess),
            worth=share[self.topic],
            seconds=seconds,
        )

    @property
    def fading(self) -> list[Parameters]:
        """The parameters by which what each student knows fades; shape (students,)."""
        each = zip(self.parameters, self.steep.tolist(), strict=True)
        return [curve.steepest(w) if steep else w for w, steep in each]

    def chance(self, on: Ints, *, plain: bool = False) -> Floats:
        """The chance of a right answer to each question, each student on a day of their own; nan where unseen.

        A question answered on the date itself is not certain on it: what counts is the day after an answer.

        Args:
            plain: by the memory model alone; else with the student's own fading, but without offset and old knowledge.
        """
        stability, elapsed = self.plain if plain else self.stability, np.maximum(on[:, None] - self.moved_on, 1)
        found = np.empty(stability.shape)
        for w, rows in by_parameters(self.parameters if plain else self.fading).items():
            found[rows] = curve.recall(stability[rows], elapsed[rows], w)
        return found

    def right_once(self, on: Ints) -> Floats:
        """The chance of a right answer to what was first answered on the last day, and right; nan where nothing was."""
        last = self.moved_on.max(axis=1, initial=-1)
        elapsed, found = np.where(last < 0, np.nan, np.maximum(on - last, 1)), np.empty(len(last))
        for w, rows in by_parameters(self.fading).items():
            found[rows] = curve.recall(curve.first(np.array([curve.RIGHT]), w)[0], elapsed[rows], w)
        return found


def of_answers(
    course: Course, pairs: Mapping[History, Question], columns: Columns, students: Mapping[int, str]
) -> Standings:
    """How students stand who are all asked the same.

    Args:
        pairs: what they are asked, by question and variant.
        columns: the answers of the school.
        students: the names of these students, by their places in it.
    """
    questions, memory, places = list(pairs.values()), columns.memory, course.plan.place
    members = np.array(list(students), dtype=np.int64)
    topic = np.array([places[one.topic] for one in questions], dtype=np.int64)
    at = np.array([columns.histories.get(pair, -1) for pair in pairs], dtype=np.int64)
    stability, misbelief = _of(memory.stability, members, at, np.nan), _of(memory.misbelief, members, at, 0)
    parameters = [memory.parameters[each] for each in members]
    own = offsets([memory.expected[each] for each in members], parameters)
    knew, missed = rates(course, columns, members)
    return Standings(
        oral=rules_of(course.plan),
        topic=topic,
        guess=np.array([one.guess for one in questions], dtype=np.float64),
        stability=stability,
        difficulty=_of(memory.difficulty, members, at, np.nan),
        plain=_of(memory.plain, members, at, np.nan),
        moved_on=_of(memory.moved_on, members, at, -1),
        known_before=_of(memory.known_before, members, at, 0),
        ever_wrong=_of(memory.ever_wrong, members, at, 0),
        counted=_counted(course, pairs, columns, students, ~np.isnan(stability)),
        misbelief=misbelief,
        wrong=misbelief | (_of(memory.last_grade, members, at, 0) == curve.WRONG),
        answered_on=_of(memory.answered_on, members, at, -1),
        knew=knew,
        missed=missed,
        offset=own.mean,
        error=own.error,
        steep=own.steep,
        answers=_graded(course, columns, members),
        parameters=parameters,
    )


def rates(course: Course, columns: Columns, members: Ints) -> tuple[Floats, Floats]:
    """How well each student knew the questions of each topic at first sight, on whichever aeroplane."""
    questions, places = {course.log_name(one): one for one in course.questions.values()}, course.plan.place
    of = [questions.get(question) for question, _ in columns.histories]
    topic = np.array([places[one.topic] if one else -1 for one in of], dtype=np.int64)
    guess = np.array([one.guess if one else 0.0 for one in of])
    return unseen.rates(columns.memory.first_grade[members], guess, topic, len(places))


def _graded(course: Course, columns: Columns, members: Ints) -> Ints:
    """How many answers to questions of the course moved each student's memory."""
    own = np.array([question.partition("/")[0] == course.plan.id for question, _ in columns.histories], dtype=np.bool_)
    return np.asarray(columns.memory.answers[members][:, own].sum(axis=1))


def _of(values: npt.NDArray[Any], members: Ints, at: Ints, missing: float) -> npt.NDArray[Any]:
    """The values of these students for some histories, whose places may be -1 for none."""
    if not values.shape[1]:
        return np.full((len(members), len(at)), missing, dtype=values.dtype)
    return np.where(at >= 0, values[members][:, at], missing).astype(values.dtype)


def _counted(
    course: Course,
    pairs: Mapping[History, Question],
    columns: Columns,
    students: Mapping[int, str],
    seen: Flags,
) -> Flags:
    """Which questions count for whom: all but those of assumed topics that are left out and were not answered."""
    assumed: dict[str, list[str]] = {}
    for (key, _), one in pairs.items():
        if course.plan.topics[one.topic].assumed:
            assumed.setdefault(one.topic, []).append(key)
    wrong = {topic: _ever_wrong(columns, list(students), frozenset(keys)) for topic, keys in assumed.items()}
    place = {key: at for at, (key, _) in enumerate(pairs)}
    counted = np.ones(seen.shape, dtype=np.bool_)
    for row, name in enumerate(students.values()):
        out = candidate.left_out(assumed, {topic for topic in assumed if wrong[topic][row]}, name)
        at = [place[key] for key in out]
        counted[row, at] = seen[row, at]
    return counted


def _ever_wrong(columns: Columns, members: Sequence[int], keys: frozenset[str]) -> Flags:
    """Who answered one of these questions wrong, on whichever aeroplane; shape (students,)."""
    of_topic = np.array([question in keys for question, _ in columns.histories], dtype=np.bool_)
    return np.asarray(columns.memory.ever_wrong[members][:, of_topic].any(axis=1))
