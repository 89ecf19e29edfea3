"""Dates ahead: what a student's dates make of the questions, as the arrays that choosing for a date works on."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from stickback import clock
from stickback.formulas import draw
from stickback.memory import curve, misbelief
from stickback.memory.curve import Floats, Ints
from stickback.memory.past import History, Past, worth
from stickback.readiness import unseen
from stickback.services.desk import Desk
from stickback.study import ahead, why
from stickback.study.ahead import Goal
from stickback.study.choose import Candidate
from stickback.study.gain import Bank


@dataclass(frozen=True)
class Target:
    """A date that a student has set.

    Args:
        lesson: number of the lesson it is for, 0 for one taught beside the others; None for the end of the course.
    """

    day: date
    lesson: int | None = None


def targets(desk: Desk) -> list[Target]:
    """The student's dates from today on, the nearest first; of two on one day the lesson's.

    A lesson's date stands for its topics and those before it, the end's for the whole course. Behind the end there is
    nothing to choose for.
    """
    numbers = {one.id: 0 if one.beside else one.number for one in desk.course.plan.lessons}
    found = []
    if desk.student.next_on is not None and desk.student.next_lesson in numbers:
        found.append(Target(desk.student.next_on, numbers[desk.student.next_lesson]))
    if desk.student.checkride is not None:
        found.append(Target(desk.student.checkride))
    found = sorted((one for one in found if one.day >= desk.day), key=lambda one: one.day)
    return found[:1] if found and found[0].lesson is None else found


def in_own_order(desk: Desk, candidates: Sequence[Candidate]) -> list[Candidate]:
    """Candidates in the order in which the student meets the unseen ones of a topic."""
    return sorted(candidates, key=lambda one: (draw.number(desk.student.name, one.history[0]), one.history))


def bank(desk: Desk, past: Past, candidates: Sequence[Candidate]) -> Bank:
    """The candidates as arrays, as they stand after a past; all that counts of a topic must be among them."""
    memory = past.memory
    place = np.array([memory.index.get(one.history, -1) for one in candidates], dtype=np.int64)
    places = desk.course.plan.place
    topic = np.array([places[one.topic] for one in candidates], dtype=np.int64)
    weights = {one.id: one.weight for one in desk.course.plan.topics.values()}
    many = Counter(one.topic for one in candidates)
    whole = sum(weights[each] for each in many)

    def of(values: np.ndarray, missing: float) -> np.ndarray:
        return np.append(values, missing)[place].astype(values.dtype)

    return Bank(
        topic,
        of(memory.state.stability, np.nan),
        of(memory.state.difficulty, np.nan),
        of(memory.state.day, -1),
        np.array([desk.guesses[one.history] for one in candidates], dtype=np.float64),
        _sight(desk, past, candidates, topic),
        np.array([weights[one.topic] / many[one.topic] / whole for one in candidates], dtype=np.float64),
        np.array([one.seconds for one in candidates], dtype=np.float64),
    )


def _sight(desk: Desk, past: Past, candidates: Sequence[Candidate], topic: Ints) -> Floats:
    """Chance to answer each candidate right at first sight."""
    places = desk.course.plan.place
    topic_of = {history: places[question.topic] for history, question in desk.questions.items()}
    firsts: dict[History, int] = {}
    for row, grade in zip(past.graded, worth(past.graded, past.voided).tolist(), strict=True):
        firsts.setdefault((row.question or "", row.variant or ""), grade)
    knew, missed = unseen.rates(
        np.array([list(firsts.values())], dtype=np.int64),
        np.array([desk.guesses.get(history, 0.0) for history in firsts]),
        np.array([topic_of.get(history, -1) for history in firsts], dtype=np.int64),
        len(places),
    )
    guess = np.array([desk.guesses[one.history] for one in candidates], dtype=np.float64)
    return curve.right((knew / (knew + missed))[0][topic], guess)


def goals(candidates: Sequence[Candidate], dates: Sequence[Target]) -> list[Goal]:
    """The dates as goals over the candidates."""
    lesson = np.array([one.lesson for one in candidates], dtype=np.int64)
    found = []
    for one in dates:
        reach = len(lesson) * [True] if one.lesson is None else lesson <= one.lesson
        least = 0.0 if one.lesson is None else ahead.WORTH_ASKING
        found.append(Goal(clock.day_number(one.day), np.asarray(reach, dtype=np.bool_), least))
    return found


@dataclass(frozen=True)
class Ranked:
    """A question worth asking for a date, and what an answer today is expected to add to `known` on it."""

    candidate: Candidate
    gain: float
    target: Target


def ranked(desk: Desk, dawn: Past, counted: Sequence[Candidate]) -> list[Ranked]:
    """What is worth asking for the dates ahead, the best first; nothing when there is none."""
    ahead_of = targets(desk)
    if not ahead_of:
        return []
    ordered = in_own_order(desk, counted)
    found = ahead.rank(bank(desk, dawn, ordered), desk.number, goals(ordered, ahead_of), dawn.parameters)
    return [Ranked(ordered[at], float(found.gain[at]), ahead_of[found.goal[at]]) for at in ahead.order(found.score)]


def reasons(desk: Desk, dawn: Past, chosen: Sequence[Candidate], ranked: Sequence[Ranked]) -> dict[History, str]:
    """Why each question was chosen."""
    best = {one.candidate.history: one for one in ranked}
    wrong = misbelief.still_open(dawn)
    found = {}
    for one in chosen:
        weight, for_date = desk.course.plan.topics[one.topic].weight, best.get(one.history)
        found[one.history] = why.reason(
            one,
            weight,
            for_date.gain if for_date else None,
            on_the_day=for_date is not None and for_date.target.lesson is None,
            sure_but_wrong=one.history in wrong,
        )
    return found
