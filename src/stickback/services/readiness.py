"""The school's readiness: what is stated of each student's theory on a date."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from stickback import clock
from stickback.course.course import Course, Question, Sheet
from stickback.memory.columns import Columns
from stickback.memory.curve import Flags, Floats, Ints
from stickback.memory.past import Past
from stickback.readiness import standings
from stickback.readiness.calibrate import Calibration, calibration
from stickback.readiness.forecast import Band, forecast
from stickback.readiness.oral import per_topic
from stickback.readiness.rehearsal import Rehearsal
from stickback.readiness.standings import Standings
from stickback.readiness.statement import BORDERLINE, NO_ESTIMATE, NOT_YET, Statement
from stickback.services import desk as desks
from stickback.services import plans
from stickback.services.plans import SoFar
from stickback.store import log, parameters
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
) -> Report:
    """The report on some students, on a date of all or each on their own.

    Args:
        today: a day to act as if it were today.
        so_far: as in `plans.outcomes`.
        whole: with the questions that are sure but wrong, and the fingerprint of the log.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    dates, todays = date_of_each(students, on, today), today_of_each(students, today)
    found = statements(store, course, students, dates, todays, so_far)
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
        fingerprint=log.fingerprint(store, student=_alone(students)) if whole else "",
    )


def _alone(students: Sequence[Student]) -> str | None:
    """The one student that is told of; of more the whole log is held to its fingerprint."""
    return students[0].name if len(students) == 1 else None


def weekly(store: Database, course: Course, students: Sequence[Student], today: date | None = None) -> Report:
    """How each student stood week by week up to today, by what had been answered then: a page a student and week.

    Errors: Refused for a student whose aeroplane the course does not have.
    """
    columns, todays = answers(store, students), today_of_each(students, today)
    pages: list[Page] = []
    weeks = _weeks(columns.day.tolist(), todays)
    for back in range(weeks, -1, -1):
        then = [day - timedelta(weeks=back) for day in todays]
        numbers = np.array([clock.day_number(day) for day in then], dtype=np.int64)
        found = stated(course, students, columns.until(numbers), then)
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


def statements(
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
    """What is stated by the answers of some students; see `statements`."""
    groups: dict[tuple[str, str, bool], list[int]] = {}
    for at, one in enumerate(students):
        groups.setdefault((desks.sheet_of(course, one).id, one.phraseology, one.abroad), []).append(at)
    found: dict[int, Statement] = {}
    ahead: dict[int, Rehearsal] = {}
    for members in groups.values():
        who = [students[at] for at in members]
        board = desks.board(course, who[0])
        stand = standings.standings(course, board.questions, columns, np.array(members), [one.name for one in who])
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
    stand: Standings, sheet: Sheet, who: Sequence[Student], on: Sequence[date], told: Sequence[tuple[Floats, Flags]]
) -> list[Statement]:
    """What is stated of the students of one aeroplane."""
    made, topics = forecast(stand, _numbers(on)), len(stand.oral.topics)
    misbeliefs, wrong = (per_topic(flags, stand.topic, topics) for flags in (stand.misbelief, stand.wrong))
    return [
        Statement(
            student=student,
            date=day,
            sheet=sheet,
            oral=stand.oral,
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


def date_of_each(students: Sequence[Student], on: date | None, today: date | None) -> list[date]:
    """The date of each: the one asked for, else the checkride, else the student's own today (`--today` for all)."""
    return [on or one.checkride or now for one, now in zip(students, today_of_each(students, today), strict=True)]


def today_of_each(students: Sequence[Student], today: date | None) -> list[date]:
    """Each student's own study day; `--today` for all."""
    return [clock.clock_for(one.zone or clock.machine_zone(), today).today for one in students]
