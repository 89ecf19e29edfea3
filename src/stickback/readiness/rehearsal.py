"""The days to a date rehearsed: followed in advance for students who differ in luck and in how they answer.

`LEVELS` students are followed, who are any that the one may be: their offsets are equally likely.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from stickback.memory.curve import Floats
from stickback.readiness import forecast, offset
from stickback.readiness.forecast import LEVELS, Band
from stickback.readiness.students import Students
from stickback.readiness.verdict import PASSES
from stickback.study import days
from stickback.study.ahead import Bank, Goal
from stickback.study.days import Evening, Start
from stickback.study.student import MOST_MINUTES

# Spread of the offset added for the days until then. Simulated students whose memory is not quite the model's stood in
# the band in 90 to 95 cases of 100 with it, and in 68 to 82 without.
STUDYING = 0.25
FINE, COARSE = 10, 5  # minutes that are missing: up to ten each is told apart, beyond that every fifth


@dataclass(frozen=True, kw_only=True)
class Rehearsal:
    """What the days to a date start from, and how it all goes on.

    Args:
        student: the one, with the questions for the date in the order in which unseen ones are met.
        bank, goals: of these questions.
        start: what is left of today.
        on: the date; `minutes`, the budget of a study day.
    """

    student: Students
    bank: Bank
    goals: Sequence[Goal]
    start: Start
    on: int
    minutes: int

    def offsets(self, *more: float) -> Floats:
        """Equally likely offsets of the students followed, ascending; spreads may be added."""
        spread = np.sqrt(self.student.error[0] ** 2 + STUDYING**2 + sum(each**2 for each in more))
        return np.asarray(self.student.offset[0] + spread * offset.normals(LEVELS))

    def now(self) -> Evening:
        """The memory as it is before any more study, as an evening."""
        shape = (LEVELS, 1)
        return Evening(
            day=self.start.day,
            seconds=0.0,
            asked=0.0,
            stability=np.tile(self.bank.stability, shape),
            last=np.tile(self.bank.last, shape),
            missed=np.zeros((LEVELS, len(self.bank.last)), dtype=np.bool_),
        )

    def evenings(self, minutes: int) -> Iterator[Evening]:
        """The evenings of the days from today to the date, with so many minutes on each."""
        more = 60.0 * (minutes - self.minutes)
        # The plan of today is made: with more minutes it would have been longer, but else nothing is added to it.
        closed = self.start.closed | (more <= 0)
        start = replace(self.start, seconds=max(self.start.seconds + more, 0.0), closed=closed)
        w = self.student.parameters[0]
        return days.live(self.bank, self.goals, start, self.on, 60.0 * minutes, self.offsets(), w)

    def stand(self, evening: Evening, on: int) -> tuple[Floats, Band, Band]:
        """How the student will stand on a day after an evening: by topic, of all, and the chance to pass."""
        offsets = self.offsets(offset.ON_THE_DAY)
        topics, known, passes = forecast.lived(self.student, evening, offsets, on)
        return topics, Band(*known.tolist()), Band(*passes.tolist())

    def kept(self, minutes: int) -> Band:
        """The chance to pass on the date when the plan is kept with so many minutes a day."""
        last = self.now()
        for last in self.evenings(minutes):  # noqa: B007 - only the last one counts
            pass
        return self.stand(last, self.on)[2]

    def short_by(self, kept: Band) -> int | None:
        """Minutes a day that are missing for the plan to be enough, found by halving.

        Args:
            kept: the chance to pass with the minutes there are.
        Returns: 0 when they are enough, None when no number of minutes is.
        """
        if kept.middle >= PASSES:
            return 0
        if self.minutes >= MOST_MINUTES or self.kept(MOST_MINUTES).middle < PASSES:
            return None
        most = MOST_MINUTES - self.minutes
        steps = [each for each in range(1, most + 1) if each <= FINE or each % COARSE == 0 or each == most]
        low, high = 0, len(steps) - 1
        while low < high:
            half = (low + high) // 2
            if self.kept(self.minutes + steps[half]).middle >= PASSES:
                high = half
            else:
                low = half + 1
        return steps[high]


def outcome(at: Rehearsal) -> tuple[Band, int | None]:
    """What comes of keeping to the plan: the chance to pass on the date, and the minutes a day that it is short by."""
    kept = at.kept(at.minutes)
    return kept, at.short_by(kept)
