"""Orals: questions drawn by topic weight, put by an instructor who marks them; and the forecast held against them.

An oral moves no memory and raises no forecast: it is what the forecast is held against. It stands in the log as one
entry for each question, each of which says to which oral it belongs, so that nothing is lost however one ends.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Any, NamedTuple

from stickback.formulas import draw
from stickback.memory.past import History, Past, Row


class Judged(NamedTuple):
    """A question of an oral and what the instructor made of the answer.

    Args:
        entry: its id in the log.
        said: the points ticked or the answer typed, as its kind stores it; `right` or `wrong` where only that was said.
    """

    entry: str
    history: History
    kind: str
    right: bool
    said: str
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class Oral:
    """An oral as far as it went.

    Args:
        id: of the oral; `seed`, of what is drawn in it.
        day: day number of its last question; that of its beginning before the first.
        by: who is said to have put it.
        questions: how many were to be put; `needed`, how many of them right.
        known, chance: what was told before: the share known, and the chance to pass; None where no estimate was told.
    """

    id: str
    day: int
    by: str
    questions: int
    needed: int
    seed: int
    known: float | None = None
    chance: float | None = None
    heard: tuple[Judged, ...] = ()

    @property
    def right(self) -> int:
        """How many were right so far."""
        return sum(one.right for one in self.heard)

    @property
    def whole(self) -> bool:
        """Whether every question was put."""
        return len(self.heard) >= self.questions

    @property
    def passed(self) -> bool:
        """Whether enough were right."""
        return self.right >= self.needed


_KEYS = ("oral", "by", "questions", "needed", "seed", "known", "chance")


def note(oral: Oral, said: str, remark: str) -> str:
    """What the log stores of a question beside its name and mark."""
    found = {"oral": oral.id, **{name: getattr(oral, name) for name in _KEYS[1:]}, "said": said, "remark": remark}
    return json.dumps({name: value for name, value in found.items() if value not in {None, ""}}, ensure_ascii=False)


def orals(past: Past) -> list[Oral]:
    """The orals of a student in the order of their days; what was taken back is left out, and what cannot be read."""
    found: dict[str, Oral] = {}
    for row in past.rows:
        if row.what != "oral" or row.id in past.voided or (given := _given(row)) is None:
            continue
        before = found.get(given["oral"]) or _oral(row, given)
        found[before.id] = replace(before, day=row.day, heard=(*before.heard, _judged(row, given)))
    return sorted(found.values(), key=lambda one: (one.day, one.id))


def _given(row: Row) -> dict[str, Any] | None:
    """What was stored of a question; None where it is of no oral that can be told from others."""
    try:
        found = json.loads(row.given or "")
    except (ValueError, RecursionError):
        return None
    if not (isinstance(found, dict) and isinstance(found.get("oral"), str)):
        return None
    counts = (found.get(name) for name in ("questions", "needed", "seed"))
    return found if all(isinstance(each, int) and each >= 0 for each in counts) else None


def _oral(row: Row, given: dict[str, Any]) -> Oral:
    return Oral(
        id=given["oral"],
        day=row.day,
        by=str(given.get("by", "")),
        questions=given["questions"],
        needed=given["needed"],
        seed=given["seed"],
        known=_share(given.get("known")),
        chance=_share(given.get("chance")),
    )


def _judged(row: Row, given: dict[str, Any]) -> Judged:
    history = row.history
    said, remark = str(given.get("said", "")), str(given.get("remark", ""))
    return Judged(row.id, history, row.kind or "", bool(row.right), said, remark)


def _share(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) and 0 <= value <= 1 else None


def drawn(topics: Sequence[int], weights: Sequence[int], many: int, seed: int) -> list[int]:
    """Places of questions in the order in which they are put: a topic by its weight, then any question of it.

    Args:
        topics: of each question; `weights`, of each topic.

    None is put twice; a topic that has none left is not drawn any more. So the forecast assumes it, but that it lets a
    question come twice; see `readiness.oral`.
    """
    left: dict[int, list[int]] = {}
    for at, topic in enumerate(topics):
        left.setdefault(topic, []).append(at)
    found: list[int] = []
    while left and len(found) < many:
        there = list(left)
        sums = list(accumulate(weights[topic] for topic in there))
        lot = draw.number(seed, "topic", len(found)) % sums[-1]
        topic = next(each for each, reached in zip(there, sums, strict=True) if lot < reached)
        found.append(left[topic].pop(draw.number(seed, "question", len(found)) % len(left[topic])))
        if not left[topic]:
            del left[topic]
    return found


class Told(NamedTuple):
    """Orals whose chance to pass had been told as about the same.

    Args:
        low, high: the range of the chances; `expected`, the sum of them: how many would have passed on average.
    """

    low: float
    high: float
    orals: int
    expected: float
    passed: int


EDGES = (0.0, 0.5, 0.8, 1.0)  # of the groups: below even, the middle, and where the verdict may be sound


def against_told(orals: Iterable[Oral]) -> list[Told]:
    """Whole orals by the chance that had been told before them; groups without any are left out."""
    told = [(one.chance, one.passed) for one in orals if one.whole and one.chance is not None]
    found = []
    for low, high in pairwise(EDGES):
        there = [(chance, passed) for chance, passed in told if low <= chance < high or chance == high == 1]
        if there:
            sums = [sum(each) for each in zip(*there, strict=True)]
            found.append(Told(low, high, len(there), float(sums[0]), int(sums[1])))
    return found
