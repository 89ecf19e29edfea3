"""A file of a course as read: front matter, blocks, what the text refers to, and what only looks like Markdown.

Markdown never fails: what is not read as the author meant becomes prose. So the raw lines are searched for near misses.
"""

import re
from bisect import bisect_right
from dataclasses import dataclass

from stickback import markup, places
from stickback.markup import Block
from stickback.places import Placed
from stickback.problem import Problem

DEEPEST = 20
LARGEST = 1_000_000  # bytes a file

_BREAK = re.compile(r"\r\n?|\n")
# A hard space after a marker is harmless to a reader and invisible to the author; elsewhere it is kept.
_HARD_SPACE = re.compile(r"(?m)^[ \t\xa0]*(?:[-*+]|\d{1,9}[.)]|#{1,6}|>)[ \t\xa0]*(?:\[[xX \xa0]\][ \t\xa0]*)?")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_FOUND = re.compile(
    r"(?P<value>\{\{(?P<name>[^{}\n]*)\}\})"
    r"|(?P<open>\{\{|\}\})"
    r"|(?P<note>\[\^(?P<key>[^\]\s]+)\](?P<define>:)?)"
    r"|(?P<picture>!\[(?P<alt>[^\]\n]*)\]\(\s*<?(?P<path>[^)>\s]*))"
    r"|(?P<html><!--|</?[a-zA-Z][a-zA-Z0-9-]*(?:\s[^<>\n]*)?/?>)"
    r"|(?P<code>(?P<ticks>`+)(?!`)[^\n]*?(?<!`)(?P=ticks)(?!`))"
)
_NEAR_HEADING = re.compile(r"(?m)^ {0,3}#{1,6}[^#\s]")


@dataclass(frozen=True)
class Found:
    """A thing inside a text that refers to something else: a value, a footnote, a picture.

    Args:
        kind: `value`, `note`, `define` (a footnote's definition) or `picture`.
        text: the name, key or path.
    """

    kind: str
    line: int
    column: int
    text: str


@dataclass(frozen=True)
class Document:
    """A file as read.

    Args:
        lines: its lines, without their ends.
        front: its front matter, empty when it has none.
        broken: lines on which something stands that hides what the author meant: complain no further there.
        front_broken: the front matter was not read as meant, so nothing must be missed in it.
    """

    file: str
    lines: tuple[str, ...]
    front: Placed
    blocks: tuple[Block, ...]
    found: tuple[Found, ...]
    problems: tuple[Problem, ...]
    broken: frozenset[int]
    front_broken: bool


def read(text: str, file: str) -> Document:
    """A document from any text at all; what cannot be read is a problem, never an exception."""
    problems: list[Problem] = []
    if text.startswith("\ufeff"):
        message = "The file begins with a byte order mark."
        problems.append(Problem(file, 1, 1, "file-mark", message, "save it as plain UTF-8", "warning"))
        text = text[1:]
    text = _BREAK.sub("\n", text)
    lines = tuple(text.split("\n"))
    problems += _control(lines, file)
    if "\xa0" in text:
        text = _HARD_SPACE.sub(lambda match: match[0].replace("\xa0", " "), text)
    front, start, front_problems = _front(lines, file)
    body = "\n" * start + "\n".join(text.split("\n")[start:])
    blocks = markup.blocks(body)
    fences = [block for block in markup.every(blocks) if block.kind in {"fence", "indented"}]
    found, near_misses = _finds(body, {line for fence in fences for line in range(fence.line, fence.end + 1)}, file)
    open_fences = [fence for fence in fences if fence.kind == "fence" and not _closed(fence, lines)]
    problems += [*front_problems, *near_misses, *_depth(blocks, file)]
    problems += [_unclosed(fence, lines, file) for fence in open_fences]
    broken = {problem.line for problem in near_misses if problem.code == "heading-space"}
    broken |= {line for fence in open_fences for line in range(fence.line, fence.end + 1)}
    return Document(file, lines, front, blocks, found, tuple(problems), frozenset(broken), bool(front_problems))


def _control(lines: tuple[str, ...], file: str) -> list[Problem]:
    problems = []
    for number, line in enumerate(lines, 1):
        if not line.isprintable() and (match := _CONTROL.search(line)):
            message = f"An invisible character (U+{ord(match[0]):04X}) stands here."
            problems.append(Problem(file, number, match.start() + 1, "file-control", message, "delete it"))
    return problems


