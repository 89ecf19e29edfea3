"""The school's readiness: what is stated of each student's theory on a date."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from stickback import clock
from stickback.course.course import Course, Sheet
from stickback.memory.curve import Flags, Floats, Ints
from stickback.readiness import students as standing
from stickback.readiness.exam import per_topic
from stickback.readiness.folded import fold_all
from stickback.readiness.forecast import Band, forecast
from stickback.readiness.students import Students
from stickback.readiness.verdict import Statement
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import outlook
from stickback.services.desk import Desk
from stickback.store import log, parameters
from stickback.store.engine import Database
from stickback.study.student import Student

REHEARSED = 20  # students whose plan is rehearsed in one report


def readiness(
    store: Database,
    course: Course,
    students: Sequence[Student],
    on: Sequence[date],
    today: Sequence[date] | None = None,
) -> list[Statement]:
    """What is stated of every student, each on a date of their own.

    Args:
        today: of each student, when the chance to pass today is wanted too.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    names = [one.name for one in students]
    adopted = parameters.adopted(store, names)
    folded = fold_all(log.columns(store, names), len(students), [adopted[name] for name in names])
    groups: dict[tuple[str, str], list[int]] = {}
    for at, one in enumerate(students):
        groups.setdefault((desks.sheet_of(course, one).id, one.phraseology), []).append(at)
    found: dict[int, Statement] = {}
    for (sheet, phraseology), members in groups.items():
        who = [students[at] for at in members]
        places = np.array(members)
        stand = standing.students(course, course.sheets[sheet], phraseology, folded, places, [one.name for one in who])
        made = _stated(
            stand, course.sheets[sheet], who, [on[at] for at in members], [folded.told[at] for at in members]
        )
        if today is not None:
            now = forecast(stand, _numbers([today[at] for at in members])).pass_chance
            made = [replace(one, today=Band(*band)) for one, band in zip(made, now.tolist(), strict=True)]
        found |= dict(zip(members, made, strict=True))
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
            questions=made.questions[row],
            seen=made.seen[row],
            misbeliefs=misbeliefs[row],
            wrong=wrong[row],
            last=_latest(stand.last[row], stand.topic, topics),
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


def with_plan(store: Database, course: Course, found: Sequence[Statement], today: date | None) -> list[Statement]:
    """The same, and what comes of keeping to the plan where the date is that of the end of the course, still ahead.

    Nothing is added for more than `REHEARSED` students: each takes up to a second.
    """
    if len(found) > REHEARSED:
        return list(found)
    return [_kept(desks.desk(course, store, one.student.name, today), one) for one in found]


def _kept(desk: Desk, one: Statement) -> Statement:
    if one.date != one.student.checkride or one.date < desk.day or np.isnan(one.pass_chance.middle):
        return one
    try:
        band, short_by = outlook.kept(desk)
    except Refused:  # nothing to ask for the date
        return one
    return replace(one, kept=band, short_by=short_by)


def dates(students: Sequence[Student], on: date | None, today: date | None) -> list[date]:
    """The date of each: the one asked for, else the checkride, else the student's own today (`--today` for all)."""
    return [on or one.checkride or now for one, now in zip(students, todays(students, today), strict=True)]


def todays(students: Sequence[Student], today: date | None) -> list[date]:
    """Each student's own study day; `--today` for all."""
    return [clock.clock_for(one.zone or clock.machine_zone(), today).today for one in students]
