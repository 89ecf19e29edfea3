"""A report as tables, with what instructors put on record, and as files: the same rows and sentences in every form."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from stickback import clock
from stickback.course.course import Course, Sheet
from stickback.export import paper, table
from stickback.export.document import WIDE, Document
from stickback.export.table import Column, Table
from stickback.readiness.calibrate import as_data, calibration
from stickback.readiness.statement import Statement
from stickback.services.readiness import Page, Report
from stickback.study.flown import Flown
from stickback.study.oral import Oral
from stickback.words import flown as flights
from stickback.words import oral, page, terms
from stickback.words import readiness as words
from stickback.words.columns import COLUMNS, STUDENT, TOPIC, WEEK, Line


class Flight(NamedTuple):
    """A row about a lesson flown."""

    student: str
    one: Flown


class Sat(NamedTuple):
    """A row about an oral."""

    student: str
    one: Oral


def flights_of(page: Page) -> list[Flight]:
    """The rows of a student's lessons flown."""
    return [Flight(page.statement.student.name, each) for each in page.flights]


def orals_of(page: Page) -> list[Sat]:
    """The rows of a student's orals, those that were not finished too."""
    return [Sat(page.statement.student.name, each) for each in page.orals]


def _day(row: Flight | Sat) -> str:
    return clock.day_date(row.one.day).isoformat()


def _named(history: tuple[str, str]) -> str:
    """The id of a question as its deck has it."""
    return history[0].rpartition("/")[2]


def _wrong(row: Sat) -> tuple[str, ...]:
    return tuple(_named(heard.history) for heard in row.one.heard if not heard.right)


def _remarks(row: Sat) -> tuple[str, ...]:
    return tuple(f"{_named(heard.history)}: {heard.remark}" for heard in row.one.heard if heard.remark)


_STUDENT = Column("student", "string", "", "name", lambda row: row.student)

FLOWN: tuple[Column, ...] = (
    _STUDENT,
    Column("day", "date", "", "of the flight", _day),
    Column("flown", "string", "", "id of the lesson flown", lambda row: row.one.lesson),
    Column("sheet", "string", "", "id of the aircraft sheet", lambda row: row.one.aircraft or None),
    Column("record", "string", "", "whose it is said to be", lambda row: row.one.by),
    Column("seat", "string", "", "flown dual or solo", lambda row: row.one.seat or None, words=("dual", "solo")),
    Column("wind", "string", "", "as it was said", lambda row: row.one.wind or None),
    Column("full_stop", "integer", "", "landings to a full stop", lambda row: row.one.full_stop, least=0),
    Column("wheel", "integer", "", "wheel landings", lambda row: row.one.wheel, least=0),
    Column("go_around", "integer", "", "go-arounds", lambda row: row.one.go_around, least=0),
    Column("standard", "string", "", "the lesson's completion standard", lambda row: flights.standard(row.one) or None),
    Column("seen_errors", "strings", "", "ids of the errors seen", lambda row: row.one.errors),
    Column("note", "string", "", "as it was typed", lambda row: row.one.note or None),
)

ORALS: tuple[Column, ...] = (
    _STUDENT,
    Column("day", "date", "", "of its last question", _day),
    Column("examiner", "string", "", "who is said to have put it", lambda row: row.one.by or None),
    Column("questions", "integer", "", "that were to be put", lambda row: row.one.questions, least=0),
    Column("asked", "integer", "", "of them that were put", lambda row: len(row.one.heard), least=0),
    Column("right", "integer", "", "of those that were right", lambda row: row.one.right, least=0),
    Column("needed", "integer", "", "right ones needed to pass", lambda row: row.one.needed, least=0),
    Column("result", "string", "", "how it ended", lambda row: oral.result(row.one), words=oral.RESULTS),
    Column("known_told", "number", "share", "known on that day, as told before it", lambda row: row.one.known),
    Column("chance_told", "number", "share", "chance to pass it, as told before it", lambda row: row.one.chance),
    Column("wrong", "strings", "", "ids of the questions that were not right", _wrong),
    Column("remarks", "strings", "", "the examiner's, each behind its question's id", _remarks),
    Column("oral", "string", "", "id of the oral, as its sheet of results has it", lambda row: row.one.id),
)


