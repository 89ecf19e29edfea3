"""What was meant as something and is read as text: bold that is never closed, an id below its heading, a torn block.

Markdown never fails, so these are searched for among the blocks; what can be told from the bare lines is in `scan`.
"""

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise

from stickback.reading import attribute, markup
from stickback.reading.markup import Block
from stickback.reading.problem import At, Problem

_PAIR = re.compile(r"(\*\*|__)(?=[^\s*_])(?:[^*_\\]|\\.)*+(?<=[^\s*_])\1")
_ESCAPED = re.compile(r"\\[*_]")
_BRACES = re.compile(r"(?m)(?<!\{)\{[ \t]*+#[^{}\n]*+\}[ \t]*+$")
_TICKS = re.compile(r"[ >]*+(?:(?:[-*+]|\d{1,9}[.)])[ ]+)?(?P<ticks>`{3,}|~{3,})")
_HEADING = re.compile(r"(?m)^ {0,3}#{2,6}[ \t]")


def bold(blocks: Iterable[Block], lines: tuple[str, ...], file: str) -> Iterator[Problem]:
    """Signs that should have made something bold and stand there as they are."""
    for block in blocks:
        if block.kind not in {"heading", "paragraph"} or ("**" not in block.text and "__" not in block.text):
            continue
        left = _PAIR.sub("", _ESCAPED.sub("", block.text))
        sign = "**" if "**" in left else "__" if "__" in left else ""
        if sign and _shown(block.text, sign):
            message = f"The bold that `{sign}` begins or ends here is not read."
            hint = f"write `{sign}words{sign}`, with no space inside the signs"
            yield Problem(At(file, *_last(block, lines, sign)), "bold-open", message, hint)


def _shown(text: str, sign: str) -> bool:
    """Whether some of its signs reach the reader as they stand."""
    texts = (token.content for token in markup.inline(_ESCAPED.sub("", text)) if token.type == "text")
    return any(sign[0] in text if sign == "**" else sign in text for text in texts)


def _last(block: Block, lines: tuple[str, ...], sign: str) -> tuple[int, int]:
    """The first place at which a sign stands that no pair takes."""
    paired = _PAIR.sub(lambda match: " " * len(match[0]), block.text)
    at = paired.find(sign)
    return attribute.place(block, lines, max(at, 0))


def misplaced(blocks: tuple[Block, ...], lines: tuple[str, ...], file: str) -> Iterator[tuple[Problem, set[int]]]:
    """Braces with an id that stand below their heading, each with the lines of both."""
    message, hint = "These braces stand below their heading.", "put them at the end of the heading's own line"
    for above, block in pairwise((Block(kind="rule", line=0, end=0), *blocks)):
        if block.kind == "paragraph" and (match := _BRACES.search(block.text)):
            line, column = attribute.place(block, lines, match.start())
            if lines[line - 1].lstrip().startswith("#"):
                continue  # a heading without its space, which is told so
            heading = range(above.line, above.end + 1) if above.kind == "heading" else ()
            yield Problem(At(file, line, column), "attribute-place", message, hint), {line, *heading}


def torn(fence: Block, lines: tuple[str, ...]) -> bool:
    """Whether a fenced block is never closed, or goes on over what was to follow it to the end of another."""
    if not fence.closed:
        return True
    if "```" not in fence.text and "~~~" not in fence.text and not _HEADING.search(fence.text):
        return False
    ticks = opening(fence, lines)
    begun = re.compile(rf"(?m)^ {{0,3}}{ticks}{ticks[:1]}*[ \t]*\w")
    return bool(ticks and (begun.search(fence.text) or _HEADING.search(fence.text)))


def opening(fence: Block, lines: tuple[str, ...]) -> str:
    """The ticks with which a fenced block begins."""
    match = _TICKS.match(lines[fence.line - 1])
    return match["ticks"] if match else ""
