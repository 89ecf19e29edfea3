"""What a text refers to, and what only looks like something or was meant as something: each with its place.

Markdown never fails: what is not read as the author meant becomes prose. So near misses are searched for:
first in the raw lines, then among the blocks (bold that is never closed, an id below its heading, a torn block). No
search in the lines goes back: whatever a text holds, it is passed over once.
"""

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from stickback.reading import attribute, markup
from stickback.reading.markup import Block
from stickback.reading.problem import At, Problem, Severity, few

MOST = 200_000  # signs a file that begin or end something to be looked at
# What is invisible and moves or splits a text; joiners and soft hyphens are left, since scripts and emoji need them.
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u202a-\u202e\u2060\u2066-\u2069\ufeff]")

_SIGNS = ("{{", "}}", "[^", "![", "<", "|")
# Each row begins with its sign as it stands, so that all else is passed over quickly.
_FOUND = re.compile(
    r"(?m)\[(?:(?<=^\[)|(?<=^ \[)|(?<=^  \[)|(?<=^   \[))\^(?P<define>[^\[\]\s]++)\]:"
    r"|\{(?<!\{\{)(?P<more>\{*+)[ \t]*+(?P<name>[a-z][a-z0-9_]*+)[ \t]*+(?P<named>\}++)"
    r"|\{\{(?P<value>[^{}\n]*+(?:\n[^{}\n]*+)?+)\}\}"
    r"|\{\{(?P<brace>)|\}\}(?P<closed>)"
    r"|\[\^(?P<note>[^\[\]\s]++)\]"
    r"|!\[(?P<alt>[^\[\]\n]*+)\]\(\s*+<?(?P<picture>[^)>\s]*+)>?(?:\s++(?:\"[^\"\n]*+\"|'[^'\n]*+'))?\s*+\)"
    r"|\[\^(?P<caret>)(?!\])|!\[(?P<frame>)"
    r"|<(?P<html>/?[a-zA-Z][a-zA-Z0-9-]*+(?:\s[^<>\n]*+)?/?>)"
)
_NEAR_HEADING = re.compile(r"(?m)^ {0,3}#{1,6}[^#\s]")
_TICKS = re.compile(r"`++")
# By the name of their group: what is never anything else than a near miss.
_NEAR: dict[str, tuple[str, str, str] | tuple[str, str, str, Severity]] = {
    **dict.fromkeys(
        ("brace", "closed"),
        ("value-form", "Double braces must hold one name between them.", "write `{{ name }}` on one line"),
    ),
    "caret": ("footnote-form", "This footnote is not read.", "write `[^key]`, the key without spaces"),
    "frame": (
        "picture-form",
        "This picture is not read.",
        "write `![what it shows](figures/name.svg)`, no space before the bracket or in the path",
    ),
    "html": (
        "html-shown",
        "HTML is shown to the student as it stands.",
        "write it in Markdown, or delete it",
        "warning",
    ),
}


@dataclass(frozen=True)
class Reference:
    """A thing inside a text that refers to something else: a value, a footnote, a picture.

    Args:
        kind: `value`, `note`, `define` (a footnote's definition) or `picture`.
        text: the name, key or path.
    """

    kind: str
    line: int
    column: int
    text: str


def crowded(text: str) -> bool:
    """Whether more stands in a text than is looked at."""
    return sum(map(text.count, _SIGNS)) > MOST


def control(lines: Iterable[str], file: str) -> list[Problem]:
    """The first character of each line that nobody sees."""
    problems = []
    for number, line in enumerate(lines, 1):
        if not line.isprintable() and (match := CONTROL.search(line)):
            message = f"An invisible character (U+{ord(match[0]):04X}) stands here."
            problems.append(Problem(At(file, number, match.start() + 1), "file-control", message, "delete it"))
    return problems


