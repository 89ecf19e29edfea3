"""Which questions a study day is for, and in which order; a pure function of what is known at the start of that day."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from stickback.formulas import draw
from stickback.memory.past import History
from stickback.study.candidate import Candidate
from stickback.study.order import alternate, arrange, beside_each, in_turn, sparing

AWAY_DAYS = 21  # after so long away, safety and this aeroplane's numbers come first
PASS = 3  # questions of a topic before the next topic is begun, so that the whole plan is begun within four weeks
BESIDE_FROM, LATE_FROM = 3, 5  # study days from which what is taught beside, and what comes late, is new
SPARING_UNTIL = 28  # study days during which what is taught beside is one question in four at the most


@dataclass(frozen=True)
class Budget:
    """What a day may cost, in seconds and in questions."""

    seconds: float = math.inf
    questions: float = math.inf

    def half(self) -> "Budget":
        """Half of it."""
        return Budget(self.seconds / 2, self.questions / 2)

    def take(self, candidates: Iterable[Candidate]) -> list[Candidate]:
        """As many as fit, from the front; at least one where there is any."""
        taken: list[Candidate] = []
        spent = 0.0
        for one in candidates:
            spent += one.seconds
            if taken and (spent > self.seconds or len(taken) + 1 > self.questions):
                break
            taken.append(one)
        return taken


def choose(
    candidates: Sequence[Candidate],
    budget: Budget,
    student: str,
    target: float,
    *,
    reach: int | None,
    away: int | None,
    day: int = SPARING_UNTIL + 1,
    fresh: bool = False,
    dated: Sequence[Candidate] = (),
    only_dated: bool = False,
    far: bool = False,
) -> list[Candidate]:
    """Today's questions in the order of asking.

    Args:
        reach: number of the last lesson that unseen questions may come from; None follows what was seen.
        away: days since the last answer; None when there is none.
        day: how many study days this student has begun, today included.
        fresh: once nothing else is left, ask what is known well too.
        dated: those worth asking for a date ahead, the best first; all else comes behind them, or, with `only_dated`,
            not at all.
        far: the date is so far ahead that what is new comes in plan order and not by what it gains.
    """
    if away is not None and away >= AWAY_DAYS and not fresh:
        return _back(candidates, budget, target, dated)
    seen = Counter(one.topic for one in candidates if not one.unseen)
    soon = only_dated and not far
    may = [one for one in candidates if fresh or _in_season(one, day, soon=soon)]
    opening = _opening(may) if away is None and not fresh else []
    taken = {one.history for one in opening}
    head = budget.half().take(sorted((one for one in may if one.first), key=_known))
    taken |= {one.history for one in head}
    ahead = [one for one in dated if one.history not in taken and (fresh or _in_season(one, day, soon=soon))]
    ahead = sorted(_in_plan_order(ahead, student, seen) if far else ahead, key=lambda one: not one.elsewhere)
    taken |= {one.history for one in ahead}
    left = [] if only_dated else [one for one in may if one.history not in taken]
    habit = _by_habit(head, left, student, target, reach=reach, fresh=fresh, seen=seen)
    wanted = [*opening, *head, *ahead, *habit]
    chosen = budget.take(wanted if fresh else sparing(wanted, strict=day <= SPARING_UNTIL))
    return [*chosen[: len(opening)], *in_turn(chosen[len(opening) :])]


def _in_season(one: Candidate, day: int, *, soon: bool) -> bool:
    """Whether it may be asked so early; what was seen, or went wrong, always may.

    A chain fills a quarter of a day alone, so it waits until what is taught beside need not be spared any more.

    Args:
        soon: the end of the course is so near that nothing can wait so long.
    """
    begins = max(LATE_FROM if one.late else 0, BESIDE_FROM if not one.lesson else 0)
    if one.chained and not one.lesson and not soon:
        begins = SPARING_UNTIL + 1
    return not one.unseen or one.first or one.elsewhere or day >= begins


def _opening(candidates: Sequence[Candidate]) -> list[Candidate]:
    """What a newcomer meets first, in the order in which the lesson plan names it."""
    return sorted((one for one in candidates if one.opening is not None), key=lambda one: one.opening or 0)


def _back(
    candidates: Sequence[Candidate], budget: Budget, target: float, dated: Sequence[Candidate]
) -> list[Candidate]:
    """The first day after a long time away: nothing new, and safety and this aeroplane's numbers first.

    The others follow by what they gain for a date ahead, else the lowest known first.
    """
    by_gain = {one.history: place for place, one in enumerate(dated)}
    rusty = sorted(
        (one for one in candidates if not one.unseen and (one.first or _known(one) < target)),
        key=lambda one: (by_gain.get(one.history, len(by_gain)), _known(one), one.history),
    )
    must = [one for one in rusty if one.must or one.first]
    numbers = [one for one in rusty if one.numbers and one not in must]
    first = [one for pair in zip_longest(must, numbers) for one in pair if one is not None]
    chosen = budget.take([*first, *(one for one in rusty if one not in first)])
    return [*arrange([one for one in chosen if one in first]), *arrange([one for one in chosen if one not in first])]


def _in_plan_order(ranked: Sequence[Candidate], student: str, seen: Counter[str]) -> list[Candidate]:
    """The same ranking, in which each place of an unseen question is taken by the next one of the plan."""
    new = iter(_by_plan([one for one in ranked if one.unseen], student, None, seen))
    return [next(new) if one.unseen else one for one in ranked]


def _by_habit(
    head: Sequence[Candidate],
    left: Sequence[Candidate],
    student: str,
    target: float,
    *,
    reach: int | None,
    fresh: bool,
    seen: Counter[str],
) -> list[Candidate]:
    """What is asked when no date says otherwise, behind a head that was chosen already."""
    # What was to come first and found no room stands behind all else that is rusty: half of the day is for the rest.
    late = sorted((one for one in left if one.first and not one.unseen), key=_known)
    rest = [one for one in left if not one.first]
    rusty = sorted((one for one in rest if not one.unseen and _known(one) < target), key=_by_need)
    unseen = _by_plan([one for one in rest if one.unseen and _open(one, reach)], student, reach, seen)
    unseen = beside_each([one for one in unseen if one.lesson], [one for one in unseen if not one.lesson])
    well_known = sorted((one for one in rest if fresh and not one.unseen and _known(one) >= target), key=_known)
    return [*alternate(head, [*rusty, *late], unseen), *well_known]


def _known(one: Candidate) -> float:
    return one.known or 0.0


def _open(one: Candidate, reach: int | None) -> bool:
    return reach is None or one.lesson <= reach


def _by_need(one: Candidate) -> tuple[Any, ...]:
    return (not one.must, _known(one), one.history)


def _by_plan(unseen: Sequence[Candidate], student: str, reach: int | None, seen: Counter[str]) -> list[Candidate]:
    """New on this aeroplane first, then the plan in passes of a few questions a topic, must topics of a pass first.

    Inside a topic they come in an order of the student's own, which makes those seen a fair sample of it. What can
    wait comes a pass later.
    """
    passes, so_far = dict[History, int](), Counter(seen)
    for one in sorted(unseen, key=lambda one: draw.number(student, one.history[0])):
        passes[one.history] = so_far[one.topic] // PASS + one.late
        so_far[one.topic] += 1

    def key(one: Candidate) -> tuple[Any, ...]:
        lesson, own = one.lesson if reach is None else 0, draw.number(student, one.history[0])
        return (not one.elsewhere, passes[one.history], lesson, not one.must, one.place, own)

    return sorted(unseen, key=key)
