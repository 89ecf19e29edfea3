"""A document to print: what stands on it, before it is HTML or PDF. Its texts are plain: no markup in them counts."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias


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
