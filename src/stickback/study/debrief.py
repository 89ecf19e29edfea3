"""Debrief: the weak topics, worst first, each with the section of the lesson plan that teaches it."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from statistics import fmean

from stickback.course.course import Topic
from stickback.memory.past import History


@dataclass(frozen=True)
class Grasp:
    """How a question of a topic stands on a day; `known` is None when it is unseen."""

    history: History
    topic: str
    known: float | None


@dataclass(frozen=True, kw_only=True)
class Weak:
    """A weak topic.

    Args:
        known: mean chance that its seen questions are known, 0 to 1.
        seen, questions: how many of its questions were answered, how many there are.
        rusty: how many of the seen ones stand below the target.
        misbeliefs: questions of it that were answered wrong and sure, still open.
        errors: errors seen in flight with this topic behind them, still open.
    """

    topic: Topic
    known: float | None
    seen: int
    questions: int
    rusty: int
    misbeliefs: tuple[History, ...]
    errors: tuple[str, ...]


def weak(
    topics: Iterable[Topic],
    standings: Iterable[Grasp],
    target: float,
    misbeliefs: Collection[History],
    errors: Mapping[str, Collection[str]],
) -> list[Weak]:
    """The weak topics: those whose seen questions are rusty on the whole, or behind which something went wrong.

    Args:
        errors: topics by open error.

    Worst first: lowest known, must topics before others; what was seen to go wrong and never asked comes first.
    """
    by_topic: dict[str, list[Grasp]] = {}
    for one in standings:
        by_topic.setdefault(one.topic, []).append(one)
    found = [_of(topic, by_topic.get(topic.id, []), target, misbeliefs, errors) for topic in topics]
    bad = [one for one in found if one.misbeliefs or one.errors or (one.known is not None and one.known < target)]
    return sorted(bad, key=lambda one: (one.known is not None, one.known or 0.0, not one.topic.must))


def _of(
    topic: Topic,
    standings: list[Grasp],
    target: float,
    misbeliefs: Collection[History],
    errors: Mapping[str, Collection[str]],
) -> Weak:
    known = [one.known for one in standings if one.known is not None]
    return Weak(
        topic=topic,
        known=fmean(known) if known else None,
        seen=len(known),
        questions=len(standings),
        rusty=sum(value < target for value in known),
        misbeliefs=tuple(one.history for one in standings if one.history in misbeliefs),
        errors=tuple(error for error, topics in errors.items() if topic.id in topics),
    )
