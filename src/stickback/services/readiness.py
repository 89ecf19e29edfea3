"""The school's export: how each student's theory will stand on a date, topic by topic and overall."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.metadata import version

import numpy as np

from stickback import clock
from stickback.course.course import Course
from stickback.course.sheet import Sheet
from stickback.export.table import Cell, Table
from stickback.memory.curve import Ints
from stickback.readiness import gather, score
from stickback.readiness.gather import Asked, Standing
from stickback.readiness.score import Topics
from stickback.services import desk as desks
from stickback.store import log
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


@dataclass(frozen=True)
class Ready:
    """How one student stands on a date.

    Args:
        known: mean over a question drawn by topic weight; nan when no question applies.
        passes: chance to pass the school's oral.
        topics: as in `score.Topics`, of this student alone.
        misbeliefs: open ones by topic; `last`, day number of the last answer by topic, -1 where none was.
    """

    student: Student
    date: date
    sheet: Sheet
    known: float
    passes: float
    topics: Topics
    misbeliefs: Ints
    last: Ints


def readiness(store: Database, course: Course, students: Sequence[Student], on: Sequence[date]) -> list[Ready]:
    """Every student's standing on that student's date.

    Errors: Refused for a student whose aeroplane the course does not have.
    """
    folded = gather.fold_all(log.columns(store, [one.name for one in students]), len(students))
    groups: dict[tuple[str, str], list[int]] = {}
    for at, one in enumerate(students):
        groups.setdefault((desks.sheet_of(course, one).id, one.phraseology), []).append(at)
    found: dict[int, Ready] = {}
    for (name, phraseology), members in groups.items():
        sheet = course.sheets[name]
        asked = gather.ask_all(course, sheet, phraseology, folded.histories)
        numbers = np.array([clock.day_number(on[at]) for at in members])
        standing = gather.standing(asked, folded, np.array(members), [students[at].name for at in members], numbers)
        who = [(students[at], on[at]) for at in members]
        found |= dict(zip(members, _group(course, sheet, asked, standing, who), strict=True))
    return [found[at] for at in range(len(students))]


def _group(
    course: Course, sheet: Sheet, asked: Asked, standing: Standing, who: Sequence[tuple[Student, date]]
) -> Iterator[Ready]:
    """The students of one aeroplane and phraseology."""
    plan = course.plan
    topics = score.by_topic(standing.known, standing.counted, asked.topic, len(plan.topics))
    known = score.overall(topics, np.array([topic.weight for topic in plan.topics.values()], dtype=np.int64))
    passes = score.pass_chance(known, plan.exam_questions, plan.exam_pass)
    belongs = asked.topic[:, None] == np.arange(len(plan.topics))
    wrong = standing.misbelief.astype(np.int64) @ belongs
    for row, (student, day) in enumerate(who):
        last = np.where(belongs, standing.last[row][:, None], -1).max(axis=0, initial=-1)
        own = Topics(topics.questions[row], topics.seen[row], topics.known[row])
        yield Ready(student, day, sheet, float(known[row]), float(passes[row]), own, wrong[row], last)


def dates(students: Sequence[Student], on: date | None, today: date | None) -> list[date]:
    """The date of each: the one asked for, else the checkride, else the student's own today (`--today` for all)."""
    return [on or one.checkride or clock.clock_for(one.zone or clock.machine_zone(), today).today for one in students]


def table(course: Course, found: Sequence[Ready]) -> Table:
    """A row for each student and topic, and one overall; the columns of the band and the verdict are still empty."""
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
            *_figures(one.topics.questions[at], one.topics.seen[at], one.topics.known[at]),
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
        *_figures(one.topics.questions.sum(), one.topics.seen.sum(), one.known),
        int(one.misbeliefs.sum()),
        _day(one.last.max(initial=-1)),
        _share(one.passes),
        *(None,) * 3,
    )


def _figures(questions: int, seen: int, known: float) -> tuple[Cell, ...]:
    """questions, seen, recall and its band, which stays empty."""
    return int(questions), int(seen), _share(known), None, None


def _share(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _day(number: int) -> str | None:
    return None if number < 0 else clock.day_date(int(number)).isoformat()