def by_student(report: Report) -> Table:
    """A row for each student."""
    return _table(STUDENT, [Line(report.course, page) for page in report.pages], report)


def by_topic(report: Report) -> Table:
    """A row for each student and topic."""
    every = list(enumerate(report.course.plan.topics.values()))
    return _table(TOPIC, [Line(report.course, page, topic, at) for page in report.pages for at, topic in every], report)


def flown(report: Report) -> Table:
    """A row for each lesson flown."""
    return _made(FLOWN, [row for page in report.pages for row in flights_of(page)], report)


def orals(report: Report) -> Table:
    """A row for each oral."""
    return _made(ORALS, [row for page in report.pages for row in orals_of(page)], report)


def by_week(report: Report) -> Table:
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
            "students": {one.student.name: as_data(calibration([one.foretold])) for one in found},
        },
        "note": words.CAUTION,
    }


def _without(course: Course, sheet: Sheet, found: list[Statement]) -> list[str]:
    """Topics that nothing asks of a student of this aeroplane, under none of the phraseologies flown on it."""
    flown = {(one.student.phraseology, one.student.abroad) for one in found if one.sheet.id == sheet.id}
    asked = {one.topic for rules, abroad in flown for one in course.applicable(sheet, rules, abroad=abroad).values()}
    return [topic for topic in course.plan.topics if topic not in asked]


_PAPER: dict[str, Callable[[Document], str | bytes]] = {
    "text": lambda made: "\n".join([*made.lines(), ""]),
    "html": paper.as_html,
    "pdf": paper.as_pdf,
}


def files(report: Report, form: str, name: str, *, topics: bool) -> list[tuple[str, bytes]]:
    """The files of a form by their names, the one asked for first; CSV has its description beside it.

    Args:
        form: csv, json, xlsx, html, pdf or text.
        name: of the file; empty where it is none.
        topics: a row for each topic: of CSV instead of one a student, of text beside the rest; the others have both.
    """
    if form == "csv":
        return _csv(by_topic(report) if topics else by_student(report), name)
    if form == "json":
        return [(name, f"{table.as_json(by_student(report), _inner(report), 'student')}\n".encode())]
    if form == "xlsx":
        made = {"overview": by_student(report), **_inner(report)}
        return [(name, table.as_workbook(made, list(_told(about(report))), report.day))]
    return [(name, printed(page.document(report, topics=topics or form != "text"), form))]


def _inner(report: Report) -> dict[str, Table]:
    """What stands below a student, several rows a student."""
    return {"topics": by_topic(report), "flown": flown(report), "orals": orals(report)}


def weekly(report: Report, form: str, name: str) -> list[tuple[str, bytes]]:
    """How it was week by week, in the forms of a table.

    Args:
        form: csv, json, xlsx or text.
    """
    made = by_week(report)
    if form == "csv":
        return _csv(made, name)
    if form == "json":
        return [(name, f"{table.as_json(made, {}, 'week')}\n".encode())]
    if form == "xlsx":
        return [(name, table.as_workbook({"weekly": made}, list(_told(about(report))), report.day))]
    lines = words.weekly(report.pages).lines(WIDE, 0)
    return [(name, "\n".join([*lines, ""]).encode())]


def printed(made: Document, form: str) -> bytes:
    """A document in a form to read or print: text, html or pdf."""
    found = _PAPER[form](made)
    return found if isinstance(found, bytes) else found.encode()


def _csv(made: Table, name: str) -> list[tuple[str, bytes]]:
    """A table as CSV, with its description where it is a file."""
    # A spreadsheet takes a file without the mark for its own country's encoding.
    content = table.as_csv(made).encode("utf-8-sig" if name else "utf-8")
    beside = [(f"{name}-metadata.json", table.metadata(made, name).encode())] if name else []
    return [(name, content), *beside]


def _told(about: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What every export carries, as rows of texts; the calibration of each student is left to JSON."""
    for name, value in about.items():
        if name == "calibration":
            yield "calibration", str(value["school"]["note"])
        elif isinstance(value, Mapping):
            yield name, "; ".join(f"{key}: {_listed(each)}" for key, each in value.items())
        else:
            yield name, str(value)


def _listed(value: object) -> str:
    return ", ".join(map(str, value)) or "none" if isinstance(value, list) else str(value)
