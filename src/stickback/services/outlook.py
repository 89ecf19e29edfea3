"""The outlook: what the days to the date hold, what is known on it by keeping to the plan, and if it is enough."""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from stickback import clock
from stickback.readiness.forecast import MIDDLE, Band
from stickback.readiness.rehearsal import Rehearsal
from stickback.refused import Refused
from stickback.services import goals, today
from stickback.services.desk import Desk
from stickback.services.goals import Occasion
from stickback.services.today import Wish
from stickback.study.candidate import Candidate, Reason
from stickback.study.days import Evening, Start
from stickback.study.sitting import Agenda

DIGITS = 4  # of every figure


@dataclass(frozen=True)
class DayAhead:
    """A day of the outlook.

    Args:
        minutes, questions: what the plan takes, askings repeated on the day included.
        known: of a question drawn by topic weight, on the evening.
    """

    day: date
    minutes: float
    questions: float
    known: Band


@dataclass(frozen=True)
class OnTheDay:
    """How the student will stand on the date.

    Args:
        known: of a question drawn by topic weight; `topics`, the middle by topic.
        pass_chance: the school's oral; before a lesson, one about its topics and those before it.
        unseen: how many questions will never have been asked.
    """

    known: Band
    topics: dict[str, float]
    pass_chance: Band
    unseen: float


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """The days from today to a date.

    Args:
        minutes: a study day's budget.
        questions: how many there are for the date.
        without: how the student will stand without further study; `on_the_day`, by keeping to the plan.
        short_by: minutes a day that are missing for the plan to be enough; 0 when it is, None when no setting is.
        why: today's questions by id in the order of asking, each with why it was chosen.
    """

    occasion: Occasion
    minutes: int
    days: tuple[DayAhead, ...]
    questions: int
    without: OnTheDay
    on_the_day: OnTheDay
    short_by: int | None
    why: tuple[tuple[str, Reason], ...]

    @property
    def enough(self) -> bool:
        """Whether by keeping to the plan the middle of the chance to pass reaches what is asked for."""
        return self.short_by == 0


def outlook(desk: Desk) -> Outlook:
    """The outlook of a student to the end of the course, or to the next lesson where the end has no date.

    Errors: Refused when there is no date ahead, or nothing to ask for it.
    """
    desk = desk.so_far
    occasion, agenda = _occasion(desk), today.agenda(desk, Wish())
    at = rehearsal(desk, occasion, agenda)
    evenings = list(at.evenings(at.minutes))
    without = _on_the_day(at, at.now())
    kept = _on_the_day(at, evenings[-1]) if evenings else without
    return Outlook(
        occasion=occasion,
        minutes=at.minutes,
        days=tuple(_day(at, one) for one in evenings),
        questions=len(at.bank.moved_on),
        without=without,
        on_the_day=kept,
        short_by=at.short_by(kept.pass_chance),
        why=tuple((desk.questions[history].id, agenda.why[history]) for history in agenda.order),
    )


def _occasion(desk: Desk) -> Occasion:
    found = goals.occasions(desk.course.plan, desk.student, desk.day)
    if not found:
        name = shlex.quote(desk.student.name)
        set_it = f"`stickback student set {name} --checkride DATE` sets one"
        raise Refused("There is no date ahead to look to.", set_it)
    return found[-1]


def rehearsal(desk: Desk, occasion: Occasion, agenda: Agenda) -> Rehearsal:
    """The days to a date, from the agenda of today.

    Errors: Refused when nothing can be asked for the date.
    """
    counted = goals.in_own_order(desk, today.candidates(desk, desk.past))
    if occasion.lesson is not None:
        counted = [one for one in counted if one.lesson <= occasion.lesson]
    if not counted:
        raise Refused("No question can be asked for this date on this aeroplane.", "`stickback check` says why")
    standings = goals.standings_of(desk, desk.past, counted)
    ahead = goals.occasions(desk.course.plan, desk.student, desk.day)
    return Rehearsal(
        standings=standings,
        bank=standings.bank(goals.seconds(counted)),
        goals=goals.goals(desk.course.plan, standings.topic, ahead),
        start=_start(desk, counted, agenda),
        on=clock.day_number(occasion.day),
        minutes=desk.student.minutes,
    )


def _start(desk: Desk, counted: Sequence[Candidate], agenda: Agenda) -> Start:
    """The rest of today."""
    at = today.resumed(desk, agenda)
    places = {one.history: place for place, one in enumerate(counted)}
    answered = {row.history for row in desk.past.on(desk.number)}
    queue = [places[one] for one in at.queue if one in places and one not in answered]
    done = np.array([one.history in answered for one in counted], dtype=np.bool_)
    return Start(desk.number, max(60.0 * desk.student.minutes - at.seconds, 0.0), queue, done)


def _day(at: Rehearsal, evening: Evening) -> DayAhead:
    known = _rounded(at.reached(evening, evening.day + 1).known)
    return DayAhead(clock.day_date(evening.day), round(evening.seconds / 60, 1), round(evening.asked, 1), known)


def _on_the_day(at: Rehearsal, evening: Evening) -> OnTheDay:
    end = at.reached(evening, at.on)
    middles = zip(at.standings.oral.topics, end.topics[:, MIDDLE].tolist(), strict=True)
    return OnTheDay(
        _rounded(end.known),
        {topic: round(value, DIGITS) for topic, value in middles if not np.isnan(value)},
        _rounded(end.pass_chance),
        round(float(np.isnan(evening.stability).sum()) / len(evening.stability), 1),
    )


def _rounded(band: Band) -> Band:
    return Band(*(round(value, DIGITS) for value in band))
