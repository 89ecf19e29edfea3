"""Desk: one student at one course on one day, with everything that studying looks at."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Any

import numpy as np

from stickback import clock
from stickback.clock import Clock
from stickback.course import named
from stickback.course.course import Course, Question, Sheet
from stickback.memory import curve
from stickback.memory.entry import Entry, What
from stickback.memory.fold import Misbelief
from stickback.memory.past import History, Past, Row
from stickback.refused import Refused
from stickback.store import log, parameters, people
from stickback.store.engine import Database
from stickback.store.people import NOTHING_STORED, Counter
from stickback.study import flown
from stickback.study.debrief import Grasp
from stickback.study.flown import FlownError
from stickback.study.student import Student


@dataclass(frozen=True)
class Pool:
    """All that can be asked on an aeroplane, by question and variant, with the chance to guess each right."""

    sheet: Sheet
    questions: dict[History, Question]
    guesses: dict[History, float]


def pool(course: Course, student: Student) -> Pool:
    """All that can be asked of a student.

    Errors: Refused when the course does not have the student's aeroplane.
    """
    sheet = sheet_of(course, student)
    questions = course.pairs(sheet, student.phraseology, abroad=student.abroad)
    return Pool(sheet, questions, {each: one.guess for each, one in questions.items()})


@dataclass(frozen=True, kw_only=True)
class Desk:
    """What every use case of a student starts from; `day` stays the same however long it is kept.

    Args:
        counter: how far the log was when it was read; whoever holds a desk sees by it whether it still holds.
        stores: puts an entry on disk before it returns; of a school made up in `services.demo` it only collects them.
    """

    course: Course
    database: Database
    student: Student
    pool: Pool
    clock: Clock
    day: date
    past: Past
    counter: Counter = NOTHING_STORED
    stores: Callable[[Database, str, Entry], Entry] = log.append

    @property
    def number(self) -> int:
        """The day as a number."""
        return clock.day_number(self.day)

    @property
    def sheet(self) -> Sheet:
        """The aeroplane flown: the student's, else the first of the course."""
        return self.pool.sheet

    @property
    def questions(self) -> dict[History, Question]:
        """What can be asked of this student, by question and variant."""
        return self.pool.questions

    @cached_property
    def topic_of(self) -> dict[str, str]:
        """The topic of each question that can be asked, by its name in the log."""
        return {name: question.topic for (name, _), question in self.questions.items()}

    @property
    def guesses(self) -> dict[History, float]:
        """The chance to guess each right."""
        return self.pool.guesses

    def known(self, past: Past, histories: Sequence[History], day: int) -> list[float | None]:
        """The chance that each is known on a day; None where it is unseen."""
        guess = np.array([self.guesses[history] for history in histories])
        values = curve.known(past.recall(histories, day), guess)
        return [None if np.isnan(value) else float(value) for value in values]

    def days_to(self, answer: Row, before: Past) -> int:
        """Days from an answer until its question comes back, as the memory library says it.

        Args:
            before: what happened before it, of its question at the least.
        """
        memory = before.state(answer.history)
        state = None if memory is None else (memory.stability, memory.difficulty)
        elapsed = 0 if memory is None else answer.day - memory.moved_on
        grade = int(curve.grade(right=answer.right, confidence=answer.confidence, hinted=answer.hinted))
        return curve.interval(state, grade, elapsed, self.student.target, self.guesses[answer.history], before.own)

    def grasp(self, day: int) -> list[Grasp]:
        """How every question stands on a day, after all that happened."""
        histories = list(self.questions)
        known = self.known(self.past, histories, day)
        return [Grasp(each, self.questions[each].topic, value) for each, value in zip(histories, known, strict=True)]

    @cached_property
    def dawn(self) -> Past:
        """What happened before today."""
        return self.past.before(self.number)

    @property
    def so_far(self) -> "Desk":
        """The same without what the days after today hold, as a day in the past is looked at."""
        past = self.past.before(self.number + 1)
        return self if past is self.past else replace(self, past=past)

    @cached_property
    def misbeliefs(self) -> dict[History, Misbelief]:
        """Those open on questions that can be asked."""
        found = self.past.misbeliefs
        return {history: one for history, one in found.items() if history in self.questions}

    @cached_property
    def flown_errors(self) -> list[FlownError]:
        """Errors seen in flight that are still open."""
        return self.flown_errors_of(self.past)

    def flown_errors_of(self, past: Past) -> list[FlownError]:
        """Errors seen in flight that were open after a past."""
        return flown.still_open(past, self.course.plan.errors, self.topic_of)

    @property
    def moment(self) -> int:
        """Now, in milliseconds since 1970."""
        return int(self.clock.now.timestamp() * 1000)

    def entry(self, what: What, name: str | None = None, **more: Any) -> Entry:
        """An entry of now.

        Args:
            name: its id; a new one where nothing was said.
        """
        own, zone = name or self.clock.new_id(), self.clock.zone_name
        return Entry(id=own, what=what, day=self.day, at=self.moment, zone=zone, **more)

    def void(self, name: str) -> "Desk":
        """The desk after an entry was taken back."""
        return self.append(self.entry("void", voids=name))

    def undo(self) -> tuple["Desk", Row]:
        """The desk after its newest answer or flown lesson was taken back, and what that was; the log keeps it.

        Errors: Refused when there is none.
        """
        if (last := self.newest) is None:
            raise Refused("There is nothing to take back.")
        return self.void(last.id), last

    @property
    def newest(self) -> Row | None:
        """The last answer or flown lesson that is not voided yet: what would be taken back."""
        done = [row for row in self.past.rows if row.what in {"answer", "flown"} and row.id not in self.past.voided]
        return max(done, key=lambda row: (row.day, row.id), default=None)

    def append(self, entry: Entry) -> "Desk":
        """The desk after an entry, which is on disk when this returns.

        Errors: Refused when the database cannot take it.
        """
        return self.after(self.stores(self.database, self.student.name, entry))

    def after(self, stored: Entry) -> "Desk":
        """The desk after an entry that is stored already."""
        return replace(self, past=self.past.after(Row.of_entry(stored)), counter=self.counter.after(stored))


def sheet_of(course: Course, student: Student) -> Sheet:
    """The sheet a student flies.

    Errors: Refused when the course has no sheet, or not that one.
    """
    first = named.first_sheet(course)
    if student.aircraft is None:
        return first
    if student.aircraft not in course.sheets:
        has = named.listed(course.sheets)
        raise Refused(
            f"The course has no aircraft sheet '{student.aircraft}', which is set for {student.name}; it has {has}."
        )
    return course.sheets[student.aircraft]


def desk(course: Course, store: Database, student: str, today: date | None) -> Desk:
    """The desk of a student.

    Errors: Refused for a student, aeroplane or zone that is not there.
    """
    who, counter = people.standing(store, student)  # before the log: what comes between is seen later
    now = clock.clock_for(who.zone or clock.machine_zone(), today)
    past = remembered(store, who.name)
    return Desk(
        course=course,
        database=store,
        student=who,
        pool=pool(course, who),
        clock=now,
        day=_day(now.today, past),
        past=past,
        counter=counter,
    )


def remembered(store: Database, student: str) -> Past:
    """What happened to a student, under the parameters adopted for the student."""
    return log.read(store, student).under(parameters.sets(store, student).in_force)


def _day(today: date, past: Past) -> date:
    """The study day: someone who travelled west goes on with the day that was begun."""
    ahead = past.last_day == clock.day_number(today) + 1
    return today + timedelta(days=1) if ahead else today
