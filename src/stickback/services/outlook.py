"""The outlook: what the days to the date hold, what is known on it by keeping to the plan, and if it is enough."""

import shlex
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from stickback import clock
from stickback.readiness.forecast import Band
from stickback.readiness.verdict import PASSES
from stickback.refused import Refused
from stickback.services import dates, rehearse
from stickback.services.dates import Target
from stickback.services.desk import Desk
from stickback.services.rehearse import FOLLOWED, Rehearsal
from stickback.study.days import Evening
from stickback.study.student import MOST_MINUTES


@dataclass(frozen=True)
class Day:
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
        passes: the school's oral; before a lesson, one about its topics and those before it.
        unseen: how many questions will never have been asked.
    """

    known: Band
    topics: dict[str, float]
    passes: Band
    unseen: float


@dataclass(frozen=True)
class Outlook:
    """The days from today to a date.

    Args:
        minutes: a study day's budget.
        questions: how many there are for the date.
        without: how the student will stand without further study; `on_the_day`, by keeping to the plan.
        short_by: minutes a day that are missing for the plan to be enough; 0 when it is, None when no setting is.
        why: today's questions by id in the order of asking, each with the reason it was chosen.
    """

    target: Target
    minutes: int
    days: tuple[Day, ...]
    questions: int
    without: OnTheDay
    on_the_day: OnTheDay
    short_by: int | None
    why: tuple[tuple[str, str], ...]

    @property
    def enough(self) -> bool:
        """Whether by keeping to the plan the middle of the chance to pass reaches what is asked for."""
        return self.short_by == 0


def outlook(desk: Desk) -> Outlook:
    """The outlook of a student to the end of the course, or to the next lesson where the end has no date.

    Errors: Refused when there is no date ahead, or nothing to ask for it.
    """
    at = rehearse.rehearsal(desk, _target(desk))
    evenings = rehearse.evenings(at, desk.student.minutes)
    without = _stand(at, rehearse.now(at))
    kept = _stand(at, evenings[-1]) if evenings else without
    return Outlook(
        at.target,
        desk.student.minutes,
        tuple(_day(at, one) for one in evenings),
        len(at.bank.last),
        without,
        kept,
        _short_by(at, kept),
        tuple((desk.questions[history].id, at.plan.why[history]) for history in at.plan.order),
    )


def kept(desk: Desk) -> tuple[Band, int | None]:
    """The chance to pass on the date by keeping to the plan, and `short_by`: much quicker than the whole outlook.

    Errors: Refused when there is no date ahead, or nothing to ask for it.
    """
    at = rehearse.rehearsal(desk, _target(desk))
    evenings = rehearse.evenings(at, desk.student.minutes)
    found = _stand(at, evenings[-1] if evenings else rehearse.now(at))
    return found.passes, _short_by(at, found)


def _target(desk: Desk) -> Target:
    found = dates.targets(desk)
    if not found:
        name = shlex.quote(desk.student.name)
        raise Refused(f"There is no date ahead to look to; `stickback student set {name} --checkride DATE` sets one.")
    return found[-1]


def _day(at: Rehearsal, evening: Evening) -> Day:
    known = rehearse.mixed(rehearse.told(at, evening, evening.day + 1).known)
    return Day(clock.day_date(evening.day), round(evening.seconds / 60, 1), round(evening.asked, 1), known)


def _stand(at: Rehearsal, evening: Evening) -> OnTheDay:
    found = rehearse.told(at, evening, clock.day_number(at.target.day))
    known = rehearse.mixed(found.known)
    low, high = at.exam.pass_chance(np.array([known.low, known.high]))
    topics = zip(at.exam.topics, found.topics[:, :, 1:].mean(axis=(0, 2)), strict=True)
    return OnTheDay(
        known,
        {topic: round(float(value), 4) for topic, value in topics if not np.isnan(value)},
        Band(round(float(found.pass_chance[:, 0].mean()), 4), round(float(low), 4), round(float(high), 4)),
        round(float(np.isnan(evening.stability).sum()) / FOLLOWED, 1),
    )


def _short_by(at: Rehearsal, kept: OnTheDay) -> int | None:
    """Minutes a day that are missing, found by halving."""
    if kept.passes.middle >= PASSES:
        return 0
    if not _enough(at, MOST_MINUTES):
        return None
    low, high = at.desk.student.minutes, MOST_MINUTES
    while high - low > 1:
        half = (low + high) // 2
        low, high = (low, half) if _enough(at, half) else (half, high)
    return high - at.desk.student.minutes


def _enough(at: Rehearsal, minutes: int) -> bool:
    evenings = rehearse.evenings(at, minutes)
    return bool(evenings) and _stand(at, evenings[-1]).passes.middle >= PASSES


def as_json(desk: Desk, found: Outlook) -> dict[str, Any]:
    """The outlook as `outlook --json` prints it; shares and chances 0 to 1."""
    return {
        "student": desk.student.name,
        "today": desk.day.isoformat(),
        "date": found.target.day.isoformat(),
        "for": desk.course.plan.ends_with if found.target.lesson is None else desk.student.next_lesson,
        "minutes": found.minutes,
        "questions": found.questions,
        "plan": "enough" if found.enough else "short",
        "short_by": found.short_by,
        "without_study": _stand_json(found.without),
        "on_the_day": _stand_json(found.on_the_day),
        "days": [
            {
                "date": one.day.isoformat(),
                "minutes": one.minutes,
                "questions": one.questions,
                **_band("known", one.known),
            }
            for one in found.days
        ],
        "asked_today": [{"question": question, "why": why} for question, why in found.why],
    }


def _stand_json(one: OnTheDay) -> dict[str, Any]:
    return {**_band("known", one.known), **_band("pass", one.passes), "unseen": one.unseen, "topics": one.topics}


def _band(name: str, band: Band) -> dict[str, float]:
    return {name: band.middle, f"{name}_low": band.low, f"{name}_high": band.high}
