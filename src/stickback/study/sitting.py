"""A sitting: today's agenda, what of it is still to come, and what a question costs.

It is not stored: it is a fold of today's answers over today's agenda.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from stickback.memory.columns import Columns
from stickback.memory.past import History, Row
from stickback.study.candidate import Reason

AGAIN_AFTER = 3  # a question answered wrong is the third one from then
AGAIN_AT_MOST = 2
DIFFERENT = 2  # different questions that a day holds, at the least, for each repeat
FIRST_GUESS_SECONDS = 20.0  # what a question costs before any answer says otherwise
LONGEST_SECONDS = 120.0  # someone who answers the door is not thinking


@dataclass(frozen=True)
class Agenda:
    """Today's plan: the questions it is for, and by which rules they follow one another.

    Args:
        order: of asking, as it was chosen before any answer of today.
        within: what may be asked at all; what was answered wrong comes back only inside it.
        chains: what is asked straight after a question.
        why: of each question in the order, why it was chosen.
    """

    order: tuple[History, ...]
    within: frozenset[History]
    chains: dict[History, History]
    why: dict[History, Reason] = field(default_factory=dict)


@dataclass(frozen=True)
class Sitting:
    """Where today stands.

    Args:
        queue: still to come, in order.
        answered: askings answered today.
        seconds: spent on them.
    """

    queue: tuple[History, ...]
    answered: int
    seconds: float


def resume(agenda: Agenda, today: Sequence[Row], voided: Collection[str]) -> Sitting:
    """The sitting after today's answers.

    Args:
        today: today's answers in the order of their ids, voided ones included.
    """
    waiting: dict[History, int] = {}  # after how many askings of the day each comes back at the soonest
    times: dict[History, int] = {}
    following: list[History] = []
    for answered, row in enumerate(today, 1):
        history = row.history
        times[history] = times.get(history, 0) + 1
        waiting.pop(history, None)
        after = agenda.chains.get(history)
        following = [one for one in following if one != history]
        if after is not None and after not in times and after in agenda.within:
            following = [after]
        # An answer taken back after its mark was seen is no second go: the question comes another day.
        if not row.right and row.id not in voided and times[history] <= AGAIN_AT_MOST and history in agenda.within:
            waiting[history] = answered + AGAIN_AFTER - 1
    fresh = [one for one in agenda.order if one not in times]
    queue = _queue(following, fresh, waiting, len(today), len(times))
    return Sitting(queue, len(today), sum(map(_seconds, today)))


def _queue(
    following: Sequence[History],
    fresh: Sequence[History],
    waiting: Mapping[History, int],
    answered: int,
    different: int,
) -> tuple[History, ...]:
    """What is to come if all of it is right: repeats spread so that they are never much of what was asked."""
    queue = list(following)
    new = [one for one in fresh if one not in following]
    back = sorted(waiting, key=lambda one: waiting[one])
    different += len(queue)
    while new or back:
        done = answered + len(queue)
        room = DIFFERENT * (done - different + 1) <= different
        if back and room and (waiting[back[0]] <= done or not new):
            queue.append(back.pop(0))
        elif new:
            queue.append(new.pop(0))
            different += 1
        else:
            break  # what is left comes back another day
    return tuple(queue)


def _seconds(row: Row) -> float:
    return min(row.seconds or 0.0, LONGEST_SECONDS)


def costs(columns: Columns, kinds: Mapping[str, str], student: int = 0) -> dict[str, float]:
    """Median seconds of a student's answers by kind; kinds never answered are missing.

    Args:
        kinds: by question; an answer to any other says nothing.
        student: whose, by place.
    """
    names = list(dict.fromkeys(kinds.values()))
    number = {question: names.index(kind) for question, kind in kinds.items()}
    of_history = np.array([number.get(question, -1) for question, _ in columns.histories], dtype=np.int64)
    mine = slice(*np.searchsorted(columns.student, [student, student + 1]).tolist())
    of, seconds = of_history[columns.history[mine]], np.minimum(columns.seconds[mine], LONGEST_SECONDS)
    return {name: float(np.median(seconds[of == at])) for at, name in enumerate(names) if (of == at).any()}


def cost(costs: dict[str, float], kind: str) -> float:
    """What asking a question of a kind will take, in seconds, never less than one."""
    return max(costs.get(kind, FIRST_GUESS_SECONDS), 1.0)
