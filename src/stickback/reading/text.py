"""Blocks to a tree of text with its values filled in, which a terminal and a page show alike; no markup is left in it.

It has no margins and no lines, and nothing in it is drawn: a figure keeps its words.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias
from urllib.parse import unquote

from stickback.reading import fill, markup
from stickback.reading.markup import Block, Inline

_NOTE = re.compile(r"\[\^([^\]\s]+)\]")
_UNSAFE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_BARE = re.compile(r"(?!\s)[^\n\r\\`*_{}\[\]<>&!]+(?<!\s)")  # no markup stands in it: there is nothing to parse
_SENTENCE = re.compile(r".*?[.!?](?=\s+[A-Z]|$)")


@dataclass(frozen=True)
class Span:
    """A run of text in one style; a `note` is the key of a footnote."""

    text: str
    bold: bool = False
    italic: bool = False
    code: bool = False
    note: bool = False


Spans: TypeAlias = tuple[Span, ...]


@dataclass(frozen=True)
class Paragraph:
    """Text to be wrapped."""

    spans: Spans


@dataclass(frozen=True)
class Heading:
    """A heading; its level is 1 to 6."""

    level: int
    spans: Spans


@dataclass(frozen=True)
class Items:
    """A list; `numbered` from 1, or with dots."""

    numbered: bool
    items: tuple[tuple["Node", ...], ...]


@dataclass(frozen=True)
class Quote:
    """What somebody says."""

    inside: tuple["Node", ...]


@dataclass(frozen=True)
class Table:
    """Rows of cells; the first row is the head."""

    rows: tuple[tuple[Spans, ...], ...]


@dataclass(frozen=True)
class Code:
    """Lines that stand as they were typed."""

    text: str


@dataclass(frozen=True)
class Figure:
    """A picture that can be drawn from its words; see `pictures.figure`."""

    words: Mapping[str, str] = field(hash=False)


@dataclass(frozen=True)
class Picture:
    """A picture of the course.

    Args:
        path: in the course folder.
        alt: what it shows, for where it cannot be seen.
    """

    path: str
    alt: str


Node: TypeAlias = Paragraph | Heading | Items | Quote | Table | Code | Figure | Picture


def tree(blocks: Iterable[Block], values: Mapping[str, str]) -> tuple[Node, ...]:
    """Everything that blocks say, in order, with the values filled in."""
    return tuple(node for block in blocks for node in _nodes(block, values))


def _nodes(block: Block, values: Mapping[str, str]) -> Iterator[Node]:
    if block.kind == "paragraph":
        yield from _paragraph(block.text, values)
    elif block.kind == "heading":
        yield Heading(block.level, spans(block.text, values))
    elif block.kind in {"bullets", "numbers"}:
        yield Items(block.kind == "numbers", tuple(tree(item.children, values) for item in block.children))
    elif block.kind == "quote":
        yield Quote(tree(block.children, values))
    elif block.name == "figure":
        yield Figure(words(block.text, values))
    elif block.kind in {"fence", "indented"}:
        yield Code(_safe(block.text.rstrip("\n")))
    elif block.kind == "table":
        yield Table(tuple(tuple(spans(cell.text, values) for cell in row.children) for row in block.children))


def _paragraph(text: str, values: Mapping[str, str]) -> Iterator[Node]:
    """A paragraph, and after it the pictures that stand in it; one that holds nothing else is not said twice."""
    tokens = _inline(text, values)
    images = [token for token in tokens if token.type == "image"]
    if not images or any(token.type != "image" and token.content.strip() for token in tokens):
        yield Paragraph(tuple(_spans(tokens)))
    for image in images:
        yield Picture(_safe(unquote(str(image.attrs.get("src", "")))), _safe(image.content))


def words(text: str, values: Mapping[str, str]) -> dict[str, str]:
    """The words of a figure's block, with the values filled in as they are printed; none where it cannot be read."""
    from stickback.reading import places  # figures alone need YAML

    placed, _ = places.read(text, "", 1)
    return {key: fill.plain(value, values) for key, value in placed.data.items() if isinstance(value, str)}


def spans(text: str, values: Mapping[str, str]) -> Spans:
    """The runs of one heading, paragraph or option, its values filled in."""
    if _BARE.fullmatch(text):
        return (Span(_safe(text)),)
    return tuple(_spans(_inline(text, values)))


def _inline(text: str, values: Mapping[str, str]) -> list[Inline]:
    return markup.inline(fill.fill(text, values))


def _spans(tokens: Iterable[Inline]) -> Iterator[Span]:
    bold = italic = 0
    for token in tokens:
        style = Span("", bold > 0, italic > 0)
        if token.type in {"strong_open", "strong_close"}:
            bold += token.nesting
        elif token.type in {"em_open", "em_close"}:
            italic += token.nesting
        elif token.type in {"softbreak", "hardbreak"}:
            yield Span(" ")
        elif token.type == "image":
            yield Span(f"[picture: {_safe(token.content)}]", italic=True)
        elif token.type == "code_inline":
            yield replace(style, text=_safe(token.content), code=True)
        elif token.content:
            yield from _noted(_safe(token.content), style)


def _noted(text: str, style: Span) -> Iterator[Span]:
    for number, part in enumerate(_NOTE.split(text)):
        if part:
            yield Span(part, note=True) if number % 2 else replace(style, text=part)


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


def sources(blocks: Iterable[Block], known: Mapping[str, str]) -> dict[str, str]:
    """The footnotes that blocks refer to, by key, in order; one that is not known is left out."""
    return {key: known[key] for key in notes(blocks) if key in known}


def first_sentence(blocks: Iterable[Block], values: Mapping[str, str]) -> str:
    """The first sentence of a text: enough where the answer was right."""
    text = next((line(block.text, values) for block in blocks if block.kind == "paragraph"), "")
    match = _SENTENCE.match(text)
    return match[0] if match else text
