"""Markdown to blocks that know their lines; the only module that imports markdown_it.

Inline markup is parsed when a text is shown, not when it is read: most of a course is never shown in one run.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal, TypeAlias

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

BlockKind = Literal[
    "heading", "paragraph", "bullets", "numbers", "item", "quote", "fence", "indented", "table", "row", "rule"
]

Inline: TypeAlias = "Token"

_KINDS: dict[str, BlockKind] = {
    "heading_open": "heading",
    "paragraph_open": "paragraph",
    "bullet_list_open": "bullets",
    "ordered_list_open": "numbers",
    "list_item_open": "item",
    "blockquote_open": "quote",
    "table_open": "table",
    "tr_open": "row",
}
_LEAVES: dict[str, BlockKind] = {"fence": "fence", "code_block": "indented", "hr": "rule"}


@dataclass(frozen=True, kw_only=True)
class Block:
    """A piece of a document.

    Args:
        kind: a list holds items, a table rows, a row one paragraph a cell.
        line, end: first and last line in the file, from 1.
        text: inline markup of a heading or paragraph, the body of a fence.
        level: of a heading, 1 to 6.
        info: what stands behind a fence's opening ticks.
        closed: whether a fence ends with ticks of its own, not with what it stands in.
        children: blocks inside.
    """

    kind: BlockKind
    line: int
    end: int
    text: str = ""
    level: int = 0
    info: str = ""
    closed: bool = True
    children: tuple["Block", ...] = ()

    @property
    def name(self) -> str:
        """The name of a fence, such as `figure`; empty for any other block."""
        return (self.info.split() or [""])[0] if self.kind == "fence" else ""


@cache
def _parser() -> "MarkdownIt":
    from markdown_it import MarkdownIt

    parser = MarkdownIt("commonmark", {"html": False, "maxNesting": 20}).enable("table")
    parser.core.ruler.enableOnly(["normalize", "block"])
    parser.disable(["html_block", "reference"])
    return parser


@cache
def _inline_parser() -> "MarkdownIt":
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"html": False}).disable("html_inline")


def inline(text: str) -> list[Inline]:
    """The inline tokens of one heading or paragraph; raw HTML is text."""
    tokens = _inline_parser().parseInline(text)
    return tokens[0].children or []


def blocks(text: str) -> tuple[Block, ...]:
    """The blocks of a Markdown text; any text has some reading."""
    return tuple(_tree(iter(_parser().parse(text))))


def every(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """The blocks and all blocks inside them, in order."""
    for block in blocks:
        yield block
        yield from every(block.children)


def _tree(tokens: Iterator["Token"]) -> Iterator[Block]:
    """Blocks up to the end of the surrounding one."""
    for token in tokens:
        if token.nesting < 0:
            return
        if token.type in _LEAVES:
            yield _leaf(token)
        elif token.nesting > 0:
            yield from _opened(token, tokens)


def _leaf(token: "Token") -> Block:
    kind, text = _LEAVES[token.type], token.content
    first, end = token.map or [0, 1]
    inside = text.count("\n") + (not text.endswith("\n") and text != "")
    # Between the line that opens a fence and its end stand its text and, if it has one, the line that closes it.
    closed = kind != "fence" or end - first - 1 > inside
    return Block(kind=kind, line=first + 1, end=end, text=text, info=token.info.strip(), closed=closed)


def _opened(token: "Token", tokens: Iterator["Token"]) -> Iterator[Block]:
    if token.type in {"heading_open", "paragraph_open"}:
        inside = next(tokens)
        next(tokens)
        first, end = inside.map or [0, 1]
        level = int(token.tag[1]) if token.type == "heading_open" else 0
        yield Block(kind=_KINDS[token.type], line=first + 1, end=end, text=inside.content, level=level)
    elif token.type in {"th_open", "td_open"}:
        inside = next(tokens)
        next(tokens)
        first, end = inside.map or [0, 1]
        yield Block(kind="paragraph", line=first + 1, end=end, text=inside.content)
    elif token.type in _KINDS:
        children = tuple(_tree(tokens))
        first, end = token.map or [0, 1]
        last = max((child.end for child in children), default=first + 1)
        yield Block(kind=_KINDS[token.type], line=first + 1, end=max(first + 1, min(end, last)), children=children)
    else:  # the head and body of a table
        yield from _tree(tokens)


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it, up to the next heading of its level or above."""

    heading: Block
    blocks: tuple[Block, ...]

    @property
    def end(self) -> int:
        """The last line that belongs to it."""
        return max((block.end for block in self.blocks), default=self.heading.end)


def sections(blocks: tuple[Block, ...], level: int) -> tuple[tuple[Block, ...], list[Section]]:
    """What stands before the first heading of a level, and the sections of that level; higher headings end one."""
    intro: list[Block] = []
    parts: list[tuple[Block, list[Block]]] = []
    current: list[Block] | None = intro
    for block in blocks:
        if block.kind == "heading" and block.level == level:
            parts.append((block, []))
            current = parts[-1][1]
        elif block.kind == "heading" and block.level < level:
            current = None
        elif current is not None:
            current.append(block)
    return tuple(intro), [Section(heading, tuple(body)) for heading, body in parts]


def outside(blocks: tuple[Block, ...], level: int) -> Iterator[Block]:
    """The blocks that stand in no section of a level: before the first, or under a higher heading, which is one too."""
    inside = False
    for block in blocks:
        if block.kind == "heading" and block.level <= level:
            inside = block.level == level
        if not inside:
            yield block
