"""Text on a terminal: wrapped at 80 columns at the most, no meaning by colour alone."""

import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import IO

from rich import box
from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderableType
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from stickback.amount import HARD_SPACE
from stickback.cli.terminal import streams
from stickback.reading import text as texts
from stickback.reading.markup import Block
from stickback.reading.text import Heading, Span
from stickback.words import plain

WIDEST = 80
_HELD = "\ue000"  # stands for a no-break space while lines are made: they end at any other
_LAST = 20  # the last of several columns is never narrower, unless all of it is


class Screen(Console):
    """A console that cleans what it shows, and writes its own signs past the stream that would clean them too."""

    @property
    def file(self) -> IO[str]:
        """Where it is written."""
        stream: IO[str] = streams.raw(super().file)
        return stream

    @file.setter
    def file(self, new: IO[str]) -> None:
        self._file = new

    def render(self, renderable: RenderableType, options: ConsoleOptions | None = None) -> Iterable[Segment]:
        """What is shown, piece by piece."""
        for piece in super().render(renderable, options):
            yield piece if piece.control else Segment(streams.clean(piece.text), piece.style)


def console() -> Console:
    """Where everything is printed, as wide as the terminal is now; colours only where it has them and wants them."""
    made = _console()
    made.width = min(shutil.get_terminal_size().columns, WIDEST)
    return made


@cache
def _console() -> Console:
    """Without colours where NO_COLOR is set."""
    return Screen(highlight=False, markup=False, emoji=False)


@contextmanager
def progress(steps: int) -> Iterator[Callable[[str], None]]:
    """How far a long work has come, on standard error, which is a terminal or gets nothing; gives what tells a step."""
    from rich.progress import BarColumn, Progress, TextColumn  # hardly any command takes long

    out = Screen(stderr=True, highlight=False, markup=False, emoji=False)
    parts = (BarColumn(20), TextColumn("{task.description}", markup=False))
    with Progress(*parts, console=out, transient=True, disable=not out.is_terminal) as shown:
        task = shown.add_task("", total=steps)
        begun = 0

        def tell(what: str) -> None:
            nonlocal begun
            shown.update(task, description=what, completed=begun)
            begun += 1

        yield tell


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


def tell(*sentences: str) -> None:
    """Sentences at the margin or under their own: on a terminal no word of them is torn, in a pipe each is a line."""
    for one in sentences:
        if console().is_terminal:
            text = one.lstrip()
            say(text, indent=len(one) - len(text))
        else:
            console().print(Text(one), soft_wrap=True)


def choices(keys: Iterable[str]) -> None:
    """Keys with what they do, side by side; none is torn apart at the end of a line."""
    lines: list[str] = []
    for key in keys:
        if lines and len(lines[-1]) + len(key) + 5 <= console().width:
            lines[-1] += f" · {key}"
        else:
            lines.append(key)
    say(*lines, style="dim")


def wrapped(content: Text, first: str = "  ", rest: str | None = None) -> list[str]:
    """Text with a margin: one before its first line, one before the others; the lines as they were printed."""
    out = console()
    following = " " * len(first) if rest is None else rest
    held = content.copy()
    held.plain = content.plain.replace(HARD_SPACE, _HELD)
    lines = held.wrap(out, max(out.width - max(len(first), len(following)), 20))
    printed = []
    for number, line in enumerate(lines):
        line.plain = line.plain.replace(_HELD, " ")
        line.rstrip()
        whole = Text(following if number else first) + line
        out.print(whole, soft_wrap=True)
        printed.append(whole.plain)
    return printed


def flow(blocks: Iterable[Block], values: Mapping[str, str], indent: int = 2, folder: Path | None = None) -> list[Path]:
    """Blocks as paragraphs, lists and tables; the files of the pictures among them, which are named below each.

    Args:
        folder: of the course; without it no file is named, and nothing is drawn.
    """
    margin = " " * indent
    files = []
    for number, piece in enumerate(plain.pieces(blocks, values, folder)):
        if isinstance(piece.node, texts.Table):
            _table(piece.node, indent)
            continue
        if piece.apart and number:
            console().print()
        style = "bold" if isinstance(piece.node, Heading) else ""
        wrapped(text(piece.node.spans, style), margin + piece.first, margin + piece.rest)
        if piece.file:
            console().print(Text(f"{margin}{piece.rest}Picture: {piece.file}", style="dim"), soft_wrap=True)
            files.append(piece.file)
    return files


def _table(found: texts.Table, indent: int) -> None:
    head, *rows = found.rows
    table = Table(box=box.SIMPLE, pad_edge=False, padding=(0, 2, 0, 0))
    for cell in head:
        table.add_column(text(cell))
    for row in rows:
        table.add_row(*(text(cell) for cell in row))
    tabled(table, indent)


def tabled(table: Table, indent: int = 2, least: int = 0) -> None:
    """A table under one indent, with nothing behind its lines; at least so wide, whatever the screen is."""
    out = console()
    options = out.options.update(width=max(out.width, least))
    for cells in out.render_lines(Padding(table, (0, 0, 0, indent), expand=False), options, pad=False):
        line = Text.assemble(*((cell.text, cell.style or "") for cell in cells))
        line.rstrip()
        out.print(line, soft_wrap=True)


def heading(title: str) -> None:
    """A bold line with a blank one before it."""
    console().print()
    wrapped(Text(title, style="bold"), "")


def columns(rows: Iterable[tuple[str, ...]], indent: int = 2, *, typed: bool = False, style: str = "") -> None:
    """Rows in columns as wide as they need; the last one is wrapped.

    Where they do not fit two columns stand under one another, and more are wider than the screen rather than cut.

    Args:
        typed: the last is a command, which is not torn: where it does not fit it stands below its row.
    """
    found = list(rows)
    if not found:
        return
    table = Table.grid(padding=(0, 2, 0, 0))
    *widths, last = (max(map(cell_len, column)) for column in zip(*found, strict=True))
    least = indent + sum(widths) + 2 * len(widths) + (last if typed else min(last, _LAST))
    if least > console().width and (typed or len(widths) == 1):
        for *names, more in found:
            say("  ".join(names), style=style, indent=indent)
            say(more, style=style, indent=indent + 2)
        return
    for width in widths:
        table.add_column(min_width=width, no_wrap=True)
    table.add_column(overflow="fold")
    for row in found:
        table.add_row(*(Text(cell, style) for cell in row))
    tabled(table, indent, least)
