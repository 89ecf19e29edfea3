"""What comes of keeping to the plan, for any number of students at once."""

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date

import numpy as np

from stickback import clock
from stickback.course.course import Course
from stickback.formulas import draw
from stickback.memory.columns import Columns
from stickback.readiness import rehearsal, standings
from stickback.readiness.rehearsal import Outcome, Rehearsal
from stickback.readiness.standings import Standings
from stickback.services import goals
from stickback.services.desk import Board
from stickback.study import ahead, sitting
from stickback.study.ahead import Bank, Goal
from stickback.study.days import Start
from stickback.study.student import Student

ALONE = 20  # students whose plans are rehearsed in this process; more are shared among the processors
CHUNK = 8  # students that a process is given at a time
SoFar = Callable[[int, int], None]


def quiet(_: int, __: int) -> None:
    """Tells nobody."""


def rehearsals(
    course: Course,
    board: Board,
    stand: Standings,
    columns: Columns,
    members: Sequence[int],
    who: Sequence[Student],
    on: Sequence[date],
    today: Sequence[date],
) -> dict[int, Rehearsal]:
    """The days to the date of each of a group, by place among all, where that date is that of the end of the course.

    Args:
        board: what the group is asked.
        stand: how the group stands; `columns`, the answers of all students, and `members`, the group's places there.
        on, today: of each of the group.

    Nobody's agenda of today is made: who has answered anything today is taken to be done with it.
    """
    keys = [key for key, _ in board.questions]
    kinds = [question.kind for question in board.questions.values()]
    found = {}
    for row, (at, student) in enumerate(zip(members, who, strict=True)):
        places = np.flatnonzero(stand.counted[row])
        if on[row] != student.checkride or on[row] < today[row] or not len(places):
            continue
        order = [draw.number(student.name, keys[place]) for place in places.tolist()]
        places = places[np.argsort(order, kind="stable")]
        one = standings.all_counted(stand.some(slice(row, row + 1)).only(places))
        costs = sitting.costs(columns, course.kinds, at)
        bank = one.bank(np.array([sitting.cost(costs, kinds[place]) for place in places.tolist()]))
        aims = goals.goals(course.plan, one.topic, goals.targets(course.plan, student, today[row]))
        found[at] = Rehearsal(
            student=one,
            bank=bank,
            goals=aims,
            start=_start(one, bank, aims, clock.day_number(today[row]), student),
            on=clock.day_number(on[row]),
            minutes=student.minutes,
        )
    return found


def _start(one: Standings, bank: Bank, aims: Sequence[Goal], number: int, student: Student) -> Start:
    """Today: what is worth asking, in its order, for who has not begun."""
    done = one.answered_on[0] == number
    if done.any():
        return Start(number, 0.0, [], done)
    queue = ahead.order(ahead.rank(bank, number, aims, one.parameters[0]).score)
    return Start(number, 60.0 * student.minutes, queue.tolist(), done)


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
