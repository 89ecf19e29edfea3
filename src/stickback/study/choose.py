"""Which questions a study day is for, and in which order; a pure function of what is known at the start of that day."""

import math
from collections import Counter
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from stickback.formulas import draw
from stickback.memory.past import History
from stickback.study.sitting import arrange

AWAY_DAYS = 21  # after so long away, safety and this aeroplane's numbers come first
PASS = 3  # questions of a topic before the next topic is begun, so that the whole plan is begun within four weeks
BESIDE_FROM, LATE_FROM = 3, 5  # study days from which what is taught beside, and what comes late, is new
SPARING_UNTIL = 28  # study days during which what is taught beside is one question in four at the most
BESIDE_SHARE = 4


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A question that applies to the student's aeroplane, on one day.

    Args:
        topic, place: its topic and the topic's place in the plan.
        lesson: its lesson's number in the plan; 0 for a lesson taught beside the others.
        late: its topic can wait, such as the law.
        opening: its place among the questions that a newcomer begins with; None for all others.
        known: chance that it is known that day; None when it is unseen.
        first: an open misbelief, or of a topic behind an error seen in flight.
        elsewhere: unseen here, but answered on an aeroplane whose answer differs.
        numbers: uses values of the aeroplane.
        seconds: what asking it will cost.
        chained: it belongs to a chain, which is asked in one go.
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
    late: bool = False
    opening: int | None = None
    chained: bool = False

    @property
    def unseen(self) -> bool:
        """Whether it was never answered, or not on this aeroplane."""
        return self.known is None


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


def left_out(assumed: Mapping[str, Sequence[str]], missed: Container[str], student: str) -> frozenset[str]:
    """Which questions of assumed topics count only once they were answered, since a sample stands for them.

    Args:
        assumed: names of the questions of each assumed topic.
        missed: topics in which a question was answered wrong: of these all questions count.
    """
    rest = (set(asked) - {*sample(asked, student)} for topic, asked in assumed.items() if topic not in missed)
    return frozenset().union(*rest)


def of_assumed(candidates: Sequence[Candidate], missed: frozenset[str], student: str) -> list[Candidate]:
    """The candidates that count, by the rule of `left_out`."""
    assumed: dict[str, list[str]] = {}
    for one in candidates:
        if one.assumed:
            assumed.setdefault(one.topic, []).append(one.history[0])
    out = left_out(assumed, missed, student)
    return [one for one in candidates if not one.unseen or one.history[0] not in out]


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
    chosen = budget.take(wanted if fresh else _sparing(wanted, strict=day <= SPARING_UNTIL))
    return [*chosen[: len(opening)], *_in_turn(chosen[len(opening) :])]


def _in_turn(chosen: Sequence[Candidate]) -> list[Candidate]:
    """The order of asking, with what is taught beside the others spread over the whole of it."""
    main, beside = [one for one in chosen if one.lesson], [one for one in chosen if not one.lesson]
    few = len(beside) <= math.ceil(len(main) / (BESIDE_SHARE - 1))
    return _beside(arrange(main), arrange(beside)) if few else arrange(chosen)


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


def _sparing(wanted: Sequence[Candidate], *, strict: bool) -> list[Candidate]:
    """The same order, but of what is taught beside the others one in four at the most.

    Args:
        strict: what finds no room is left for another day, else it stands at the end.
    """
    merged: list[Candidate] = []
    beside: list[Candidate] = []
    waiting: list[Candidate] = []
    for one in wanted:
        (merged if one.lesson else waiting).append(one)
        while waiting and BESIDE_SHARE * (len(beside) + 1) <= len(merged) + 1:
            beside.append(waiting.pop(0))
            merged.append(beside[-1])
    return merged if strict else [*merged, *waiting]


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
    unseen = _beside([one for one in unseen if one.lesson], [one for one in unseen if not one.lesson])
    well_known = sorted((one for one in rest if fresh and not one.unseen and _known(one) >= target), key=_known)
    return [*_alternate(head, [*rusty, *late], unseen), *well_known]


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


def _beside(main: list[Candidate], beside: list[Candidate]) -> list[Candidate]:
    """The plan's own order, with a question of a lesson taught beside it in every fourth place."""
    merged: list[Candidate] = []
    step = BESIDE_SHARE - 1
    for at in range(0, max(len(main), step * len(beside)), step):
        merged += [*main[at : at + step], *beside[at // step : at // step + 1]]
    return merged


def _alternate(head: Sequence[Candidate], rusty: Sequence[Candidate], unseen: Sequence[Candidate]) -> list[Candidate]:
    """Both lists merged so that at every point unseen has taken at most half the time while anything is rusty."""
    old, new = list(rusty), list(unseen)
    merged: list[Candidate] = []
    spent_new = sum(one.seconds for one in head if one.unseen)
    spent_old = sum(one.seconds for one in head if not one.unseen)
    while old and new:
        if spent_new + new[0].seconds <= spent_old:
            spent_new += new[0].seconds
            merged.append(new.pop(0))
        else:
            spent_old += old[0].seconds
            merged.append(old.pop(0))
    return merged + old + new