def _front(lines: tuple[str, ...], file: str) -> tuple[Placed, int, list[Problem]]:
    """The front matter, the number of lines it takes, and its problems."""
    if lines[0].rstrip() != "---":
        return _late_front(lines, file)
    for number, line in enumerate(lines[1:], 1):
        if line.rstrip() in {"---", "..."}:
            front, problems = places.read("\n".join(lines[1:number]), file, 2)
            return front, number + 1, problems
    message = "The front matter that begins here is never closed."
    return Placed(), 1, [Problem(file, 1, 1, "front-unclosed", message, "put a line `---` under its last key")]


def _late_front(lines: tuple[str, ...], file: str) -> tuple[Placed, int, list[Problem]]:
    for number, line in enumerate(lines):
        if line.rstrip() == "---":
            message = "Front matter must start on the first line."
            hint = "delete the empty lines above it"
            end = next((n for n in range(number + 1, len(lines)) if lines[n].rstrip() == "---"), number)
            return Placed(), end + 1, [Problem(file, number + 1, 1, "front-place", message, hint)]
        if line.strip():
            break
    return Placed(), 0, []


def _unclosed(fence: Block, lines: tuple[str, ...], file: str) -> Problem:
    source = lines[fence.line - 1]
    column = len(source) - len(source.lstrip(" \t>")) + 1
    message = "This fenced block is never closed."
    hint = "put a line of the same ticks under its last line"
    return Problem(file, fence.line, column, "fence-unclosed", message, hint)


def _closed(fence: Block, lines: tuple[str, ...]) -> bool:
    opening = lines[fence.line - 1].lstrip(" \t>-*+0123456789.)")
    mark = opening[:1]
    ticks = len(opening) - len(opening.lstrip(mark))
    last = lines[fence.end - 1].strip(" \t>")
    return fence.end > fence.line and last.startswith(mark * ticks) and not last.strip(mark)


def _depth(blocks: tuple[Block, ...], file: str, depth: int = 1) -> list[Problem]:
    """The first place where lists and quotes nest too deep; the parser reads no further there."""
    for block in blocks:
        inside = block.kind in {"bullets", "numbers", "quote", "item"}
        if inside and depth >= DEEPEST:
            message = f"Lists and quotes nest deeper than {DEEPEST} here."
            return [Problem(file, block.line, 1, "file-nesting", message, "lay it out flatter")]
        if problems := _depth(block.children, file, depth + inside):
            return problems
    return []


def _finds(body: str, hidden: set[int], file: str) -> tuple[tuple[Found, ...], list[Problem]]:
    """What the text refers to, hidden lines left out, and what only looks like something."""
    starts = [0, *(match.end() for match in re.finditer("\n", body))]
    found: list[Found] = []
    problems: list[Problem] = []
    for match in _FOUND.finditer(body):
        line = bisect_right(starts, match.start())
        if line in hidden:
            continue
        column = match.start() - starts[line - 1] + 1
        if problem := _near_miss(match, file, line, column):
            problems.append(problem)
        elif match["value"]:
            found.append(Found("value", line, column, match["name"].strip()))
        elif match["note"]:
            found.append(Found("define" if match["define"] and column == 1 else "note", line, column, match["key"]))
        elif match["picture"]:
            found.append(Found("picture", line, column, match["path"]))
    for match in _NEAR_HEADING.finditer(body):
        line = bisect_right(starts, match.start())
        if line not in hidden:
            message = "A heading needs a space after its `#` signs."
            problems.append(Problem(file, line, 1, "heading-space", message, "write `## ` and then the title"))
    return tuple(found), problems


def _near_miss(match: re.Match[str], file: str, line: int, column: int) -> Problem | None:
    if match["open"]:
        message = "Double braces must hold one name between them."
        return Problem(file, line, column, "value-form", message, "write `{{ name }}` on one line")
    if match["value"] and not re.fullmatch(r"[a-z][a-z0-9_]*", match["name"].strip()):
        message = "Double braces must hold one name: lower-case letters, digits and `_`."
        return Problem(file, line, column, "value-form", message, "write `{{ approach_speed }}`")
    if match["html"]:
        message = "HTML is shown to the student as it stands."
        return Problem(file, line, column, "html-shown", message, "delete it, or write it in Markdown", "warning")
    if match["picture"] and not match["alt"].strip():
        message = "A picture needs a text for those who cannot see it."
        hint = "write `![what it shows](figures/name.svg)`"
        return Problem(file, line, column, "picture-silent", message, hint)
    return None
