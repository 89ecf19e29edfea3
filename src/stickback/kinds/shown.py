"""One asking, as every shell shows it: what is seen, how it is answered, and what the answer was worth.

Shells know these values, of which the manner of answering is one, and no kind of question.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from string import ascii_lowercase
from typing import Literal, TypeAlias

Values: TypeAlias = Mapping[str, str]
Manner = Literal["one", "several", "order", "cell", "line", "aloud"]

LETTERS = ascii_lowercase  # of options, in the order shown
UNKNOWN = "don't know"  # given to a question of any kind
REPEATED = "say again"  # brings back what was heard; an answer that needed it begins with these words


@dataclass(frozen=True)
class Cells:
    """Cells to pick one from, in rows and columns.

    Args:
        rows, columns: their names; a cell is spoken of by both.
        keys: a text a row, a key a cell.
    """

    rows: tuple[str, ...]
    columns: tuple[str, ...]
    keys: tuple[str, ...]

    def name(self, key: str) -> str:
        """A cell in words."""
        row = next(place for place, keys in enumerate(self.keys) if key in keys)
        return f"{self.rows[row]} {self.columns[self.keys[row].index(key)]}"


@dataclass(frozen=True, kw_only=True)
class Shown:
    """What the student sees before answering, and how an answer is given; never the answer.

    Args:
        manner: pick `one` option by its letter, pick `several`, put all into `order`; pick a `cell`; type a
            `line`; or say it `aloud`, and then tick which points of the answer were said.
        expects: what an answer looks like when it is typed, for someone who typed none.
        bar: how much of the answer is enough, where nothing else says so.
        options: inline Markdown, in the order shown; their letters follow from it.
        heard: what is to be heard before answering, each transmission as inline Markdown, and not to be read while
            answering.
        seconds: how long saying all of it takes.
        figure: whether the line is a figure; `pad`, what may stand behind it, each to be had by one touch.
    """

    manner: Manner
    expects: str
    options: tuple[str, ...] = ()
    cells: Cells | None = None
    heard: tuple[str, ...] = ()
    seconds: float = 0.0
    bar: str = ""
    figure: bool = False
    pad: tuple[str, ...] = ()

    @property
    def lettered(self) -> tuple[tuple[str, str], ...]:
        """The options, each with its letter."""
        return tuple(zip(LETTERS, self.options, strict=False))

    @property
    def keys(self) -> str:
        """A key for each option or cell; empty where there is none."""
        return "".join(self.cells.keys) if self.cells else LETTERS[: len(self.options)]

    @property
    def picks(self) -> bool:
        """Whether some of the options are picked, which have no order."""
        return self.manner in {"one", "several"}

    @property
    def in_words(self) -> bool:
        """Whether the answer is a line of words or figures of the student's own, in which any key may stand."""
        return self.manner == "line"


@dataclass(frozen=True, kw_only=True)
class Point:
    """A thing the answer holds: a right option, or a point an examiner listens for.

    Args:
        text: inline Markdown.
        label: the letter that it had as an option.
        place: where it belongs, where the points have an order.
        must: leaving it out fails the answer.
        fails: saying it fails the answer.
        said: whether it was, where the student ticks what was said.
    """

    text: str
    label: str = ""
    must: bool = False
    fails: bool = False
    said: bool | None = None
    place: str = ""


def asks_again(shown: Shown, typed: str) -> bool:
    """Whether what was typed is no answer, but asks for what was heard once more."""
    return bool(shown.heard) and " ".join(typed.split()).casefold().rstrip(" :.,!?") == REPEATED


def repeated(given: str) -> str:
    """An answer, or the beginning of one, before which what was heard was brought back."""
    return given if given.casefold().startswith(REPEATED) else f"{REPEATED}: {given}"


@dataclass(frozen=True)
class Unclear:
    """Something typed that is no answer yet: it is asked again, and never fails.

    Args:
        why: what was not understood, to go on with: "there is no option z".
    """

    why: str


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
class Compared:
    """An answer laid beside the right one, once it is marked.

    Args:
        said: the answer given, in words; empty where repeating it says nothing.
        points: what was right, a line each.
        example: other words would be right too.
        later: the answer given as inline Markdown, for when its letters mean nothing any more; empty: as `said`.
    """

    said: str
    points: tuple[Point, ...]
    example: bool = False
    later: str = ""
