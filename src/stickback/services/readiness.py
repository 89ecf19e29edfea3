"""The school's readiness: what is stated of each student's theory on a date."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from stickback import clock
from stickback.course.course import Course, Sheet
from stickback.memory.columns import Columns
from stickback.memory.curve import Flags, Floats, Ints
from stickback.readiness import students as standing
from stickback.readiness.exam import per_topic
from stickback.readiness.forecast import Band, forecast
from stickback.readiness.rehearsal import Rehearsal
from stickback.readiness.students import Students
from stickback.readiness.verdict import Statement
from stickback.services import desk as desks
from stickback.services import plans
from stickback.services.plans import SoFar
from stickback.store import log, parameters
from stickback.store.engine import Database
from stickback.study.student import Student


def readiness(
    store: Database,
    course: Course,
    students: Sequence[Student],
    on: Sequence[date],
    today: Sequence[date] | None = None,
    so_far: SoFar = plans.quiet,
) -> list[Statement]:
    """What is stated of every student, each on a date of their own.

    Args:
        today: of each student: nothing that came later counts. Then the chance to pass on it is given too, and what
            comes of keeping to the plan where the date is that of the end of the course, still ahead.
        so_far: is told of the plans, which take longest, how many are done and of how many.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    columns = answers(store, students)
    return stated(course, students, columns if today is None else columns.until(_numbers(today)), on, today, so_far)


def answers(store: Database, students: Sequence[Student]) -> Columns:
    """All answers of some students, under the parameters adopted for each."""
    names = [one.name for one in students]
    adopted = parameters.adopted(store, names)
    return log.columns(store, names).under([adopted[name] for name in names])


def stated(
    course: Course,
    students: Sequence[Student],
    columns: Columns,
    on: Sequence[date],
    today: Sequence[date] | None = None,
    so_far: SoFar = plans.quiet,
) -> list[Statement]:
    """What is stated by the answers of some students; see `readiness`."""
    groups: dict[tuple[str, str, bool], list[int]] = {}
    for at, one in enumerate(students):
        groups.setdefault((desks.sheet_of(course, one).id, one.phraseology, one.abroad), []).append(at)
    found: dict[int, Statement] = {}
    ahead: dict[int, Rehearsal] = {}
    for members in groups.values():
        who = [students[at] for at in members]
        board = desks.board(course, who[0])
        stand = standing.students(course, board.questions, columns, np.array(members), [one.name for one in who])
        made = _stated(stand, board.sheet, who, [on[at] for at in members], [columns.memory.told[at] for at in members])
        if today is not None:
            now = [today[at] for at in members]
            chance = forecast(stand, _numbers(now)).pass_chance.tolist()
            made = [replace(one, pass_today=Band(*band)) for one, band in zip(made, chance, strict=True)]
            days = [one.date for one in made]
            ahead |= plans.rehearsals(course, board, stand, columns, members, who, days, now)
        found |= dict(zip(members, made, strict=True))
    for at, planned in plans.outcomes(ahead, so_far).items():
        found[at] = replace(found[at], **planned._asdict())
    return [found[at] for at in range(len(students))]


def _stated(
    stand: Students, sheet: Sheet, who: Sequence[Student], on: Sequence[date], told: Sequence[tuple[Floats, Flags]]
) -> list[Statement]:
    """What is stated of the students of one aeroplane."""
    made, topics = forecast(stand, _numbers(on)), len(stand.exam.topics)
    misbeliefs, wrong = (per_topic(flags, stand.topic, topics) for flags in (stand.misbelief, stand.wrong))
    return [
        Statement(
            student=student,
            date=day,
            sheet=sheet,
            exam=stand.exam,
            known=Band(*made.known[row].tolist()),
            pass_chance=Band(*made.pass_chance[row].tolist()),
            topics=made.topics[row],
            topics_by_model=made.topics_by_model[row],
            known_by_model=float(made.known_by_model[row]),
            questions=made.questions[row],
            seen=made.seen[row],
            misbeliefs=misbeliefs[row],
            wrong=wrong[row],
            answered_on=_latest(stand.answered_on[row], stand.topic, topics),
            answers=int(stand.answers[row]),
            told=told[row],
        )
        for row, (student, day) in enumerate(zip(who, on, strict=True))
    ]


def _numbers(days: Sequence[date]) -> Ints:
    return np.array([clock.day_number(day) for day in days], dtype=np.int64)


def _latest(last: Ints, topic: Ints, topics: int) -> Ints:
    """The latest day of each topic."""
    found = np.full(topics, -1, dtype=np.int64)
    np.maximum.at(found, topic, last)
    return found


def dates(students: Sequence[Student], on: date | None, today: date | None) -> list[date]:
    """The date of each: the one asked for, else the checkride, else the student's own today (`--today` for all)."""
    return [on or one.checkride or now for one, now in zip(students, todays(students, today), strict=True)]


def todays(students: Sequence[Student], today: date | None) -> list[date]:
    """Each student's own study day; `--today` for all."""
    return [clock.clock_for(one.zone or clock.machine_zone(), today).today for one in students]
