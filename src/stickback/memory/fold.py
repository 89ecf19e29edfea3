"""The fold: from answers to the memory of every history, all histories at once.

A history here is one of one student: where there are several, a cell of `columns`. Answers of a history depend on each
other, histories do not: so the k-th answers of all histories are taken in one step. Beside it: what was answered sure
but wrong, open until it was put right on two different days.
"""

from dataclasses import dataclass, replace

import numpy as np

from stickback.memory import curve
from stickback.memory.curve import Flags, Floats, Ints, Parameters

VOIDED, WRONG, RIGHT = curve.VOIDED, curve.WRONG, curve.RIGHT


@dataclass(frozen=True)
class State:
    """Memory of each history after the answers folded so far.

    Args:
        stability, difficulty: shape (histories,); nan where nothing was answered.
        moved_on: day number of the last answer that moved it; -1 where none did.
        touched: day number of the last answer, voided ones included: what comes on that day is practice.
    """

    stability: Floats
    difficulty: Floats
    moved_on: Ints
    touched: Ints


def nothing(histories: int) -> State:
    """The state before any answer."""
    unseen = np.full(histories, np.nan)
    never = np.full(histories, -1, dtype=np.int64)
    return State(unseen, unseen.copy(), never, never.copy())


def fold(history: Ints, day: Ints, grade: Ints, start: State, w: Parameters = curve.DEFAULTS) -> State:
    """The state after further answers.

    Args:
        history: index into the state, in any order; shape (answers,).
        day: day number, >= 0.
        grade: 1 to 3, or `VOIDED`. Answers of one history and day stand in the order of their ids.
        start: where to go on from; its arrays are left alone.

    Only the first answer of a history on a day moves it, and nothing does when that one is voided.
    """
    at = first_of_day(history, day)
    at = at[day[at] > start.touched[history[at]]]
    touched = start.touched.copy()
    touched[history[at]] = day[at]  # sorted by day, so the last one stays
    at = at[grade[at] != VOIDED]
    return replay(history[at], day[at], grade[at], replace(start, touched=touched), w)


def replay(history: Ints, day: Ints, grade: Ints, start: State, w: Parameters = curve.DEFAULTS) -> State:
    """The state after answers that all move it: sorted by history and day, one a day, each later than the state's."""
    heads, turns = in_turn(history)
    who = history[heads]
    s, d, days = start.stability[who], start.difficulty[who], start.moved_on[who]
    for k, many in enumerate(turns):
        now = heads[:many] + k
        today = day[now]
        s[:many], d[:many] = _move(s[:many], d[:many], grade[now], today - days[:many], w)
        days[:many] = today
    stability, difficulty, moved_on = start.stability.copy(), start.difficulty.copy(), start.moved_on.copy()
    stability[who], difficulty[who], moved_on[who] = s, d, days
    return State(stability, difficulty, moved_on, start.touched)


def in_turn(history: Ints) -> tuple[Ints, Ints]:
    """How the k-th answers of all histories are taken in one step, from answers sorted by history.

    Returns: the place of each history's first answer, longest histories first; and for each k how many have a k-th
        answer. Those are then the first so many, without gaps, and their answers stand k places behind the first.
    """
    begins = np.flatnonzero(np.diff(history, prepend=-1))
    counts = np.diff(begins, append=len(history))
    by_length = np.argsort(-counts, kind="stable")
    turns = np.searchsorted(-counts[by_length], -np.arange(counts.max(initial=0)), side="left")
    return begins[by_length], turns


def follow(history: Ints, day: Ints, grade: Ints, w: Parameters = curve.DEFAULTS) -> tuple[State, Floats]:
    """The state from nothing, and what the model expected on the way: much quicker than `replay` for a whole school.

    Args:
        history, day, grade: answers that all move the memory, as `replay` takes them.
    Returns: the state of the histories that occur, ascending; and the chance of a right answer just before each
        answer, 0 to 1, nan for the first of a history.
    """
    heads, turns = in_turn(history)
    elapsed = np.diff(day, prepend=0)
    before = np.full(len(history), np.nan)
    s, d = curve.first(grade[heads], w)
    last = day[heads]
    for k, many in enumerate(turns[1:], 1):
        now = heads[:many] + k
        before[now] = s[:many]
        s[:many], d[:many] = curve.step(s[:many], d[:many], grade[now], elapsed[now], w)
        last[:many] = day[now]
    ascending = np.argsort(heads)
    return State(s[ascending], d[ascending], last[ascending], last[ascending]), curve.recall(before, elapsed, w)


def _move(s: Floats, d: Floats, grade: Ints, elapsed: Ints, w: Parameters) -> tuple[Floats, Floats]:
    new = np.isnan(s)
    if new.all():
        return curve.first(grade, w)
    after = curve.step(s, d, grade, elapsed, w)
    if not new.any():
        return after
    begun = curve.first(grade, w)
    return np.where(new, begun[0], after[0]), np.where(new, begun[1], after[1])


def first_of_day(history: Ints, day: Ints) -> Ints:
    """Places of the first answer of each (history, day), sorted by history and day."""
    if not len(history):
        return np.zeros(0, dtype=np.int64)
    place = np.arange(len(history))
    low = day.min()
    span, many = int(day.max() - low) + 1, len(history)
    if (int(history.max()) + 1) * span * many < 2**62:
        # One sort of one number is three times as fast as sorting by three keys.
        packed = np.sort((history * span + (day - low)) * many + place)
        order, key = packed % many, packed // many
        return np.asarray(order[np.diff(key, prepend=-1) != 0])
    order = np.lexsort((place, day, history))
    new = np.diff(history[order], prepend=-1) != 0
    return np.asarray(order[new | (np.diff(day[order], prepend=-1) != 0)])


DAYS_TO_MEND = 2


@dataclass(frozen=True)
class Misbelief:
    """A wrong answer given as `sure`.

    Args:
        history: question and variant.
        day: day number of the latest such answer.
        mended: on how many different days since it was right and not guessed.
    """

    history: tuple[str, str]
    day: int
    mended: int


def misbelieved(history: Ints, day: Ints, grade: Ints, sure: Flags, histories: int) -> tuple[Ints, Ints]:
    """When each history was last answered wrong and sure, and on how many days since it was mended.

    Args:
        history, day, grade: answers as `fold.fold` takes them.
        sure: those given as `sure`.
    Returns: day numbers (-1 where that never happened) and counts of days; shape (histories,).

    Practice opens a misbelief as any answer does, and never mends one.
    """
    last = np.full(histories, -1, dtype=np.int64)
    wrong = sure & (grade == WRONG)
    np.maximum.at(last, history[wrong], day[wrong])
    at = first_of_day(history, day)
    mends = at[(grade[at] == RIGHT) & (day[at] > last[history[at]]) & (last[history[at]] >= 0)]
    return last, np.bincount(history[mends], minlength=histories)
