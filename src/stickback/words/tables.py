"""The tables of the readiness export, and what stands beside each of them."""

from collections.abc import Sequence

from stickback.course.course import Course, Sheet
from stickback.export.table import Column, Table
from stickback.readiness.calibrate import as_data, calibration
from stickback.readiness.statement import Statement
from stickback.services.readiness import Report
from stickback.words import readiness as words
from stickback.words import records, terms
from stickback.words.columns import COLUMNS, STUDENT, TOPIC, WEEK, Line


def overview(report: Report) -> Table:
    """A row for each student."""
    return _table(STUDENT, [Line(report.course, page) for page in report.pages], report)


def topics(report: Report) -> Table:
    """A row for each student and topic."""
    every = list(enumerate(report.course.plan.topics.values()))
    return _table(TOPIC, [Line(report.course, page, topic, at) for page in report.pages for at, topic in every], report)


def flown(report: Report) -> Table:
    """A row for each lesson flown."""
    return _made(records.FLOWN, [row for page in report.pages for row in records.flown(page)], report)


def orals(report: Report) -> Table:
    """A row for each oral."""
    return _made(records.ORALS, [row for page in report.pages for row in records.orals(page)], report)


def weekly(report: Report) -> Table:
    """A row for each student and week."""
    return _table(WEEK, [Line(report.course, page) for page in report.pages], report)


def _table(row: str, lines: list[Line], report: Report) -> Table:
    return _made(tuple(column for column in COLUMNS if row in column.rows), lines, report)


def _made(columns: tuple[Column, ...], lines: Sequence[object], report: Report) -> Table:
    return Table(columns, tuple(tuple(column.of(line) for column in columns) for line in lines), about(report))


def about(report: Report) -> dict[str, object]:
    """What every export carries."""
    course, found = report.course, [page.statement for page in report.pages]
    sheets = {one.sheet.id: one.sheet for one in found}
    return {
        "course": course.plan.id,
        "course_title": course.plan.title,
        "course_revision": course.plan.about.get("revision", ""),
        "course_digest": course.revision,
        "program": terms.program(),
        "aircraft": {one.student.name: one.sheet.id for one in found},
        "today": report.day.isoformat(),
        "log": report.fingerprint,
        "questions_left_out": len(course.left_out),
        "topics_without_questions": {name: _without(course, one, found) for name, one in sheets.items()},
        "exam": {"questions": course.plan.exam_questions, "pass": course.plan.exam_pass},
        "calibration": {
            "school": as_data(report.calibration),
            "students": {one.student.name: as_data(calibration([one.told])) for one in found},
        },
        "note": words.CAUTION,
    }


def _without(course: Course, sheet: Sheet, found: list[Statement]) -> list[str]:
    """Topics that nothing asks of a student of this aeroplane, under none of the phraseologies flown on it."""
    flown = {(one.student.phraseology, one.student.abroad) for one in found if one.sheet.id == sheet.id}
    asked = {one.topic for rules, abroad in flown for one in course.applicable(sheet, rules, abroad=abroad).values()}
    return [topic for topic in course.plan.topics if topic not in asked]
