"""What every kind of question speaks in: what is shown, what an answer was worth, and what a kind must provide."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Protocol, TypeAlias

from stickback.reading.markup import Block, Section
from stickback.reading.problem import Problem

Values: TypeAlias = Mapping[str, str]
Manner = Literal["one", "several", "aloud", "order", "stick", "typed", "radio"]


@dataclass(frozen=True)
class Shown:
    """What the student sees before answering; never the answer.

    Args:
        manner: pick `one` option, pick `several`, or say it `aloud`.
        options: inline Markdown, in the order shown.
        text: a transmission, as inline Markdown; `seconds` is how long saying it takes.
    """

    manner: Manner
    options: tuple[str, ...] = ()
    text: str = ""
    seconds: float = 0.0


@dataclass(frozen=True)
class Point:
    """A thing the answer holds: a right option, or a point an examiner listens for.

    Args:
        text: inline Markdown.
        letter: its letter where it was shown as an option.
        must: leaving it out fails the answer.
        fails: saying it fails the answer.
    """

    text: str
    letter: str = ""
    must: bool = False
    fails: bool = False


@dataclass(frozen=True)
class Mark:
    """What an answer was worth.

    Args:
        right: whether it counts as known.
        score: share of it that was right, 0 to 1.
        remarks: what is worth saying about it, a sentence each.
    """

    right: bool
    score: float
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Part:
    """What a kind reads of a question.

    Args:
        section: the `##` section, its heading's attributes taken off.
        prompt: what stands before the first `###`.
        parts: the `###` sections by lower-case title.
        settings: attributes of the heading; `places` are their lines and columns.
        lines: the file's lines.
        broken: lines of it that are complained about already.
    """

    file: str
    section: Section
    prompt: tuple[Block, ...]
    parts: dict[str, Section]
    settings: dict[str, str]
    places: dict[str, tuple[int, int]]
    lines: tuple[str, ...]
    broken: frozenset[int]


Reading: TypeAlias = "tuple[object | None, tuple[Block, ...], list[Problem]]"


class Kind(Protocol):
    """A kind of question is a module with these names; it takes plain values, never a course."""

    NAME: str

    def reads(self, part: Part, /) -> bool:
        """Whether the question is written in this kind's form."""

    def parse(self, part: Part, /) -> Reading:
        """The body, the blocks that stay as the prompt, and the problems; no body where there is an error."""

    def describe(self, body: object, /) -> str:
        """How the question was read, in a few words: "3 options, 1 right"."""

    def chance(self, body: object, /) -> float:
        """The chance to be right by guessing, 0 to 1."""

    def present(self, body: object, seed: int, values: Values, /) -> Shown:
        """What the student sees, with the values of the sheet and those drawn for this asking."""

    def understand(self, body: object, text: str, /) -> str | None:
        """An answer as typed, in the form that `mark` takes and the log stores; None when it is none."""

    def expects(self, body: object, /) -> str:
        """What an answer looks like, for someone who typed none."""

    def mark(self, body: object, seed: int, given: str, values: Values, /) -> Mark:
        """What an understood answer was worth, under the seed and values it was shown with."""

    def answer(self, body: object, seed: int, values: Values, /) -> tuple[Point, ...]:
        """What would have been right."""

    def texts(self, body: object, /) -> tuple[str, ...]:
        """All inline Markdown of the body, for whoever looks for values in it."""
