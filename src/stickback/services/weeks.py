"""Without a date: what the student's minutes reach in the weeks to come, by living through them in advance.

Every day is chosen as it will be chosen; only the answers are drawn. Three are followed who are any that the student
may be: one who answers as expected, and two who do better and worse than nine in ten would.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from stickback import clock
from stickback.formulas import draw
from stickback.memory.past import History, Past, Row
from stickback.readiness import offset
from stickback.readiness.forecast import Band, forecast
from stickback.readiness.rehearsal import STUDYING
from stickback.refused import Refused
from stickback.services import goals, today
from stickback.services.desk import Desk
from stickback.services.outlook import DIGITS
from stickback.services.today import Wish
from stickback.study import sitting
from stickback.study.candidate import Reason

WEEK, WEEKS = 7, 4
_SELVES = tuple(NormalDist().inv_cdf(share) for share in (0.1, 0.5, 0.9))


@dataclass(frozen=True)
class WeekAhead:
    """The end of a week.

    Args:
        day: its last; of the first one yesterday, before any of it.
        known: of a question drawn by topic weight, on the day after.
        begun: ids of the lessons of which a question was answered by then, in the order of the plan.
        asked: askings of the week, repeated ones included.
    """

    day: date
    known: Band
    begun: tuple[str, ...]
    asked: int


@dataclass(frozen=True, kw_only=True)
class Weeks:
    """The weeks to come.

    Args:
        minutes: a study day's budget.
        weeks: how it stands now, and at the end of each.
        why: today's questions by id in the order of asking, each with why it was chosen.
    """

    minutes: int
    weeks: tuple[WeekAhead, ...]
    why: tuple[tuple[str, Reason], ...]


@dataclass(frozen=True)
class _Self:
    """One who is followed.

    Args:
        shift: of the logit of every chance of a right answer; `sight`, that chance where nothing was answered yet.
    """

    desk: Desk
    shift: float
    sight: dict[History, float]


@dataclass(frozen=True)
class _Evening:
    """Where one of those followed stands at the end of a week."""

    known: Band
    begun: frozenset[str]
    asked: int


def weeks(desk: Desk) -> Weeks:
    """What keeping to the minutes reaches in four weeks.

    Errors: Refused where nothing can be asked.
    """
    desk = desk.so_far
    agenda = today.agenda(desk, Wish())
    if not desk.questions:
        raise Refused("No question can be asked on this aeroplane.", "`stickback check` says why")
    lives = [_live(each) for each in _selves(desk)]
    return Weeks(
        minutes=desk.student.minutes,
        weeks=tuple(_week(desk, at, each) for at, each in enumerate(zip(*lives, strict=True))),
        why=tuple((desk.questions[history].id, agenda.why[history]) for history in agenda.order),
    )


def _week(desk: Desk, at: int, selves: Sequence[_Evening]) -> WeekAhead:
    usual = selves[len(selves) // 2]
    low, middle, high = sorted(each.known.middle for each in selves)
    band = Band(middle=middle, low=low, high=high) if at else usual.known
    begun = tuple(lesson.id for lesson in desk.course.plan.lessons if lesson.id in usual.begun)
    return WeekAhead(
        desk.day + timedelta(days=WEEK * at - 1), Band(*(round(each, DIGITS) for each in band)), begun, usual.asked
    )


def _selves(desk: Desk) -> list[_Self]:
    """Those who are followed. What they know at first sight does not change with what they answer in advance."""
    counted = today.candidates(desk, desk.past, whole=True)
    standings = goals.standings_of(desk, desk.past, counted)
    sight = standings.bank(goals.seconds(counted)).sight.tolist()
    by_history = {one.history: chance for one, chance in zip(counted, sight, strict=True)}
    spread = float(np.hypot(standings.error[0], STUDYING))
    return [_Self(desk, float(standings.offset[0]) + spread * each, by_history) for each in _SELVES]


def _live(one: _Self) -> list[_Evening]:
    """The weeks of one who is followed, now first."""
    desk = one.desk
    found = [_evening(desk, 0)]
    for number in range(desk.number, desk.number + WEEKS * WEEK, WEEK):
        before = len(desk.past.answers)
        for day in range(number, number + WEEK):
            desk = _studied(replace(desk, day=clock.day_date(day)), one)
        found.append(_evening(desk, len(desk.past.answers) - before))
    return found


def _evening(desk: Desk, asked: int) -> _Evening:
    counted = today.candidates(desk, desk.past)
    known = forecast(goals.standings_of(desk, desk.past, counted), np.array([desk.number + 1])).known[0]
    topics = desk.course.plan.topics
    met = {desk.topic_of[row.question] for row in desk.past.graded if row.question in desk.topic_of}
    begun = {topics[topic].lesson for topic in met}
    return _Evening(Band(*known.tolist()), frozenset(begun), asked)


def _studied(desk: Desk, one: _Self) -> Desk:
    """The desk after a day's questions, answered as the memory has it."""
    agenda = today.agenda(desk, Wish())
    costs = sitting.costs(desk.past.columns, desk.course.kinds)
    rows, seconds = list(desk.past.on(desk.number)), Wish().seconds(desk)
    while True:
        at = sitting.resume(agenda, rows, desk.past.voided)
        if not at.queue or at.seconds >= seconds:
            break
        row = _answer(desk, at.queue[0], one, len(rows))
        rows.append(row._replace(seconds=sitting.cost(costs, row.kind or "")))
    new = rows[len(desk.past.on(desk.number)) :]
    return replace(desk, past=Past((*desk.past.rows, *new), desk.past.parameters))


def _answer(desk: Desk, history: History, one: _Self, number: int) -> Row:
    recalled = desk.past.recall([history], desk.number)
    expected = np.where(np.isnan(recalled), one.sight[history], recalled)
    chance = float(offset.shifted(offset.odds_of(expected), np.array([one.shift]))[0])
    luck = draw.number("weeks", desk.number, history[0]) / 2**53
    question = desk.questions[history]
    return Row(
        id=f"{desk.number}-{number:04}",
        what="answer",
        day=desk.number,
        question=history[0],
        variant=history[1],
        kind=question.kind,
        given="",
        confidence="think",
        hinted=False,
        right=luck < chance,
        seconds=None,
        voids=None,
    )
