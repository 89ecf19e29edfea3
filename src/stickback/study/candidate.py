"""A question that may be asked on a day, as choosing looks at it; why it was; which of an assumed topic count."""

import math
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from stickback.formulas import draw
from stickback.memory.past import History


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


class Reason(NamedTuple):
    """Why a question was chosen.

    Args:
        weight: of its topic.
        gain: what an answer today is expected to add to `known` on the date; None when no date says so.
        for_lesson: the date is that of a lesson, else the end of the course.
        sure_but_wrong: it was answered wrong and sure, and that is still open.
    """

    candidate: Candidate
    weight: int
    gain: float | None
    for_lesson: bool
    sure_but_wrong: bool


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
