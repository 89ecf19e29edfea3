"""Which questions a study day is for, and in which order; a pure function of what is known at the start of that day."""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from stickback.formulas import draw
from stickback.memory.past import History

Key = Callable[["Candidate"], tuple[Any, ...]]

AWAY_DAYS = 21  # after so long away, safety and this aeroplane's numbers come first


@dataclass(frozen=True)
class Candidate:
    """A question that applies to the student's aeroplane, on one day.

    Args:
        topic, place: its topic and the topic's place in the plan.
        lesson: its lesson's number in the plan; 0 for a lesson taught beside the others.
        known: chance that it is known that day; None when it is unseen.
        first: an open misbelief, or of a topic behind an error seen in flight.
        elsewhere: unseen here, but answered on an aeroplane whose answer differs.
        numbers: uses values of the aeroplane.
        seconds: what asking it will cost.
    """

    history: History
    topic: str
    place: int
    lesson: int
    must: bool
    assumed: bool
    known: float | None
    first: bool
    elsewhere: bool
    numbers: bool
    seconds: float


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


def sample(questions: Iterable[str], student: str) -> list[str]:
    """One in four of an assumed topic's questions, at least one, in the student's own order."""
    ordered = sorted(questions, key=lambda question: draw.number(student, question))
    return ordered[: math.ceil(len(ordered) / 4)]


def of_assumed(candidates: Sequence[Candidate], missed: frozenset[str], student: str) -> list[Candidate]:
    """The candidates without those of assumed topics that need not be asked, unless one of the topic was missed.

    Args:
        missed: topics in which a question was answered wrong.
    """
    per_topic: dict[str, list[str]] = {}
    for one in candidates:
        if one.assumed and one.topic not in missed:
            per_topic.setdefault(one.topic, []).append(one.history[0])
    asked = {question for found in per_topic.values() for question in sample(found, student)}
    return [one for one in candidates if one.topic not in per_topic or one.known is not None or one.history[0] in asked]


def choose(
    candidates: Sequence[Candidate],
    budget: Budget,
    student: str,
    target: float,
    *,
    reach: int | None,
    away: int | None,
    fresh: bool = False,
    dated: Sequence[Candidate] = (),
    only_dated: bool = False,
) -> list[Candidate]:
    """Today's questions in the order of asking.

    Args:
        reach: number of the last lesson that unseen questions may come from; None follows what was seen.
        away: days since the last answer; None when there is none.
        fresh: once nothing else is left, ask what is known well too.
        dated: those worth asking for a date ahead, the best first; all else comes behind them, or, with `only_dated`,
            not at all.
    """
    long_away = away is not None and away >= AWAY_DAYS
    first = sorted((one for one in candidates if one.first), key=_known)
    head = budget.half().take(first)
    begun = {one.history for one in head}
    ahead = sorted((one for one in dated if one.history not in begun), key=_by_tier(long_away))
    begun |= {one.history for one in ahead}
    left = [] if only_dated else [one for one in candidates if one.history not in begun]
    habit = _by_habit(head, left, student, target, reach=reach, long_away=long_away, fresh=fresh)
    return arrange(budget.take([*head, *ahead, *habit]))


def _by_habit(
    head: Sequence[Candidate],
    left: Sequence[Candidate],
    student: str,
    target: float,
    *,
    reach: int | None,
    long_away: bool,
    fresh: bool,
) -> list[Candidate]:
    """What is asked when no date says otherwise, behind a head that was chosen already."""
    # What was to come first and found no room stands behind all else that is rusty: half of the day is for the rest.
    late = sorted((one for one in left if one.first and one.known is not None), key=_known)
    rest = [one for one in left if not one.first]
    rusty = sorted((one for one in rest if one.known is not None and one.known < target), key=_by_need(long_away))
    unseen = sorted((one for one in rest if one.known is None and _open(one, reach)), key=_by_plan(student, reach))
    unseen = _beside([one for one in unseen if one.lesson], [one for one in unseen if not one.lesson])
    well_known = sorted((one for one in rest if fresh and one.known is not None and one.known >= target), key=_known)
    return [*_alternate(head, [*rusty, *late], unseen), *well_known]


