"""The order of asking: neighbours of one topic apart, what is new among what is old, what is taught beside spread."""

import math
from collections import Counter
from collections.abc import Sequence

from stickback.study.candidate import Candidate

BESIDE_SHARE = 4  # what is taught beside the others is every fourth question, where it may not be more


def arrange(chosen: Sequence[Candidate]) -> list[Candidate]:
    """The order of asking: the likeliest to be right first and last, no two neighbours of one topic if avoidable."""
    if len(chosen) < 3:
        return list(chosen)
    likely = sorted(chosen, key=lambda one: one.known or 0.0, reverse=True)
    first, last = likely[0], likely[1]
    middle = [one for one in chosen if one is not first and one is not last]
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


def in_turn(chosen: Sequence[Candidate]) -> list[Candidate]:
    """The order of asking, with what is taught beside the others spread over the whole of it."""
    main, beside = [one for one in chosen if one.lesson], [one for one in chosen if not one.lesson]
    few = len(beside) <= math.ceil(len(main) / (BESIDE_SHARE - 1))
    return beside_each(arrange(main), arrange(beside)) if few else arrange(chosen)


def beside_each(main: list[Candidate], beside: list[Candidate]) -> list[Candidate]:
    """The plan's own order, with a question of a lesson taught beside it in every fourth place."""
    merged: list[Candidate] = []
    step = BESIDE_SHARE - 1
    for at in range(0, max(len(main), step * len(beside)), step):
        merged += [*main[at : at + step], *beside[at // step : at // step + 1]]
    return merged


def sparing(wanted: Sequence[Candidate], *, strict: bool) -> list[Candidate]:
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


def alternate(head: Sequence[Candidate], rusty: Sequence[Candidate], unseen: Sequence[Candidate]) -> list[Candidate]:
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
