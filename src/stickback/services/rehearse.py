"""The days to a date rehearsed: followed in advance for students who differ in luck and in how they answer."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from stickback import clock
from stickback.memory.curve import Floats
from stickback.readiness import folded, forecast, offset, students
from stickback.readiness.exam import Exam, exam_of
from stickback.readiness.forecast import Band, Forecast
from stickback.readiness.students import Students
from stickback.refused import Refused
from stickback.services import dates, today
from stickback.services.dates import Target
from stickback.services.desk import Desk
from stickback.services.today import Plan, Wish
from stickback.store import log
from stickback.study import days
from stickback.study.ahead import Goal
from stickback.study.choose import Candidate
from stickback.study.days import Evening, Start
from stickback.study.gain import Bank

# Spread of the offset added for the days until then. Simulated students whose memory is not quite the model's stood in
# the band in 90 to 95 cases of 100 with it, and in 68 to 82 without.
STUDYING = 0.25
FOLLOWED = 20  # students, who differ in how far the memory model is off for them
_LEVELS = 20  # into which a band is cut where bands are mixed


@dataclass(frozen=True)
class Rehearsal:
    """What the days to a date start from.

    Args:
        plan: of today; `start`, what is left of it.
        rates: of knowing an unseen question, as `unseen.rates` gives them.
        offsets: of the students followed, ascending.
    """

    desk: Desk
    target: Target
    bank: Bank
    goals: list[Goal]
    plan: Plan
    start: Start
    rates: tuple[Floats, Floats]
    offsets: Floats
    exam: Exam


def rehearsal(desk: Desk, target: Target) -> Rehearsal:
    """Everything that is the same for every number of minutes a day.

    Errors: Refused when nothing can be asked for the date.
    """
    counted = dates.in_own_order(desk, today.candidates(desk, desk.past))
    if target.lesson is not None:
        counted = [one for one in counted if one.lesson <= target.lesson]
    if not counted:
        raise Refused("No question can be asked for this date on this aeroplane; `stickback check` says why.")
    so_far = folded.fold_all(log.columns(desk.database, [desk.student.name]), 1, [desk.past.parameters])
    mean, error = offset.offsets(so_far.told)
    made = today.plan(desk, Wish())
    return Rehearsal(
        desk,
        target,
        dates.bank(desk, desk.past, counted),
        dates.goals(counted, dates.targets(desk)),
        made,
        _start(desk, counted, made),
        students.rates(desk.course, so_far, np.array([0])),
        spread_out(float(mean[0]), float(error[0])),
        exam_of(desk.course.plan),
    )


def spread_out(mean: float, error: float) -> Floats:
    """Equally likely offsets of the students followed, ascending; the spread of `STUDYING` is added."""
    return mean + math.hypot(error, STUDYING) * offset.normals(FOLLOWED)


def _start(desk: Desk, counted: Sequence[Candidate], made: Plan) -> Start:
    """The rest of today."""
    at = today.where(desk, made)
    places = {one.history: place for place, one in enumerate(counted)}
    answered = {(row.question or "", row.variant or "") for row in desk.past.on(desk.number)}
    queue = [places[one] for one in at.queue if one in places and one not in answered]
    done = np.array([one.history in answered for one in counted], dtype=np.bool_)
    return Start(desk.number, max(60.0 * desk.student.minutes - at.seconds, 0.0), queue, done)


def now(at: Rehearsal) -> Evening:
    """The memory as it is before any more study, as an evening."""
    shape = (FOLLOWED, 1)
    return Evening(at.start.day, 0.0, 0.0, np.tile(at.bank.stability, shape), np.tile(at.bank.last, shape))


def evenings(at: Rehearsal, minutes: int) -> list[Evening]:
    """The evenings of the days from today to the date, with so many minutes on each."""
    more = 60.0 * (minutes - at.desk.student.minutes)
    # The plan of today is made: with more minutes it would have been longer, but else nothing is added to it.
    closed = at.start.closed | (more <= 0)
    start = replace(at.start, seconds=max(at.start.seconds + more, 0.0), closed=closed)
    until = clock.day_number(at.target.day)
    return list(days.live(at.bank, at.goals, start, until, 60.0 * minutes, at.offsets, at.desk.past.parameters))


def told(at: Rehearsal, evening: Evening, on: int) -> Forecast:
    """How each student followed will stand on a day, after an evening."""
    shape, knew, missed = evening.stability.shape, *at.rates
    never = np.zeros(shape, dtype=np.bool_)
    followed = Students(
        exam=at.exam,
        topic=at.bank.topic,
        guess=at.bank.guess,
        stability=evening.stability,
        moved=evening.last,
        counted=~never,
        misbelief=never,
        wrong=never,
        last=evening.last,
        knew=np.tile(knew, (FOLLOWED, 1)),
        missed=np.tile(missed, (FOLLOWED, 1)),
        offset=at.offsets,
        error=np.zeros(FOLLOWED),
        latest=evening.last.max(axis=1),
        answers=np.zeros(FOLLOWED, dtype=np.int64),
        parameters=[at.desk.past.parameters] * FOLLOWED,
    )
    return forecast.forecast(followed, np.full(FOLLOWED, on))


def mixed(bands: Floats) -> Band:
    """The band of a student who is any of several; shape (students, 3).

    A forecast has its middle without the offset, which may lie outside of the band: what counts here is half way
    between its ends, from which to each side it is taken as half a normal curve.
    """
    steps = offset.normals(_LEVELS) / NormalDist().inv_cdf(0.9)
    low, high = bands[:, 1, None], bands[:, 2, None]
    drawn = (low + high) / 2 + steps * (high - low) / 2
    ends = np.quantile(drawn, (0.1, 0.9))
    return Band(round(float(drawn.mean()), 4), round(float(ends[0]), 4), round(float(ends[1]), 4))
