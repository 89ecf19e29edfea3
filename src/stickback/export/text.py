"""A document as plain lines, for a terminal or a text file; pictures are left out."""

import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from stickback.export.document import Blanks, Cell, Document, Facts, Grid, Heading, Items, Part, Picture, Text, Title

WIDE = 100
_GAP = 2
_NARROW = 6  # characters: no column of words is made narrower


def wide(text: str) -> int:
    """How many cells a text takes on a terminal. Source: Unicode Standard Annex 11, *East Asian Width*."""
    return sum(0 if unicodedata.combining(each) else 1 + (unicodedata.east_asian_width(each) in "WF") for each in text)


def filled(text: str, width: int) -> str:
    """A text cut or filled with spaces to so many cells."""
    while wide(text) > width:
        text = text[:-1]
    return text + " " * (width - wide(text))


def lines(document: Document, width: int = WIDE) -> list[str]:
    """The document, a line each."""
    found = [line for part in document.parts for line in _part(part, width)]
    return [line.rstrip() for line in [*found, "", *textwrap.wrap(document.foot, width)]]


def _part(part: Part, width: int) -> Iterator[str]:
    if isinstance(part, Title):
        yield from ("", part.text, *textwrap.wrap(part.below, width))
    elif isinstance(part, Heading):
        yield from ("", f"  {part.text}")
    elif isinstance(part, Text):
        yield from textwrap.wrap(part.text, width, initial_indent="  ", subsequent_indent="  ")
    elif isinstance(part, Items):
        for number, item in enumerate(part.items, 1):
            mark = {"numbers": f"  {number}. ", "boxes": "  [ ] "}.get(part.look, "  - ")
            yield from textwrap.wrap(item, width, initial_indent=mark, subsequent_indent=" " * len(mark))
    elif isinstance(part, Facts):
        yield from _facts(part, width)
    elif isinstance(part, Grid):
        yield from table(part, width)
    elif isinstance(part, Blanks):
        yield from (f"  {label}: {'_' * 30}" for label in part.labels)


def _facts(part: Facts, width: int) -> Iterator[str]:
    most = max(wide(name) for name, _ in part.rows)
    for name, value in part.rows:
        first = f"  {filled(name, most)}  "
        yield from textwrap.wrap(value, width, initial_indent=first, subsequent_indent=" " * len(first))


def table(grid: Grid, width: int, indent: int = 2, gaps: Sequence[int] = (), *, short: bool = False) -> Iterator[str]:
    """A table; what does not fit the width is taken from the widest column.

    Args:
        gaps: cells before each column; two where none are given.
        short: a row is one line, with a mark where a text is cut off; else its cells are wrapped.
    """
    shown = [at for at in range(len(grid.head)) if not all(isinstance(row[at], Picture) for row in grid.rows)]
    rows = [[_plain(row[at]) for at in shown] for row in (grid.head, *grid.rows)]
    before = [indent, *((gaps or [_GAP] * len(grid.head))[at] for at in shown[1:])]
    widths = [max(wide(row[at]) for row in rows) for at in range(len(shown))]
    while sum(widths) + sum(before) > width and max(widths) > _NARROW:
        widths[widths.index(max(widths))] -= 1
    for row in rows:
        cells = [[cut(each, many)] if short else _wrapped(each, many) for each, many in zip(row, widths, strict=True)]
        for line in zip_longest(*cells, fillvalue=""):
            set_to = zip(shown, line, widths, before, strict=True)
            yield "".join(" " * gap + _set(each, many, at in grid.figures) for at, each, many, gap in set_to).rstrip()


def _plain(cell: Cell) -> str:
    return "" if isinstance(cell, Picture) else cell


def cut(text: str, width: int) -> str:
    """A text with a mark where what does not fit so many cells is cut off."""
    return text if wide(text) <= width else filled(text, width - 1) + "…"


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width) or [""]


def _set(text: str, width: int, at_right: bool) -> str:
    return " " * (width - wide(text)) + text if at_right else filled(text, width)
