"""Paragraphs on a terminal: wrapped at 80 columns at the most, no meaning by colour alone."""

from collections.abc import Iterable, Mapping
from functools import cache

from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from stickback.reading import render
from stickback.reading.markup import Block
from stickback.reading.render import Grid, Paragraph, Span

WIDEST = 80


@cache
def console() -> Console:
    """Where everything is printed; colours only where the terminal has them and NO_COLOR is not set."""
    made = Console(highlight=False, markup=False, emoji=False)
    made.width = min(made.width, WIDEST)
    return made


def text(spans: Iterable[Span], style: str = "") -> Text:
    """Spans as styled text, footnotes left out."""
    made = Text(style=style)
    for span in spans:
        if not span.note:
            made.append(span.text, " ".join(["bold"] * span.bold + ["italic"] * span.italic))
    made.rstrip()
    return made


def say(*lines: str, style: str = "", indent: int = 2) -> None:
    """Plain sentences, wrapped under one indent."""
    for line in lines:
        wrapped(Text(line, style=style), " " * indent)


def wrapped(content: Text, first: str = "  ", rest: str | None = None) -> int:
    """Text with a margin: one before its first line, one before the others; how many lines that took."""
    out = console()
    following = " " * len(first) if rest is None else rest
    lines = content.wrap(out, max(out.width - len(first), 20))
    for number, line in enumerate(lines):
        line.rstrip()
        out.print(Text(following if number else first) + line, soft_wrap=True)
    return len(lines)


def flow(blocks: Iterable[Block], values: Mapping[str, str], indent: int = 2) -> None:
    """Blocks as paragraphs, lists and tables."""
    margin = " " * indent
    for number, piece in enumerate(render.flow(blocks, values)):
        if isinstance(piece, Grid):
            _grid(piece, indent)
            continue
        if piece.apart and number:
            console().print()
        _paragraph(piece, margin)


def _paragraph(piece: Paragraph, margin: str) -> None:
    style = {"heading": "bold", "quote": "italic"}.get(piece.style, "")
    wrapped(text(piece.spans, style), margin + piece.first, margin + piece.rest)


def _grid(grid: Grid, indent: int) -> None:
    head, *rows = grid.rows
    table = Table(box=box.SIMPLE, pad_edge=False, padding=(0, 2, 0, 0))
    for cell in head:
        table.add_column(text(cell))
    for row in rows:
        table.add_row(*(text(cell) for cell in row))
    console().print(Padding(table, (0, 0, 0, indent)))


def heading(title: str) -> None:
    """A bold line with a blank one before it."""
    console().print()
    wrapped(Text(title, style="bold"), "")


def columns(rows: Iterable[tuple[str, ...]], indent: int = 2) -> None:
    """Rows in columns as wide as they need; the last one is wrapped."""
    found = list(rows)
    widths = [max(map(cell_len, column)) for column in zip(*(row[:-1] for row in found), strict=True)]
    for row in found:
        cells = (cell + " " * (width - cell_len(cell) + 2) for cell, width in zip(row, widths, strict=False))
        first = " " * indent + "".join(cells)
        wrapped(Text(row[-1]), first, " " * len(first))