def things(body: str, hidden: set[int], file: str) -> tuple[tuple[Reference, ...], list[Problem]]:
    """What a text refers to and what only looks like something, hidden lines and what stands between ticks left out."""
    starts = [0, *(match.end() for match in re.finditer("\n", body))]
    references: list[Reference] = []
    tagged = 0  # the line of the last tag
    problems: list[Problem] = []
    for match, line, column in _placed(_FOUND, without_code(body), starts, hidden):
        kind, text = _kind(match)
        if wrong := _near_miss(kind, match):
            if kind == "html" and tagged == line:
                continue  # the tag that closes another
            tagged = line if kind == "html" else tagged
            problems.append(Problem(At(file, line, column), *wrong))
        elif kind:
            references.append(Reference(kind, line, column, text))
    message, hint = "A heading needs a space after its `#` signs.", "write `## ` and then the title"
    for _, line, column in _placed(_NEAR_HEADING, body, starts, hidden):
        problems.append(Problem(At(file, line, column), "heading-space", message, hint))
    return tuple(references), few(problems)


def _placed(
    pattern: re.Pattern[str], text: str, starts: list[int], hidden: set[int]
) -> Iterator[tuple[re.Match[str], int, int]]:
    """The matches on lines that are not hidden, with the line and column behind the spaces they begin with."""
    for match in pattern.finditer(text):
        line = bisect_right(starts, match.start())
        if line not in hidden:
            indent = len(match[0]) - len(match[0].lstrip(" "))
            yield match, line, match.start() - starts[line - 1] + indent + 1


def _kind(match: re.Match[str]) -> tuple[str, str]:
    """What was matched, and its name, key or path; no kind where it is none of ours."""
    kind = match.lastgroup or ""
    if kind != "named":
        return kind, match[kind].strip()
    around = "{" + match["more"], match["named"]
    if around == ("{", "}") and _ends_heading(match):
        return "", ""  # a forgotten `#` of an id, which the heading's reader sees
    return ("value" if around == ("{{", "}}") else "braces"), match["name"]


def _ends_heading(match: re.Match[str]) -> bool:
    begin, end = (match.string.rfind("\n", 0, match.start()) + 1, match.string.find("\n", match.end()))
    behind = match.string[match.end() : end if end >= 0 else None]
    return match.string.startswith("#", begin) and not behind.strip(" #")


def _near_miss(kind: str, match: re.Match[str]) -> tuple[str, str, str] | tuple[str, str, str, Severity] | None:
    """Code, message and hint of what only looks like something; of a warning its severity too."""
    if kind == "braces":
        return "value-form", "A value stands between two braces on each side.", f"write `{{{{ {match['name']} }}}}`"
    if kind == "value" and not match["name"]:
        message = "Double braces must hold one name: lower-case letters, digits and `_`."
        return "value-form", message, "write `{{ approach_speed }}`"
    if kind == "picture" and not match["alt"].strip():
        message = "A picture needs a text for those who cannot see it."
        return "picture-silent", message, "write `![what it shows](figures/name.svg)`"
    return _NEAR.get(kind)


def without_code(body: str) -> str:
    """The text with spaces in place of what stands between ticks."""
    if "`" not in body:
        return body
    return "\n".join(_blank_code(line) if "`" in line else line for line in body.split("\n"))


def _blank_code(line: str) -> str:
    runs = [match.span() for match in _TICKS.finditer(line)]
    following: dict[int, int] = {}  # by the length of a run of ticks, where the nearest such run behind it ends
    ends = []
    for begin, end in reversed(runs):
        ends.append(following.get(end - begin, 0))
        following[end - begin] = end
    pieces, at = [], 0
    for (begin, _), end in zip(runs, reversed(ends), strict=True):
        if begin >= at and end:
            pieces += [line[at:begin], " " * (end - begin)]
            at = end
    return "".join([*pieces, line[at:]])


_PAIR = re.compile(r"(\*\*|__)(?=[^\s*_])(?:[^*_\\]|\\.)*+(?<=[^\s*_])\1")
_ESCAPED = re.compile(r"\\[*_]")
_BRACES = re.compile(r"(?m)(?<!\{)\{[ \t]*+#[^{}\n]*+\}[ \t]*+$")
_FENCE = re.compile(r"[ >]*+(?:(?:[-*+]|\d{1,9}[.)])[ ]+)?(?P<ticks>`{3,}|~{3,})")
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
    match = _FENCE.match(lines[fence.line - 1])
    return match["ticks"] if match else ""