def _known(one: Candidate) -> float:
    return one.known or 0.0


def _open(one: Candidate, reach: int | None) -> bool:
    return reach is None or one.lesson <= reach


def _by_tier(long_away: bool) -> Key:
    """New on this aeroplane, and after a long time away must topics and this aeroplane's numbers; else no order."""

    def key(one: Candidate) -> tuple[Any, ...]:
        return (not one.elsewhere, long_away and not one.must, long_away and not one.numbers)

    return key


def _by_need(long_away: bool) -> Key:
    def key(one: Candidate) -> tuple[Any, ...]:
        return (not one.must, long_away and not one.numbers, one.known, one.history)

    return key


def _by_plan(student: str, reach: int | None) -> Key:
    """New on this aeroplane, then must topics, then plan order; inside a topic an order of the student's own.

    That own order makes the seen questions of a topic a fair sample of it.
    """

    def key(one: Candidate) -> tuple[Any, ...]:
        lesson = one.lesson if reach is None else 0
        return (not one.elsewhere, lesson, not one.must, one.place, draw.number(student, one.history[0]))

    return key


def _beside(main: list[Candidate], beside: list[Candidate]) -> list[Candidate]:
    """The plan's own order, with a question of a lesson taught beside it after every third."""
    merged: list[Candidate] = []
    for at in range(0, max(len(main), 3 * len(beside)), 3):
        merged += [*main[at : at + 3], *beside[at // 3 : at // 3 + 1]]
    return merged


def _alternate(head: Sequence[Candidate], rusty: Sequence[Candidate], unseen: Sequence[Candidate]) -> list[Candidate]:
    """Both lists merged so that at every point unseen has taken at most half the time while anything is rusty."""
    old, new = list(rusty), list(unseen)
    merged: list[Candidate] = []
    spent_new = sum(one.seconds for one in head if one.known is None)
    spent_old = sum(one.seconds for one in head if one.known is not None)
    while old and new:
        if spent_new + new[0].seconds <= spent_old:
            spent_new += new[0].seconds
            merged.append(new.pop(0))
        else:
            spent_old += old[0].seconds
            merged.append(old.pop(0))
    return merged + old + new


def arrange(chosen: Sequence[Candidate]) -> list[Candidate]:
    """The order of asking: the likeliest to be right first and last, no two neighbours of one topic if avoidable."""
    if len(chosen) < 3:
        return list(chosen)
    likely = sorted(chosen, key=_known, reverse=True)
    first, last = likely[0], likely[1]
    middle = [one for one in chosen if one not in {first, last}]
    return [first, *_spread(middle, first.topic, last.topic), last]


def _spread(middle: list[Candidate], before: str, after: str) -> list[Candidate]:
    left = list(middle)
    spread: list[Candidate] = []
    while left:
        others = [one for one in left if one.topic != before]
        counts = Counter(one.topic for one in left)
        fullest = max(others or left, key=lambda one: counts[one.topic])
        one = next((one for one in others if _can_go_on(counts, one.topic, after)), fullest)
        left.remove(one)
        spread.append(one)
        before = one.topic
    return spread


def _can_go_on(counts: Counter[str], taken: str, after: str) -> bool:
    """Whether the rest can still be asked without neighbours of one topic, once a question of a topic is taken."""
    rest = counts - Counter([taken])
    room = rest.total()
    # A topic fits into every other place; one fewer at an end where its neighbour is of the same topic.
    ends = Counter([taken, after])
    fits = all(many <= (room - ends[topic] + 1) // 2 for topic, many in rest.items())
    return fits and (room > 0 or taken != after)
