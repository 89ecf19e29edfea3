"""A text of the course without a screen: piece under piece, or as plain lines for pipes and screen readers."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from stickback.reading import text as texts
from stickback.reading.markup import Block
from stickback.reading.text import Code, Figure, Heading, Items, Node, Paragraph, Picture, Quote, Span, Table


@dataclass(frozen=True)
class Piece:
    """A node without others in it, in its margin.

    Args:
        first, rest: what stands before its first line and the others: the marks of lists and quotes.
        apart: a blank line goes before it.
        file: of the picture that it tells.
    """

    node: Paragraph | Heading | Table
    first: str
    rest: str
    apart: bool = True
    file: Path | None = None


def pieces(blocks: Iterable[Block], values: Mapping[str, str], folder: Path | None = None) -> Iterator[Piece]:
    """Blocks as what stands under one another; a picture is what it shows.

    Args:
        folder: of the course; without it no picture has a file, and nothing is drawn.
    """
    return _pieces(texts.tree(blocks, values), folder)


def lines(blocks: Iterable[Block], values: Mapping[str, str], folder: Path | None = None) -> list[str]:
    """Blocks as one plain line a paragraph or row, and one for the file of a picture; `folder` as in `pieces`."""
    found = []
    for piece in pieces(blocks, values, folder):
        rows = piece.node.rows if isinstance(piece.node, Table) else ((piece.node.spans,),)
        found += [piece.first + " | ".join(texts.plain(cell) for cell in row) for row in rows]
        found += [f"Picture: {piece.file}"] if piece.file else []
    return found


def _pieces(nodes: Iterable[Node], folder: Path | None, first: str = "", rest: str = "") -> Iterator[Piece]:
    for node in nodes:
        if isinstance(node, Items):
            for number, item in enumerate(node.items, 1):
                mark = f"{number}. " if node.numbered else "- "
                inside = rest + " " * len(mark)
                for at, piece in enumerate(_pieces(item, folder, inside, inside)):
                    yield piece if at else replace(piece, first=first + mark, apart=number == 1)
        elif isinstance(node, Quote):
            yield from _pieces(node.inside, folder, f"{first}| ", f"{rest}| ")
        elif isinstance(node, Code):
            yield from (Piece(_words(line), first, rest, apart=False) for line in node.text.split("\n"))
        elif isinstance(node, Figure | Picture):
            yield Piece(_words(_told(node), italic=True), first, rest, file=_file(node, folder))
        else:
            yield Piece(node, first, rest)


def _told(picture: Figure | Picture) -> str:
    """What a picture shows, in words."""
    if isinstance(picture, Picture):
        return picture.alt
    from stickback.pictures import figure  # only some texts need it

    return figure.sentence(picture.words)


def _file(picture: Figure | Picture, folder: Path | None) -> Path | None:
    if folder is None:
        return None
    from stickback.services import cache  # as above

    return cache.picture(folder, picture)


def _words(text: str, *, italic: bool = False) -> Paragraph:
    return Paragraph((Span(text, italic=italic),))
