"""The readiness export: its columns, each with what a reader must know of it and where its value comes from."""

from collections.abc import Callable, Sequence
from importlib.metadata import version
from typing import NamedTuple

import numpy as np

from stickback import clock
from stickback.course.course import Course, Sheet, Topic
from stickback.export.table import Cell, Column, Table
from stickback.memory.curve import Ints
from stickback.readiness.calibrate import as_data, calibration
from stickback.readiness.verdict import Statement

OVERALL = "overall"


class Line(NamedTuple):
    """What a row is about: a student, and a topic with its place in the plan, or the whole."""

    course: Course
    one: Statement
    topic: Topic | None
    at: int

    def count(self, values: Ints) -> int:
        """How many in the topic, or in all."""
        return int(values[self.at] if self.topic else values.sum())

    def share(self, place: int) -> float | None:
        """A part of what is known of the topic, or of all: 0 the figure, 1 and 2 the ends of its band."""
        value = float(self.one.topics[self.at, place] if self.topic else self.one.known[place])
        return None if np.isnan(value) else value

    def by_model(self) -> float | None:
        """The figure by the memory model alone."""
        value = float(self.one.topics_by_model[self.at]) if self.topic else self.one.known_by_model
        return None if np.isnan(value) else value

    def chance(self, place: int) -> float | None:
        """The same of the chance to pass, which belongs to the whole alone."""
        value = self.one.pass_chance[place]
        return None if self.topic or np.isnan(value) else value

    def last_day(self) -> str | None:
        """The day of the last answer."""
        number = int(self.one.last[self.at] if self.topic else self.one.last.max(initial=-1))
        return None if number < 0 else clock.day_date(number).isoformat()


def _of_topic(value: Callable[[Topic], Cell]) -> Callable[[Line], Cell]:
    return lambda line: value(line.topic) if line.topic else None


_BAND = "end of the range that holds it in eight cases of ten"
COLUMNS: tuple[Column, ...] = (
    Column("student", "string", "", "name of the student", lambda line: line.one.student.name),
    Column("date", "date", "", "day that the figures are for", lambda line: line.one.date.isoformat()),
    Column("lesson", "string", "", "id of the topic's lesson", _of_topic(lambda topic: topic.lesson)),
    Column(
        "topic", "string", "", f"id of the topic, or `{OVERALL}`", lambda line: line.topic.id if line.topic else OVERALL
    ),
    Column("title", "string", "", "of the topic or course", lambda line: (line.topic or line.course.plan).title),
    Column("weight", "integer", "", "share of the topic in the oral, 1 to 3", _of_topic(lambda topic: topic.weight)),
    Column("must", "boolean", "", "whether the topic is a matter of safety", _of_topic(lambda topic: topic.must)),
    Column("questions", "integer", "", "that count for the student", lambda line: line.count(line.one.questions)),
    Column("seen", "integer", "", "of them that were answered", lambda line: line.count(line.one.seen)),
    Column("known", "number", "share", "chance that a question is known on the date", lambda line: line.share(0)),
    Column("known_low", "number", "share", f"lower {_BAND}", lambda line: line.share(1)),
    Column("known_high", "number", "share", f"upper {_BAND}", lambda line: line.share(2)),
    Column("known_by_model", "number", "share", "by the plain memory model, without the student's own", Line.by_model),
    Column(
        "sure_but_wrong",
        "integer",
        "",
        "questions answered wrong and sure, still open",
        lambda line: line.count(line.one.misbeliefs),
    ),
    Column("last_day", "date", "", "study day of the last answer", Line.last_day),
    Column(
        "pass_chance", "number", "share", "chance to pass the school's oral on the date", lambda line: line.chance(0)
    ),
    Column("pass_low", "number", "share", f"lower {_BAND}", lambda line: line.chance(1)),
    Column("pass_high", "number", "share", f"upper {_BAND}", lambda line: line.chance(2)),
    Column(
        "verdict",
        "string",
        "",
        "sound, borderline, not yet or no estimate",
        lambda line: None if line.topic else line.one.verdict,
    ),
)


def table(course: Course, found: Sequence[Statement]) -> Table:
    """A row for each student and topic, and one overall."""
    topics = list(enumerate(course.plan.topics.values()))
    lines = [Line(course, one, *row) for one in found for row in (*((topic, at) for at, topic in topics), (None, -1))]
    return Table(COLUMNS, tuple(tuple(column.of(line) for column in COLUMNS) for line in lines), _about(course, found))


def _about(course: Course, found: Sequence[Statement]) -> dict[str, object]:
    sheets = {one.sheet.id: one.sheet for one in found}
    return {
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


def _without(course: Course, sheet: Sheet, found: Sequence[Statement]) -> list[str]:
    """Topics that nothing asks of a student of this aeroplane, under none of the phraseologies flown on it."""
    flown = {one.student.phraseology for one in found if one.sheet.id == sheet.id}
    asked = {question.topic for each in flown for question in course.applicable(sheet, each).values()}
    return [topic for topic in course.plan.topics if topic not in asked]
