"""The days to a date rehearsed: followed in advance for students who differ in luck and in how they answer.

`FOLLOWED` students are followed, who are any that the one may be: their offsets are equally likely. On the day each of
them stands for several, whose offsets lie closer together.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from stickback.memory.curve import Floats
from stickback.readiness import forecast, offset
from stickback.readiness.forecast import LEVELS, Band
from stickback.readiness.standings import Standings
from stickback.readiness.statement import PASSES, Outcome
from stickback.study import days
from stickback.study.ahead import Bank, Goal
from stickback.study.days import Evening, Start
from stickback.study.student import MOST_MINUTES

# Spread of the offset added for the days until then. Simulated students whose memory is not quite the model's stood in
# the band in 90 to 95 cases of 100 with it, and in 68 to 82 without.
STUDYING = 0.25
FOLLOWED = 5  # a quarter of the levels of the offset; with all of them no figure moved by more than two points
STEPS = (1, 2, 3, 4, 5, 7, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100)  # minutes missing that are told apart
WAY = 5  # days on the way to the date of which it is told how much is known then
STRIDE = 4  # steps at a time, until it is enough


class Reached(NamedTuple):
    """What is reached on a day.

    Args:
        topics: what is known by topic, with its band; shape (topics, 3).
        known: of all of them; `pass_chance`, the chance to pass.
    """

    topics: Floats
    known: Band
    pass_chance: Band


@dataclass(frozen=True, kw_only=True)
class Rehearsal:
    """What the days to a date start from, and how it all goes on.

    Args:
        standings: of the one student, with the questions for the date in the order in which unseen ones are met.
        bank, goals: of these questions.
        start: what is left of today.
        on: the date; `minutes`, the budget of a study day.
    """

    standings: Standings
    bank: Bank
    goals: Sequence[Goal]
    start: Start
    on: int
    minutes: int

    def offsets(self, many: int, *more: float) -> Floats:
        """Equally likely offsets, ascending; spreads may be added."""
        spread = np.sqrt(self.standings.error[0] ** 2 + STUDYING**2 + sum(each**2 for each in more))
        return np.asarray(self.standings.offset[0] + spread * offset.normals(many))

    def now(self) -> Evening:
        """The memory as it is before any more study, as an evening."""
        shape = (FOLLOWED, 1)
        return Evening(
            day=self.start.day,
            seconds=0.0,
            asked=0.0,
            stability=np.tile(self.bank.stability, shape),
            moved_on=np.tile(self.bank.moved_on, shape),
            ever_wrong=np.zeros((FOLLOWED, len(self.bank.moved_on)), dtype=np.bool_),
        )

    def evenings(self, minutes: int) -> Iterator[Evening]:
        """The evenings of the days from today to the date, with so many minutes on each."""
        more = 60.0 * (minutes - self.minutes)
        # The plan of today is made: with more minutes it would have been longer, but else nothing is added to it.
        closed = self.start.closed | (more <= 0)
        start = replace(self.start, seconds=max(self.start.seconds + more, 0.0), closed=closed)
        w = self.standings.parameters[0]
        return days.live(self.bank, self.goals, start, self.on, 60.0 * minutes, self.offsets(FOLLOWED), w)

    def reached(self, evening: Evening, on: int) -> Reached:
        """What is reached on a day after an evening."""
        offsets, each = self.offsets(LEVELS, offset.ON_THE_DAY), LEVELS // FOLLOWED
        several = replace(
            evening,
            stability=np.repeat(evening.stability, each, axis=0),
            moved_on=np.repeat(evening.moved_on, each, axis=0),
            ever_wrong=np.repeat(evening.ever_wrong, each, axis=0),
        )
        topics, known, passes = forecast.lived(self.standings, several, offsets, on)
        return Reached(topics, Band(*known.tolist()), Band(*passes.tolist()))

    def pass_if_kept(self, minutes: int) -> Band:
        """The chance to pass on the date when the plan is kept with so many minutes a day."""
        last = self.now()
        for last in self.evenings(minutes):  # noqa: B007 - only the last one counts
            pass
        return self.reached(last, self.on).pass_chance

    def short_by(self, pass_chance: Band) -> int | None:
        """Minutes a day that are missing for the plan to be enough: the fewest of `STEPS` that are.

        Args:
            pass_chance: when the plan is kept with the minutes there are.
        Returns: 0 when they are enough, None when no number of minutes is.
        """
        if pass_chance.middle >= PASSES:
            return 0
        most = MOST_MINUTES - self.minutes
        steps = [*(step for step in STEPS if step < most), *([most] if most > 0 else [])]
        # Few lack much: first in strides to where it is enough, then by halving inside the last stride.
        low, high = 0, STRIDE
        while not self._enough(steps, min(high, len(steps) - 1)):
            if high >= len(steps) - 1:
                return None
            low, high = high + 1, high + STRIDE
        high = min(high, len(steps) - 1)
        while low < high:
            half = (low + high) // 2
            low, high = (low, half) if self._enough(steps, half) else (half + 1, high)
        return steps[high]

    def _enough(self, steps: Sequence[int], at: int) -> bool:
        """Whether one more of these steps of minutes is enough; none is where there are no steps."""
        return bool(steps) and self.pass_if_kept(self.minutes + steps[at]).middle >= PASSES


def outcome(one: Rehearsal) -> Outcome:
    """What comes of keeping to the plan."""
    evenings = [one.now(), *one.evenings(one.minutes)]
    *places, _ = sorted({round(each) for each in np.linspace(0, len(evenings) - 1, WAY)})
    days = [one.start.day if place == 0 else evenings[place].day + 1 for place in places]
    way = [(day, one.reached(evenings[place], day).known) for day, place in zip(days, places, strict=True)]
    end = one.reached(evenings[-1], one.on)
    return Outcome(end.pass_chance, one.short_by(end.pass_chance), (*way, (one.on, end.known)))
