"""The school's readiness: what is stated of each student's theory on a date."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from stickback import clock
from stickback.course.course import Course, Question, Seen
from stickback.memory.past import Past
from stickback.readiness.calibrate import Calibration, calibration
from stickback.readiness.statement import BORDERLINE, NO_ESTIMATE, NOT_YET, Case, Statement, numbers
from stickback.services import desk as desks
from stickback.services import note, plans, statements
from stickback.services.note import Note
from stickback.services.plans import SoFar
from stickback.services.statements import Kept
from stickback.store import log, people
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
        flights: lessons flown, in order; `errors`, those seen on them and still open; their `due` is not worked out.
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
        fingerprint: of the log, which nobody can change once it is printed; on one student, of what is the student's.
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
    kept: Kept | None = None,
) -> Report:
    """The report on some students, on a date of all or each on their own.

    Args:
        today: a day to act as if it were today.
        whole: with what is sure but wrong, how strictly each marks alone, and the fingerprint of the log.
        so_far: is told of the plans, which take longest, how many are done and of how many.
        kept: what was stated before, and keeps what is stated now.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    cases = statements.cases_of(students, on, today)
    found = statements.statements(store, course, cases, so_far, kept)
    pasts = log.besides(store, [one.name for one in students])
    errors = course.plan.errors
    pages = [
        _page(one, case.today, on, pasts.get(case.student.name, Past(())), errors)
        for one, case in zip(found, cases, strict=True)
    ]
    return Report(
        course=course,
        day=clock.clock_for(clock.machine_zone(), today).today,
        pages=tuple(sorted(_whole(store, course, pages, today) if whole else pages, key=_urgency)),
        calibration=calibration([one.foretold for one in found]),
        fingerprint=log.fingerprint(store, student=_alone(students)) if whole else "",
    )


def _alone(students: Sequence[Student]) -> str | None:
    """The one student that is told of; of more the whole log is held to its fingerprint."""
    return students[0].name if len(students) == 1 else None


def weekly(store: Database, course: Course, students: Sequence[Student], today: date | None = None) -> Report:
    """How each student stood week by week up to today, by what had been answered then: a page a student and week.

    Errors: Refused for a student whose aeroplane the course does not have.
    """
    cases = statements.cases_of(students, None, today)
    columns = statements.answers_of(store, students)
    pages: list[Page] = []
    for back in range(_weeks(columns.day.tolist(), [case.today for case in cases]), -1, -1):
        then = [Case(case.student, day, day) for case in cases for day in [case.today - timedelta(weeks=back)]]
        until = columns.until(numbers(case.today for case in then))
        groups = statements.groups(course, until, then)
        found = [one for group in groups for one in statements.stated(group, today=False)]
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


def _page(one: Statement, today: date, on: date | None, past: Past, errors: dict[str, Seen]) -> Page:
    past = past.before(clock.day_number(today) + 1)
    dated = on is not None or one.student.checkride is not None
    return Page(
        statement=one,
        today=today,
        days=(one.date - today).days if dated else None,
        flights=tuple(flown.flights(past)),
        errors=tuple(flown.still_open(past, errors, topic_of={})),
        orals=tuple(oral.orals(past)),
    )


def _whole(store: Database, course: Course, pages: Sequence[Page], today: date | None) -> list[Page]:
    """The pages with what takes a look at each student's log."""
    if not pages:
        return []
    names, until = [page.statement.student.name for page in pages], max(page.today for page in pages)
    by_self = log.self_marked(store, names, until)
    return [
        replace(page, wrong=_wrong(store, course, page.statement, today), by_self=by_self.get(name, (0, 0)))
        for page, name in zip(pages, names, strict=True)
    ]


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


@dataclass(frozen=True)
class Handover:
    """What a new instructor should know of a student: the page of a report, and the student's own notes by topic."""

    report: Report
    notes: tuple[Note, ...]

    @property
    def page(self) -> Page:
        """That of the student, who alone is reported on."""
        return self.report.pages[0]


def handover(
    store: Database, course: Course, name: str, today: date | None = None, kept: Kept | None = None
) -> Handover:
    """What is handed over of a student.

    Args:
        kept: as for `report`.
    Errors: Refused when there is no such student, or when the course does not have the aeroplane.
    """
    student = people.find(store, name)
    made = report(store, course, [student], today=today, kept=kept)
    return Handover(made, tuple(note.notes(desks.desk(course, store, student.name, today))))
