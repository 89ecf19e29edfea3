"""Dates ahead: what a student's dates make of the questions, and what is worth asking for them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np

from stickback import clock
from stickback.course.course import Plan
from stickback.formulas import draw
from stickback.memory.curve import Ints
from stickback.memory.past import History, Past
from stickback.readiness.standings import Standings, of_answers
from stickback.services.desk import Desk
from stickback.study import ahead
from stickback.study.ahead import Goal
from stickback.study.candidate import Candidate, Reason
from stickback.study.student import Student


@dataclass(frozen=True)
class Occasion:
    """What a student has set a date for: a lesson, or the end of the course.

    Args:
        lesson: number of the lesson, 0 for one taught beside the others; None for the end of the course.
    """

    day: date
    lesson: int | None = None


def occasions(plan: Plan, student: Student, today: date) -> list[Occasion]:
    """The student's occasions from today on, the nearest first; of two on one day the lesson's.

    A lesson's date stands for its topics and those before it, the end's for the whole course. Behind the end there is
    nothing to choose for.
    """
    numbers = {one.id: 0 if one.beside else one.number for one in plan.lessons}
    found = []
    if student.next_on is not None and student.next_lesson in numbers:
        found.append(Occasion(student.next_on, numbers[student.next_lesson]))
    if student.checkride is not None:
        found.append(Occasion(student.checkride))
    found = sorted((one for one in found if one.day >= today), key=lambda one: one.day)
    return found[:1] if found and found[0].lesson is None else found


def goals(plan: Plan, topic: Ints, dates: Sequence[Occasion]) -> list[Goal]:
    """The occasions as goals over questions, of which the places of their topics are given."""
    numbers = {one.id: 0 if one.beside else one.number for one in plan.lessons}
    lesson = np.array([numbers[one.lesson] for one in plan.topics.values()], dtype=np.int64)[topic]
    found = []
    for one in dates:
        within = lesson <= (lesson.max(initial=0) if one.lesson is None else one.lesson)
        found.append(Goal(clock.day_number(one.day), within, 0.0 if one.lesson is None else ahead.WORTH_ASKING))
    return found


def in_own_order(desk: Desk, candidates: Sequence[Candidate]) -> list[Candidate]:
    """Candidates in the order in which the student meets the unseen ones of a topic."""
    return sorted(candidates, key=lambda one: (draw.number(desk.student.name, one.history[0]), one.history))


def standings_of(desk: Desk, past: Past, candidates: Sequence[Candidate]) -> Standings:
    """How the student stands at some questions after a past; all that counts of a topic must be among them."""
    own = of_answers(desk.course, desk.questions, past.columns, {0: desk.student.name})
    places = {history: at for at, history in enumerate(desk.questions)}
    return own.only(np.array([places[one.history] for one in candidates], dtype=np.int64))


def seconds(candidates: Sequence[Candidate]) -> np.ndarray:
    """What asking each costs."""
    return np.array([one.seconds for one in candidates], dtype=np.float64)


class Ranked(NamedTuple):
    """A question worth asking for a date, and what an answer today is expected to add to `known` on it."""

    candidate: Candidate
    gain: float
    occasion: Occasion


def ranked(desk: Desk, dawn: Past, counted: Sequence[Candidate]) -> list[Ranked]:
    """What is worth asking for the dates ahead, the best first; nothing when there is none."""
    dates = occasions(desk.course.plan, desk.student, desk.day)
    if not dates:
        return []
    ordered = in_own_order(desk, counted)
    bank = standings_of(desk, dawn, ordered).bank(seconds(ordered))
    found = ahead.rank(bank, desk.number, goals(desk.course.plan, bank.topic, dates), dawn.own)
    return [Ranked(ordered[at], float(found.gain[at]), dates[found.goal[at]]) for at in ahead.order(found.score)]


def reasons(desk: Desk, dawn: Past, chosen: Sequence[Candidate], ranked: Sequence[Ranked]) -> dict[History, Reason]:
    """Why each question was chosen."""
    best = {one.candidate.history: one for one in ranked}
    topics, found = desk.course.plan.topics, {}
    for one in chosen:
        for_date = best.get(one.history)
        gain, lesson = (for_date.gain, for_date.occasion.lesson) if for_date else (None, None)
        wrong = one.history in dawn.misbeliefs
        found[one.history] = Reason(one, topics[one.topic].weight, gain, lesson is not None, wrong)
    return found
