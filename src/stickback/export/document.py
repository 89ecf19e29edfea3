"""A document: what stands on it, and how it reads as plain lines. Its texts are plain: no markup in them counts."""

import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest
from typing import Literal, TypeAlias

from stickback.amount import HARD_SPACE

WIDE = 100  # characters of a line
_GAP = 2
_NARROW = 6  # characters: no column of words is made narrower
_SECOND = "\ufdd0"  # no character, and in no text: holds the second cell of one that is wide


@dataclass(frozen=True)
class Title:
    """The name of a page, and a line about it; each page but the first begins a sheet of paper.

    Args:
        wide: its sheets of paper lie on their side.
    """

    text: str
    below: str = ""
    wide: bool = False


@dataclass(frozen=True)
class Heading:
    """The name of a part of a page."""

    text: str


@dataclass(frozen=True)
class Text:
    """A paragraph; `strong` for what must not be overlooked, `small` for what is said for the record."""

    text: str
    look: Literal["plain", "strong", "small"] = "plain"


@dataclass(frozen=True)
class Items:
    """A list; `boxes` are to be ticked on paper."""

    items: tuple[str, ...]
    look: Literal["dots", "numbers", "boxes"] = "dots"


@dataclass(frozen=True)
class Facts:
    """Values by name."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Picture:
    """A drawing.

    Args:
        svg: without script, style or reference, as `pictures` makes it.
        alt: what it shows.
    """

    svg: str
    alt: str


Cell: TypeAlias = str | Picture


@dataclass(frozen=True)
class Grid:
    """Rows of cells under a head.

    Args:
        figures: which columns are set to the right.
        widest: the column that takes the room that is left, when words are long.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    figures: frozenset[int] = frozenset()
    widest: int = 0

    def filled(self) -> "Grid":
        """The same without the columns in which no row has anything."""
        kept = [at for at in range(len(self.head)) if any(row[at] for row in self.rows)]
        return Grid(
            tuple(self.head[at] for at in kept),
            tuple(tuple(row[at] for at in kept) for row in self.rows),
            frozenset(place for place, at in enumerate(kept) if at in self.figures),
            kept.index(self.widest) if self.widest in kept else max(len(kept) - 1, 0),
        )

    def lines(self, width: int, indent: int = 2, gaps: Sequence[int] = (), *, short: bool = False) -> Iterator[str]:
        """The same as plain lines, pictures left out; what does not fit the width is taken from the widest column.

        Args:
            gaps: cells before each column; two where none are given.
            short: a row is one line, with a mark where a text is cut off; else its cells are wrapped.
        """
        shown = [at for at in range(len(self.head)) if not all(isinstance(row[at], Picture) for row in self.rows)]
        rows = [[_plain(row[at]) for at in shown] for row in (self.head, *self.rows)]
        before = [indent, *((gaps or [_GAP] * len(self.head))[at] for at in shown[1:])]
        yield from _side_by_side(rows, width, before, [at in self.figures for at in shown], short=short)


@dataclass(frozen=True)
class Blanks:
    """Lines to be filled in by hand, each with its label."""

    labels: tuple[str, ...]


Part: TypeAlias = Title | Heading | Text | Items | Facts | Picture | Grid | Blanks


@dataclass(frozen=True, kw_only=True)
class Document:
    """A document.

    Args:
        day: when it was made, as its file says.
        foot: below each page: where the figures come from.
    """

    title: str
    day: date
    parts: tuple[Part, ...]
    foot: str = ""

    def kinds(self) -> Iterator[tuple[str, Part]]:
        """The parts, each behind the name of what it is, as templates choose by it."""
        for part in self.parts:
            yield type(part).__name__.casefold(), part

    def pages(self) -> Iterator[list[tuple[str, Part]]]:
        """The same, page by page: what stands under one title."""
        page: list[tuple[str, Part]] = []
        for kind, part in self.kinds():
            if kind == "title" and page:
                yield page
                page = []
            page.append((kind, part))
        if page:
            yield page

    def lines(self, width: int = WIDE) -> list[str]:
        """The same as plain lines, for a terminal or a text file; pictures are left out."""
        found = [line for part in self.parts for line in _part(part, width)]
        return [line.rstrip().replace(HARD_SPACE, " ") for line in [*found, "", *wrapped(self.foot, width)]]


