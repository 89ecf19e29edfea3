"""Sequence: steps put in their order; right when the order is exact."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import ClassVar

from stickback.formulas import draw
from stickback.kinds import letters
from stickback.kinds.protocol import Kind, Reading, Written, alike
from stickback.kinds.shown import LETTERS, Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading.problem import At, Problem

LEAST, MOST = 3, 8  # steps


@dataclass(frozen=True)
class Sequence(Kind):
    """A sequence question: the steps in their right order."""

    steps: tuple[str, ...]

    NAME: ClassVar = "sequence"
    RULES: ClassVar = ("Three to eight steps, shown shuffled. Right when the order is exact.",)
    EXAMPLE: ClassVar = "### Answer\n\n1. Mixture rich\n2. Magnetos on\n3. Starter"

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` that begins with an ordered list."""
        return any(block.kind == "numbers" for block in written.answer[:1])

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The steps, one line each."""
        first, *more = written.answer
        steps = tuple(" ".join(item.children[0].text.split()) if item.children else "" for item in first.children)
        extra = [*more, *(child for item in first.children for child in item.children[1:])]
        extra += [item for item in first.children if item.children and item.children[0].kind != "paragraph"]
        if extra:
            message, code = "This is not read: the answer is one numbered list, each step one paragraph.", "answer-form"
            line, hint = min(block.line for block in extra), "put it into the list as a step, or under `### Why`"
        elif not LEAST <= len(steps) <= MOST:
            message, code = f"A sequence has {LEAST} to {MOST} steps, this one has {len(steps)}.", "sequence-steps"
            line, hint = first.line, "join or split steps, or make it two questions"
        elif len(set(map(alike, steps))) < len(steps) or "" in steps:
            message, code = "Two steps read the same, or one is empty.", "sequence-same"
            line, hint = first.line, "say what is different about each"
        else:
            return cls(steps), written.prompt, []
        return None, written.prompt, [Problem(At(written.file, line, 1), code, message, hint)]

    @property
    def letters(self) -> str:
        """Those of the steps as shown."""
        return LETTERS[: len(self.steps)]

    def describe(self) -> str:
        """How many steps."""
        return f"{len(self.steps)} steps"

    def texts(self) -> tuple[str, ...]:
        """The steps."""
        return self.steps

    def chance(self) -> float:
        """One order of all there are."""
        return 1 / math.factorial(len(self.steps))

    def _order(self, seed: int) -> list[int]:
        """Places of the steps as shown; never in the right order already."""
        shown = draw.order(len(self.steps), seed)
        return shown if shown != sorted(shown) else [*shown[1:], shown[0]]

    def solution(self) -> tuple[str, ...]:
        """The steps in their order."""
        return self.steps

    def to_log(self, seed: int, given: str) -> str:
        """Letters as steps of the file."""
        return letters.to_log(given, self._order(seed), self.steps)

    def from_log(self, seed: int, kept: str) -> str:
        """Steps of the file as the letters they had."""
        return letters.of_places(self.chosen(seed, kept), self._order(seed))

    def chosen(self, seed: int | None, kept: str) -> tuple[int, ...]:
        """The steps in the order given."""
        return letters.places(kept, () if seed is None else self._order(seed), self.steps)

    def show(self, seed: int, values: Values) -> Shown:
        """The steps, shuffled by the seed."""
        expects = f"the letters a to {self.letters[-1]} in the right order"
        return Shown(manner="order", expects=expects, options=tuple(self.steps[place] for place in self._order(seed)))

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """Every letter once, in the order meant: `c a b`."""
        found = letters.understood(typed, self.letters)
        if isinstance(found, Unclear):
            return found
        if missing := [letter for letter in self.letters if letter not in found]:
            return Unclear(
                f"every step has its place, and {', '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing"
            )
        if len(found) > len(self.letters):
            return Unclear("a step stands there more than once")
        return " ".join(found)

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """Right when the order is exact; the score is the share of neighbours that follow each other rightly."""
        shown = self._order(seed)
        if len(given.split()) < len(shown):
            return Mark(False, 0.0, ("The steps have changed since.",))
        order = [shown[self.letters.index(letter)] for letter in given.split()]
        pairs = sum(after == before + 1 for before, after in pairwise(order))
        right = order == sorted(order)
        return Mark(right, pairs / (len(order) - 1), () if right else (_picture(order),))

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """The steps in their right order, with the letters they had."""
        shown = self._order(seed)
        return tuple(Point(text=step, label=self.letters[shown.index(place)]) for place, step in enumerate(self.steps))

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """The letters given, and the steps by their right places and their letters."""
        right = enumerate(self.answer(seed, values), 1)
        points = tuple(replace(point, place=str(place)) for place, point in right)
        return Compared(given.replace(" ", ", "), points, later="another order")

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """The right order, or that from back to front."""
        order = [point.label for point in self.answer(seed, values)]
        return " ".join(order if right else reversed(order))


def _picture(order: list[int]) -> str:
    """The order given, by the right numbers of its steps, those in place marked: `2 4 6 1 (5) 3`."""
    shown = " ".join(f"({step + 1})" if step == place else str(step + 1) for place, step in enumerate(order))
    return f"Yours, by the right numbers: {shown}." + (" In brackets what is in place." if "(" in shown else "")
