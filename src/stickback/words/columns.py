"""The readiness export: its columns, each with what a reader must know of it and where its value comes from.

One list serves every table and format: a column says which rows have it. Those of flights and orals are in `exports`.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from stickback import clock
from stickback.course.course import Course, Topic
from stickback.export.table import Cell, Column
from stickback.memory.curve import Ints
from stickback.readiness.forecast import DIGITS, Band
from stickback.readiness.statement import BORDERLINE, NO_ESTIMATE, NOT_YET, SOUND, Statement
from stickback.services.readiness import Page
from stickback.study.oral import Oral
from stickback.words import oral
from stickback.words import readiness as words

STUDENT, TOPIC, WEEK = "student", "topic", "week"  # what a row is about
PLANS = ("enough", "short", "no minutes are enough")


class Line(NamedTuple):
    """What a row is about: a student of a report, and a topic with its place in the plan."""

    course: Course
    page: Page
    topic: Topic | None = None
    at: int = -1

    @property
    def one(self) -> Statement:
        """What is stated of the student."""
        return self.page.statement

    def count(self, values: Ints) -> int:
        """How many in the topic, or in all."""
        return int(values[self.at] if self.topic else values.sum())

    def share(self, place: int) -> float | None:
        """A part of what is known of the topic, or of all: 0 the figure, 1 and 2 the ends of its band."""
        return _some(float(self.one.topics[self.at, place] if self.topic else self.one.known[place]))

    def by_model(self) -> float | None:
        """The figure by the memory model alone."""
        return _some(float(self.one.topics_by_model[self.at]) if self.topic else self.one.known_by_model)

    def last_day(self) -> str | None:
        """The day of the last answer."""
        number = int(self.one.answered_on[self.at] if self.topic else self.one.answered_on.max(initial=-1))
        return None if number < 0 else _day(number)

    def the_topic(self) -> Topic:
        """The topic of a row about one."""
        assert self.topic is not None  # noqa: S101 - only rows about topics have these columns
        return self.topic


def _some(value: float) -> float | None:
    return None if np.isnan(value) else value


def _day(number: int) -> str:
    return clock.day_date(number).isoformat()


def _band(band: Callable[[Statement], Band | None], place: int) -> Callable[[Line], Cell]:
    """A part of a band of a statement; empty where there is none."""

    def of(line: Line) -> Cell:
        found = band(line.one)
        return None if found is None else _some(found[place])

    return of


def _shares(name: str, meaning: str, band: Callable[[Statement], Band | None], *rows: str) -> tuple[Column, ...]:
    """The three columns of a share of a student: the figure, and the ends of its range."""
    low = name.removesuffix("_chance")
    said = ((name, meaning), (f"{low}_low", f"lower {_END}"), (f"{low}_high", f"upper {_END}"))
    return tuple(
        Column(each, "number", "share", text, _band(band, place), rows=rows) for place, (each, text) in enumerate(said)
    )


def _plan(line: Line) -> Cell:
    """Whether the minutes a day are enough; empty where nothing was planned."""
    if line.one.if_kept is None:
        return None
    short = line.one.if_kept.short_by
    return PLANS[2] if short is None else PLANS[1] if short else PLANS[0]


def _column(
    name: str, kind: str, meaning: str, of: Callable[[Line], Cell], *rows: str, unit: str = "", **more: object
) -> Column:
    return Column(name, kind, unit, meaning, of, rows=rows or (STUDENT,), **more)  # type: ignore[arg-type]


def _days_left(line: Line) -> Cell:
    return None if line.page.days is None else line.page.days


def _last_flown(line: Line) -> Cell:
    return _day(line.page.flights[-1].day) if line.page.flights else None


def _whole(line: Line) -> list[Oral]:
    """The orals that were put to their end."""
    return [one for one in line.page.orals if one.whole]


def _oral_share(line: Line) -> Cell:
    return _part((_whole(line)[-1].right, _whole(line)[-1].questions)) if _whole(line) else None


def _oral_told(line: Line) -> Cell:
    return _whole(line)[-1].chance if _whole(line) else None


def _oral_passed(line: Line) -> Cell:
    return _whole(line)[-1].passed if _whole(line) else None


def _part(counts: tuple[int, int]) -> float | None:
    """A share; empty where there is nothing."""
    return round(counts[0] / counts[1], DIGITS) if counts[1] else None


_END = "end of the range that holds it in eight cases of ten"
COLUMNS: tuple[Column, ...] = (
    _column("student", "string", "name", lambda line: line.one.student.name, STUDENT, WEEK, TOPIC),
    _column("aircraft", "string", "id of the student's aircraft sheet", lambda line: line.one.sheet.id),
    _column("phraseology", "string", "radio rules taught", lambda line: line.one.student.phraseology),
    _column(
        "date", "date", "day that the figures are for", lambda line: line.one.date.isoformat(), STUDENT, WEEK, TOPIC
    ),
    _column("days", "integer", "left to the date; negative when it has passed", _days_left, unit="day"),
    _column("lesson", "string", "id of the topic's lesson", lambda line: line.the_topic().lesson, TOPIC),
    _column("topic", "string", "id of the topic", lambda line: line.the_topic().id, TOPIC),
    _column("title", "string", "of the topic", lambda line: line.the_topic().title, TOPIC),
    _column(
        "weight",
        "integer",
        "how much it counts in the oral",
        lambda line: line.the_topic().weight,
        TOPIC,
        least=1,
        most=3,
    ),
    _column("must", "boolean", "whether it is a matter of safety", lambda line: line.the_topic().must, TOPIC),
    _column(
        "verdict",
        "string",
        "on the theory, for the instructor",
        lambda line: line.one.verdict,
        STUDENT,
        WEEK,
        words=(SOUND, BORDERLINE, NOT_YET, NO_ESTIMATE),
    ),
    _column(
        "questions",
        "integer",
        "that count for the student",
        lambda line: line.count(line.one.questions),
        STUDENT,
        WEEK,
        TOPIC,
        least=0,
    ),
    _column(
        "seen",
        "integer",
        "of them that were answered",
        lambda line: line.count(line.one.seen),
        STUDENT,
        WEEK,
        TOPIC,
        least=0,
    ),
    _column("answers", "integer", "that moved the memory", lambda line: line.one.answers, STUDENT, WEEK, least=0),
    _column(
        "known",
        "number",
        "chance that a question is known on the date",
        lambda line: line.share(0),
        STUDENT,
        WEEK,
        TOPIC,
        unit="share",
    ),
    _column("known_low", "number", f"lower {_END}", lambda line: line.share(1), STUDENT, WEEK, TOPIC, unit="share"),
    _column("known_high", "number", f"upper {_END}", lambda line: line.share(2), STUDENT, WEEK, TOPIC, unit="share"),
    _column("known_by_model", "number", "by the plain memory model alone", Line.by_model, STUDENT, TOPIC, unit="share"),
    *_shares(
        "pass_chance",
        "chance to pass the school's oral on the date, without further study",
        lambda one: one.pass_chance,
        STUDENT,
        WEEK,
    ),
    *_shares("today_chance", "chance to pass it today", lambda one: one.pass_today, STUDENT),
    *_shares(
        "kept_chance",
        "chance to pass it on the date when the plan is kept until then",
        lambda one: one.if_kept.pass_chance if one.if_kept else None,
        STUDENT,
    ),
    _column("plan", "string", "whether the minutes a day are enough by the date", _plan, words=PLANS),
    _column(
        "short_by",
        "integer",
        "minutes a day that the plan lacks",
        lambda line: line.one.if_kept.short_by if line.one.if_kept else None,
        unit="minute",
        least=0,
    ),
    _column(
        "sure_but_wrong",
        "integer",
        "questions answered wrong and sure, still open",
        lambda line: line.count(line.one.misbeliefs),
        STUDENT,
        WEEK,
        TOPIC,
        least=0,
    ),
    _column("open_errors", "integer", "seen in flight and not flown away", lambda line: len(line.page.errors), least=0),
    _column("errors", "strings", "their ids", lambda line: tuple(one.error for one in line.page.errors)),
    _column("next", "string", "what to do next, in words", lambda line: words.next_step(line.course, line.page)),
    _column(
        "obstacles",
        "strings",
        "what keeps the verdict from sound, in words",
        lambda line: tuple(words.obstacle(line.course, one) for one in line.one.obstacles),
    ),
    _column("last_day", "date", "of the last answer", Line.last_day, STUDENT, TOPIC),
    _column("last_flown", "date", "of the last lesson flown", _last_flown),
    _column("orals_finished", "integer", "put by an instructor to their end", lambda line: len(_whole(line)), least=0),
    _column(
        "last_oral", "date", "of the last of them", lambda line: _day(_whole(line)[-1].day) if _whole(line) else None
    ),
    _column("oral_share", "number", "of its questions that were right", _oral_share, unit="share"),
    _column("oral_told", "number", "chance to pass it that had been told before it", _oral_told, unit="share"),
    _column("oral_passed", "boolean", "whether enough were right", _oral_passed),
    _column(
        "self_marked",
        "number",
        "answers said aloud that the student marked as right",
        lambda line: _part(line.page.by_self),
        unit="share",
    ),
    _column(
        "instructor_marked",
        "number",
        "answers said aloud in orals that the instructor marked as right",
        lambda line: _part(oral.spoken(line.page.orals)),
        unit="share",
    ),
)
