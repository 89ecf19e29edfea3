"""Blocks to paragraphs of styled text, ready for a terminal or a plain line; no markup is left in them."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from stickback.pictures import figure
from stickback.reading import fill, markup
from stickback.reading.markup import Block

Style = Literal["text", "heading", "quote", "code"]

_NOTE = re.compile(r"\[\^([^\]\s]+)\]")
_UNSAFE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


@dataclass(frozen=True)
class Span:
    """A run of text in one style; a `note` is the key of a footnote."""

    text: str
    bold: bool = False
    italic: bool = False
    note: bool = False


@dataclass(frozen=True)
class Paragraph:
    """Text to be wrapped.

    Args:
        first, rest: what stands before the first line and the others, for lists and quotes.
        apart: a blank line goes before it.
    """

    spans: tuple[Span, ...]
    first: str = ""
    rest: str = ""
    style: Style = "text"
    apart: bool = True


@dataclass(frozen=True)
class Grid:
    """A table; its first row is the head."""

    rows: tuple[tuple[tuple[Span, ...], ...], ...]


def flow(blocks: Iterable[Block], values: Mapping[str, str]) -> list[Paragraph | Grid]:
    """Everything that blocks say, in order, with the values filled in."""
    return [piece for block in blocks for piece in _flow(block, values, "", "")]


def _flow(block: Block, values: Mapping[str, str], first: str, rest: str) -> Iterator[Paragraph | Grid]:
    if block.kind in {"paragraph", "heading"}:
        style: Style = "heading" if block.kind == "heading" else "text"
        yield Paragraph(spans(block.text, values), first, rest, style)
    elif block.kind in {"bullets", "numbers"}:
        for number, item in enumerate(block.children, 1):
            mark = "- " if block.kind == "bullets" else f"{number}. "
            yield from _item(item, values, first + mark, rest + " " * len(mark), apart=number == 1)
    elif block.kind == "quote":
        for child in block.children:
            yield from _flow(child, values, f"{first}| ", f"{rest}| ")
    elif block.kind == "fence" and block.info.split()[:1] == ["figure"]:
        yield Paragraph(
            (Span(_safe(figure.draw(figure.words(block.text, values)).sentence), italic=True),), first, rest
        )
    elif block.kind in {"fence", "indented"}:
        for line in block.text.rstrip("\n").split("\n"):
            yield Paragraph((Span(_safe(line)),), first, rest, "code", apart=False)
    elif block.kind == "table":
        yield Grid(tuple(tuple(spans(cell.text, values) for cell in row.children) for row in block.children))


def _item(item: Block, values: Mapping[str, str], first: str, rest: str, *, apart: bool) -> Iterator[Paragraph | Grid]:
    for number, child in enumerate(item.children):
        for piece in _flow(child, values, rest if number else first, rest):
            if isinstance(piece, Paragraph) and not number:
                yield Paragraph(piece.spans, piece.first, piece.rest, piece.style, apart)
            else:
                yield piece


def spans(text: str, values: Mapping[str, str]) -> tuple[Span, ...]:
    """The runs of one heading, paragraph or option, its values filled in."""
    return tuple(_spans(fill.fill(text, values)))


def _spans(text: str) -> Iterator[Span]:
    bold = italic = 0
    for token in markup.inline(text):
        if token.type == "strong_open":
            bold += 1
        elif token.type == "strong_close":
            bold -= 1
        elif token.type == "em_open":
            italic += 1
        elif token.type == "em_close":
            italic -= 1
        elif token.type in {"softbreak", "hardbreak"}:
            yield Span(" ")
        elif token.type == "image":
            yield Span(f"[picture: {_safe(token.content)}]", italic=True)
        elif token.type == "code_inline":
            yield Span(_safe(token.content), bool(bold), bool(italic))
        elif token.content:
            yield from _noted(_safe(token.content), bold=bool(bold), italic=bool(italic))


def _noted(text: str, *, bold: bool, italic: bool) -> Iterator[Span]:
    for number, part in enumerate(_NOTE.split(text)):
        if part:
            yield Span(part, note=True) if number % 2 else Span(part, bold, italic)


def _safe(text: str) -> str:
    return _UNSAFE.sub("\N{REPLACEMENT CHARACTER}", text)


def plain(found: Iterable[Span]) -> str:
    """The text alone, footnotes left out."""
    return "".join(span.text for span in found if not span.note).strip()


def line(text: str, values: Mapping[str, str]) -> str:
    """One heading, option or point as plain text."""
    return plain(spans(text, values))


def notes(blocks: Iterable[Block]) -> list[str]:
    """Keys of the footnotes that blocks refer to, in order, each once."""
    texts = (block.text for block in markup.every(tuple(blocks)) if block.kind in {"paragraph", "heading"})
    found = (span.text for text in texts if "[^" in text for span in spans(text, {}) if span.note)
    return list(dict.fromkeys(found))


def first_sentence(blocks: Iterable[Block], values: Mapping[str, str]) -> str:
    """The first sentence of a text: enough where the answer was right."""
    text = next((line(block.text, values) for block in blocks if block.kind == "paragraph"), "")
    match = re.match(r".*?[.!?](?=\s+[A-Z]|$)", text)
    return match[0] if match else text
