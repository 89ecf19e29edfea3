"""What comes of keeping to the plan, for any number of students at once."""

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from stickback import clock
from stickback.course.course import Course
from stickback.formulas import draw
from stickback.memory.columns import Columns
from stickback.readiness import rehearsal
from stickback.readiness.rehearsal import Rehearsal
from stickback.readiness.standings import Standings
from stickback.readiness.statement import Case, Outcome
from stickback.services import goals
from stickback.services.desk import Pool
from stickback.study import ahead, sitting
from stickback.study.days import Start

ALONE = 20  # students whose plans are rehearsed in this process; more are shared among the processors
CHUNK = 8  # students that a process is given at a time
SoFar = Callable[[int, int], None]


def quiet(_: int, __: int) -> None:
    """Tells nobody."""


@dataclass(frozen=True)
class Group:
    """Students who fly one aeroplane and are all asked the same.

    Args:
        pool: what all of them can be asked.
        cases: each of the group, by its place among all cases.
        columns: the answers of the students of all cases, in the order of these.
        standings: how those of the group stand, in their order.
    """

    pool: Pool
    cases: dict[int, Case]
    columns: Columns
    standings: Standings


def rehearsals(course: Course, group: Group) -> dict[int, Rehearsal]:
    """The days to the date of each of a group, by place among all, where that date is that of the end of the course.

    Nobody's agenda of today is made: who has answered anything today is taken to be done with it.
    """
    counted = group.standings.counted
    members = enumerate(group.cases.items())
    planned = [(place, row) for row, (place, one) in members if one.at_the_end and counted[row].any()]
    return {place: _rehearsal(course, group, place, row) for place, row in planned}


def _rehearsal(course: Course, group: Group, place: int, row: int) -> Rehearsal:
    """The days to the date of one of a group, who meets the unseen questions in an order of their own."""
    student, today, date = group.cases[place]
    names, kinds = zip(*((name, one.kind) for (name, _), one in group.pool.questions.items()), strict=True)
    questions = np.flatnonzero(group.standings.counted[row])
    order = [draw.number(student.name, names[at]) for at in questions.tolist()]
    questions = questions[np.argsort(order, kind="stable")]
    own = group.standings.some(slice(row, row + 1)).only(questions)
    costs = sitting.costs(group.columns, course.kinds, place)
    bank = own.bank(np.array([sitting.cost(costs, kinds[at]) for at in questions.tolist()]))
    aims = goals.goals(course.plan, own.topic, goals.occasions(course.plan, student, today))
    begins = clock.day_number(today)
    done = own.answered_on[0] == begins
    queue = [] if done.any() else ahead.order(ahead.rank(bank, begins, aims, own.parameters[0]).score).tolist()
    seconds = 0.0 if done.any() else 60.0 * student.minutes
    return Rehearsal(
        standings=own,
        bank=bank,
        goals=aims,
        start=Start(begins, seconds, queue, closed=done),
        on=clock.day_number(date),
        minutes=student.minutes,
    )


def outcomes(found: dict[int, Rehearsal], so_far: SoFar = quiet) -> dict[int, Outcome]:
    """What comes of keeping to the plan.

    Args:
        so_far: is told after each how many are done, and of how many.

    The same on one processor and on many: nobody's outcome hangs on another's.
    """
    made: dict[int, Outcome] = {}
    for at, outcome in zip(found, _each(found), strict=True):
        made[at] = outcome
        so_far(len(made), len(found))
    return made


def _each(found: dict[int, Rehearsal]) -> Iterator[Outcome]:
    """The outcomes in their order."""
    if len(found) <= ALONE:
        yield from map(rehearsal.outcome, found.values())
        return
    # A process that is copied from one with threads may hang; one that is started anew does not.
    with ProcessPoolExecutor(os.cpu_count(), multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(rehearsal.outcome, found.values(), chunksize=CHUNK)
