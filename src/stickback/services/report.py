"""The school's report: each student's statement with what was flown and asked aloud, the most urgent first."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from stickback import clock
from stickback.course.course import Course, Question
from stickback.memory.past import Past
from stickback.readiness.calibrate import Calibration, calibration
from stickback.readiness.verdict import BORDERLINE, NO_ESTIMATE, NOT_YET, Statement
from stickback.services import desk as desks
from stickback.services import plans, readiness
from stickback.services.plans import SoFar
from stickback.store import log
from stickback.store.engine import Database
from stickback.study import flown, oral
from stickback.study.flown import Flown, FlownError
from stickback.study.oral import Oral
from stickback.study.student import Student

_BY_VERDICT = (NOT_YET, NO_ESTIMATE, BORDERLINE)  # before all others


@dataclass(frozen=True, kw_only=True)
class Page:
    """What is told of one student.

    Args:
        today: the student's own study day.
        days: left to the date; None where the student has none and none was asked for.
        flights: lessons flown, in order; `errors`, those seen on them and still open.
        wrong: questions answered wrong and sure, still open; only where pages are asked for.
        orals: put by an instructor, in order; `by_self`, how many answers that the student marked alone were right,
            and how many there are.
    """

    statement: Statement
    today: date
    days: int | None
    flights: tuple[Flown, ...]
    errors: tuple[FlownError, ...]
    wrong: tuple[Question, ...] = ()
    orals: tuple[Oral, ...] = ()
    by_self: tuple[int, int] = (0, 0)


@dataclass(frozen=True, kw_only=True)
class Report:
    """A report on a school.

    Args:
        day: when it was made.
        pages: who needs something first comes first: by days left, then by verdict.
        calibration: of all that was told of all students.
        fingerprint: of the log, which nobody can change once it is printed.
    """

    course: Course
    day: date
    pages: tuple[Page, ...]
    calibration: Calibration
    fingerprint: str


def report(
    store: Database,
    course: Course,
    students: Sequence[Student],
    on: date | None = None,
    today: date | None = None,
    *,
    whole: bool = True,
    so_far: SoFar = plans.quiet,
) -> Report:
    """The report on some students, on a date of all or each on their own.

    Args:
        today: a day to act as if it were today.
        so_far: as in `readiness.readiness`.
        whole: with the questions that are sure but wrong, and the fingerprint of the log.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    dates, todays = readiness.dates(students, on, today), readiness.todays(students, today)
    found = readiness.readiness(store, course, students, dates, todays, so_far)
    pasts = log.besides(store, [one.name for one in students])
    behind = {seen.id: seen.topics for lesson in course.plan.lessons for seen in lesson.errors}
    by_self = log.self_marked(store, [one.name for one in students], max(todays)) if whole and students else {}
    pages = [
        replace(
            _page(one, now, on, pasts.get(one.student.name, Past(())), behind),
            wrong=_wrong(store, course, one, today) if whole else (),
            by_self=by_self.get(one.student.name, (0, 0)),
        )
        for one, now in zip(found, todays, strict=True)
    ]
    return Report(
        course=course,
        day=clock.clock_for(clock.machine_zone(), today).today,
        pages=tuple(sorted(pages, key=_urgency)),
        calibration=calibration([one.told for one in found]),
        fingerprint=log.fingerprint(store) if whole else "",
    )


def weekly(store: Database, course: Course, students: Sequence[Student], today: date | None = None) -> Report:
    """How each student stood week by week up to today, by what had been answered then: a page a student and week.

    Errors: Refused for a student whose aeroplane the course does not have.
    """
    columns, todays = readiness.answers(store, students), readiness.todays(students, today)
    pages: list[Page] = []
    weeks = _weeks(columns.day.tolist(), todays)
    for back in range(weeks, -1, -1):
        then = [day - timedelta(weeks=back) for day in todays]
        numbers = np.array([clock.day_number(day) for day in then], dtype=np.int64)
        found = readiness.stated(course, students, columns.until(numbers), then)
        pages += [Page(statement=one, today=one.date, days=None, flights=(), errors=()) for one in found if one.answers]
    pages.sort(key=lambda page: (page.statement.student.name, page.statement.date))
    return Report(
        course=course,
        day=clock.clock_for(clock.machine_zone(), today).today,
        pages=tuple(pages),
        calibration=calibration([]),
        fingerprint=log.fingerprint(store),
    )


def _weeks(days: Sequence[int], todays: Sequence[date]) -> int:
    """How many weeks ago the first answer was."""
    return max((clock.day_number(max(todays)) - min(days)) // 7, 0) if days and todays else -1


def _page(
    one: Statement,
    today: date,
    on: date | None,
    past: Past,
    behind: dict[str, tuple[str, ...]],
) -> Page:
    past = past.before(clock.day_number(today) + 1)
    dated = on is not None or one.student.checkride is not None
    return Page(
        statement=one,
        today=today,
        days=(one.date - today).days if dated else None,
        flights=tuple(flown.flights(past)),
        errors=tuple(flown.still_open(past, behind, {})),
        orals=tuple(oral.orals(past)),
    )


def _wrong(store: Database, course: Course, one: Statement, today: date | None) -> tuple[Question, ...]:
    if not one.misbeliefs.any():
        return ()
    desk = desks.desk(course, store, one.student.name, today)
    return tuple(desk.questions[history] for history in desk.misbeliefs)


def _urgency(page: Page) -> tuple[bool, bool, int, int, str]:
    """A date ahead before one that has passed before none; the nearest first; the worst verdict first."""
    verdict, days = page.statement.verdict, page.days or 0
    worst = _BY_VERDICT.index(verdict) if verdict in _BY_VERDICT else len(_BY_VERDICT)
    return page.days is None, days < 0, abs(days), worst, page.statement.student.name
