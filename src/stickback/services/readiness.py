"""The school's export: how each student's theory will stand on a date, topic by topic and overall."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from importlib.metadata import version

import numpy as np

from stickback import clock
from stickback.course.course import Course
from stickback.course.sheet import Sheet
from stickback.export.table import Cell, Table
from stickback.readiness import gather
from stickback.readiness.calibrate import as_data, calibration
from stickback.readiness.folded import fold_all
from stickback.readiness.forecast import Band
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import outlook, standing
from stickback.services.desk import Desk
from stickback.services.standing import Group, Ready
from stickback.store import log, parameters
from stickback.store.database import Database
from stickback.study.student import Student

COLUMNS = (
    "student",
    "date",
    "lesson",
    "topic",
    "title",
    "weight",
    "must",
    "questions",
    "seen",
    "recall",
    "recall_low",
    "recall_high",
    "sure_but_wrong",
    "last_day",
    "pass_chance",
    "pass_low",
    "pass_high",
    "verdict",
)
OVERALL = "overall"
REHEARSED = 20  # students whose plan is rehearsed in one report


def readiness(
    store: Database,
    course: Course,
    students: Sequence[Student],
    on: Sequence[date],
    today: Sequence[date] | None = None,
) -> list[Ready]:
    """Every student's standing on that student's date.

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
    found: dict[int, Ready] = {}
    for (name, phraseology), members in groups.items():
        asked = gather.ask_all(course, course.sheets[name], phraseology, folded.histories)
        group = Group(course, course.sheets[name], asked, folded, np.array(members), [students[at] for at in members])
        made = standing.ready(group, [on[at] for at in members])
        if today is not None:
            now = standing.forecast_of(group, group.standing([today[at] for at in members])).passes
            made = [replace(one, today=band) for one, band in zip(made, now, strict=True)]
        found |= dict(zip(members, made, strict=True))
    return [found[at] for at in range(len(students))]


def with_plan(store: Database, course: Course, found: Sequence[Ready], today: date | None) -> list[Ready]:
    """The same, and what comes of keeping to the plan where the date is that of the end of the course, still ahead.

    Nothing is added for more than `REHEARSED` students: each takes up to a second.
    """
    if len(found) > REHEARSED:
        return list(found)
    return [_kept(desks.desk(course, store, one.student.name, today), one) for one in found]


def _kept(desk: Desk, one: Ready) -> Ready:
    if one.date != one.student.checkride or one.date < desk.day or np.isnan(one.passes):
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


def table(course: Course, found: Sequence[Ready]) -> Table:
    """A row for each student and topic, and one overall."""
    rows = [row for one in found for row in _rows(course, one)]
    sheets = {one.sheet.id: one.sheet for one in found}
    about = {
        "course": course.plan.id,
        "title": course.plan.title,
        "course_revision": course.plan.about.get("revision", ""),
        "course_digest": course.revision,
        "program": f"stickback {version('stickback')}",
        "aircraft": {one.student.name: one.sheet.id for one in found},
        "questions_left_out": len(course.left_out),
        "topics_without_questions": {name: _without(course, one, found) for name, one in sheets.items()},
        "exam": {"questions": course.plan.exam_questions, "pass": course.plan.exam_pass},
        "calibration": {
            "school": as_data(calibration([one.told for one in found])),
            "students": {one.student.name: as_data(calibration([one.told])) for one in found},
        },
        "note": "A forecast of theory for an instructor; it certifies nothing.",
    }
    return Table(COLUMNS, tuple(rows), about)


def _without(course: Course, sheet: Sheet, found: Sequence[Ready]) -> list[str]:
    """Topics that nothing asks of a student of this aeroplane, under none of the phraseologies flown on it."""
    flown = {one.student.phraseology for one in found if one.sheet.id == sheet.id}
    asked = {question.topic for each in flown for question in course.applicable(sheet, each).values()}
    return [topic for topic in course.plan.topics if topic not in asked]


def _rows(course: Course, one: Ready) -> Iterator[tuple[Cell, ...]]:
    head = (one.student.name, one.date.isoformat())
    for at, topic in enumerate(course.plan.topics.values()):
        yield (
            *head,
            topic.lesson,
            topic.id,
            topic.title,
            topic.weight,
            topic.must,
            int(one.topics.questions[at]),
            int(one.topics.seen[at]),
            *_shares(Band(one.topics.known[at], one.low[at], one.high[at])),
            int(one.misbeliefs[at]),
            _day(one.last[at]),
            *(None,) * 4,
        )
    yield (
        *head,
        None,
        OVERALL,
        course.plan.title,
        None,
        None,
        int(one.topics.questions.sum()),
        int(one.topics.seen.sum()),
        *_shares(one.recall),
        int(one.misbeliefs.sum()),
        _day(one.last.max(initial=-1)),
        *_shares(one.oral),
        one.verdict,
    )


def _shares(band: Band) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(value) else float(value) for value in band)


def _day(number: int) -> str | None:
    return None if number < 0 else clock.day_date(int(number)).isoformat()