def _part(part: Part, width: int) -> Iterator[str]:
    if isinstance(part, Title):
        yield from ("", *wrapped(part.text, width), *wrapped(part.below, width))
    elif isinstance(part, Heading):
        yield from ("", *wrapped(part.text, width, "  "))
    elif isinstance(part, Text):
        yield from wrapped(part.text, width, "  ")
    elif isinstance(part, Items):
        for number, item in enumerate(part.items, 1):
            mark = {"numbers": f"  {number}. ", "boxes": "  [ ] "}.get(part.look, "  - ")
            yield from wrapped(item, width, mark, " " * len(mark))
    elif isinstance(part, Facts):
        yield from _side_by_side(part.rows, width, (2, 2), (False, False))
    elif isinstance(part, Grid):
        yield from part.lines(width)
    elif isinstance(part, Blanks):
        for label in part.labels:
            yield from wrapped(f"{label}: {'_' * 30}", width, "  ")


def _side_by_side(
    rows: Sequence[Sequence[str]],
    width: int,
    before: Sequence[int],
    at_right: Sequence[bool],
    *,
    short: bool = False,
) -> Iterator[str]:
    """Rows as columns, with so many cells before each."""
    widths, laid = _widths(rows, width - sum(before)), _on_one if short else _wrapped
    for row in rows:
        for line in zip_longest(*map(laid, row, widths), fillvalue=""):
            cells = map(_set, line, widths, at_right)
            yield "".join(" " * gap + cell for gap, cell in zip(before, cells, strict=True)).rstrip()


def wide(text: str) -> int:
    """How many cells a text takes on a terminal. Source: Unicode Standard Annex 11, *East Asian Width*."""
    return sum(0 if unicodedata.combining(each) else 1 + (unicodedata.east_asian_width(each) in "WF") for each in text)


def wrapped(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """A text as lines of so many cells at the most, torn between words where they are no longer than a line.

    Args:
        rest: before each line but the first, as `first` before that; the same where it is not given.
    """
    rest = first if rest is None else rest
    room = width - max(len(first), len(rest))
    # What takes two cells is told to be two characters: the library knows of no cells.
    held = " ".join("".join(map(_held, piece)) for word in text.split(" ") for piece in _chopped(word, room))
    lines = textwrap.wrap(held, width, initial_indent=first, subsequent_indent=rest, break_long_words=False)
    return [line.replace(_SECOND, "") for line in lines]


def _held(character: str) -> str:
    return character + _SECOND * (wide(character) - 1)


def _chopped(word: str, room: int) -> Iterator[str]:
    """A word in pieces that fit a line, each of which but the last fills it."""
    while wide(word) > room:
        end = next(at for at in range(len(word), 0, -1) if wide(word[:at]) <= room)
        yield word[:end]
        word = word[end:]
    yield word


def _filled(text: str, width: int) -> str:
    """A text cut or filled with spaces to so many cells."""
    while wide(text) > width:
        text = text[:-1]
    return text + " " * (width - wide(text))


def _widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Of the columns of some rows, which fit the width together, if none is made too narrow for words."""
    widths = [max(map(wide, column)) for column in zip(*rows, strict=True)]
    while sum(widths) > width and max(widths) > _NARROW:
        widths[widths.index(max(widths))] -= 1
    return widths


def _plain(cell: Cell) -> str:
    return "" if isinstance(cell, Picture) else cell


def cut(text: str, width: int) -> str:
    """A text with a mark where what does not fit so many cells is cut off."""
    return text if wide(text) <= width else _filled(text, width - 1) + "…"


def _on_one(text: str, width: int) -> list[str]:
    return [cut(text, width)]


def _wrapped(text: str, width: int) -> list[str]:
    return wrapped(text, width) or [""]


def _set(text: str, width: int, at_right: bool) -> str:
    return " " * (width - wide(text)) + text if at_right else _filled(text, width)
