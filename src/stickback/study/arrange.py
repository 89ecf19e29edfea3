"""The order of asking what was chosen: a good beginning and end, and no two neighbours of one topic if avoidable."""

from collections import Counter
from collections.abc import Sequence
from typing import Protocol, TypeVar


class OfTopic(Protocol):
    """What can be put into an order: of a topic, known more or less well, or never seen."""

    @property
    def topic(self) -> str:
        """Its topic."""

    @property
    def known(self) -> float | None:
        """The chance that it is known; None when it is unseen."""


Asked = TypeVar("Asked", bound=OfTopic)


def arrange(chosen: Sequence[Asked]) -> list[Asked]:
    """The order of asking: the likeliest to be right first and last, no two neighbours of one topic if avoidable."""
    if len(chosen) < 3:
        return list(chosen)
    likely = sorted(chosen, key=lambda one: one.known or 0.0, reverse=True)
    first, last = likely[0], likely[1]
    middle = [one for one in chosen if one is not first and one is not last]
    return [first, *_spread(middle, first.topic, last.topic), last]


def _spread(middle: list[Asked], before: str, after: str) -> list[Asked]:
    left = list(middle)
    spread: list[Asked] = []
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
