"""A file of a course as read: front matter, blocks, what the text refers to, and all that is wrong with it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from stickback.reading import clean, markup, places, scan
from stickback.reading.markup import Block
from stickback.reading.places import Placed
from stickback.reading.problem import At, Problem
from stickback.reading.scan import Reference

DEEPEST = 20
LARGEST = 1_000_000  # bytes a file
LONGEST = 40_000  # lines a file: the time it takes to read goes by lines more than by bytes

# Near misses that hide what a line was meant to be: nothing more is to be said of it.
HIDING = frozenset({"heading-space", "attribute-place", "value-form", "bold-open"})

# Where front matter must have ended, if nothing closes it.
_NO_HYPHENS = re.compile(r"-{2}|-{4,}|[—–]{1,3}|[*_=~+]{3,}")  # in place of three hyphens
_END = re.compile(rf"---|\.\.\.|{_NO_HYPHENS.pattern}")
_KEY = re.compile(r"[a-z_]+[ \t]*:")
_NO_KEY = re.compile(r"\s*$|#{1,6}\s|-{3,}\s*$")


@dataclass(frozen=True, kw_only=True)
class Document:
    """A file as read.

    Args:
        lines: its lines as they are parsed, without their ends.
        front: its front matter, empty when it has none.
        broken: lines on which something stands that hides what the author meant: complain no further there.
        front_broken: the front matter was not read as meant, so nothing must be missed in it.
    """

    file: str
    lines: tuple[str, ...]
    front: Placed
    blocks: tuple[Block, ...]
    references: tuple[Reference, ...]
    problems: tuple[Problem, ...]
    broken: frozenset[int]
    front_broken: bool


def of_bytes(raw: bytes, file: str) -> tuple[Document | None, list[Problem]]:
    """The document in the bytes of a file, or why it is not read at all."""
    if len(raw) > LARGEST:
        return None, [_large(file, f"larger than {LARGEST // 1_000_000} MB")]
    try:
        text = raw.decode()
    except UnicodeDecodeError as error:
        before = clean.lines(raw[: error.start].decode(errors="replace"))
        message = "The file is not UTF-8 text from here on."
        place = (len(before), len(before[-1]) + 1)
        return None, [Problem(At(file, *place), "file-encoding", message, "save it as UTF-8")]
    if text.count("\n") + text.count("\r") - text.count("\r\n") >= LONGEST:
        return None, [_large(file, f"longer than {LONGEST} lines")]
    if scan.crowded(text):
        return None, [_large(file, f"fuller than {scan.MOST} values, footnotes, pictures and the like")]
    return of_text(text, file), []


def _large(file: str, how: str) -> Problem:
    return Problem(At(file, 1, 1), "file-large", f"The file is {how}, and is not read.", "split it")


def of_text(text: str, file: str) -> Document:
    """A document from any text at all; what cannot be read is a problem, never an exception."""
    cleaned = clean.clean(text, file)
    lines, broken = cleaned.lines, set(cleaned.broken)
    front, start, front_problems = _front(lines, file)
    body = "\n" * start + "\n".join(lines[start:])
    # The definition of a footnote is part of no block, and refers to other things all the same.
    blocks = markup.blocks("\n" * start + "\n".join(clean.without_definitions(lines[start:])))
    references, wrong, spoiled = _scanned(blocks, body, lines, file)
    wrong = [problem for problem in wrong if problem.line not in broken]
    broken |= spoiled
    hidden = any(line <= start for line in cleaned.broken)  # then its keys may not be as they were meant
    problems = (*cleaned.problems, *(() if hidden else front_problems), *wrong)
    return Document(
        file=file,
        lines=lines,
        front=front,
        blocks=blocks,
        references=references,
        problems=problems,
        broken=frozenset(broken),
        front_broken=hidden or bool(front_problems),
    )


def _scanned(
    blocks: tuple[Block, ...], body: str, lines: tuple[str, ...], file: str
) -> tuple[tuple[Reference, ...], list[Problem], set[int]]:
    """What the blocks refer to, what is nearly something, and the lines on which that hides what was meant."""
    every = list(markup.every(blocks))
    code = [block for block in every if block.kind in {"fence", "indented"}]
    torn = [block for block in code if block.kind == "fence" and scan.torn(block, lines)]
    broken = _numbers(torn)
    references, problems = scan.things(body, _numbers(code) - broken, file)
    problems += scan.bold(every, lines, file)
    for problem, spoiled in scan.misplaced(blocks, lines, file):
        problems.append(problem)
        broken |= spoiled - {problem.line}
    problems = [problem for problem in problems if problem.line not in broken]
    broken |= {problem.line for problem in problems if problem.code in HIDING}
    return references, [*problems, *_depth(blocks, file), *(_unclosed(fence, lines, file) for fence in torn)], broken


def _numbers(blocks: Iterable[Block]) -> set[int]:
    """The numbers of all lines that blocks stand on."""
    return {line for block in blocks for line in range(block.line, block.end + 1)}


def _front(lines: tuple[str, ...], file: str) -> tuple[Placed, int, list[Problem]]:
    """The front matter, the number of lines it takes, and its problems."""
    if len(lines) > 1 and _NO_HYPHENS.fullmatch(lines[0].rstrip()) and _KEY.match(lines[1]):
        end = next((n for n, line in enumerate(lines[1:], 1) if not line.strip() or _END.fullmatch(line.rstrip())), 1)
        message = "Front matter begins and ends with a line of three hyphens."
        return Placed(), end + 1, [Problem(At(file, 1, 1), "front-form", message, "write `---`")]
    if lines[0].rstrip() != "---":
        return _unopened(lines, file) or _late_front(lines, file)
    for number, line in enumerate(lines[1:], 1):
        if line.rstrip() in {"---", "..."}:
            front, problems = places.read("\n".join(lines[1:number]), file, 2)
            return front, number + 1, problems
    # What follows must be read all the same, and its keys not as text.
    rest = (*lines[1:], "")
    end = next(number for number, line in enumerate(rest, 1) if _NO_KEY.match(line))
    start = end + rest[end - 1].startswith("---")
    message = "The front matter that begins here is never closed."
    return Placed(), start, [Problem(At(file, 1, 1), "front-unclosed", message, "put a line `---` under its last key")]


def _unopened(lines: tuple[str, ...], file: str) -> tuple[Placed, int, list[Problem]] | None:
    """Keys that stand on the first lines without hyphens above them; None where there are none."""
    keys = next((number for number, line in enumerate(lines) if not _KEY.match(line)), len(lines))
    if not keys or lines[keys : keys + 1] != ("---",):
        return None
    message = "Front matter begins and ends with a line of three hyphens."
    return Placed(), keys + 1, [Problem(At(file, 1, 1), "front-form", message, "put a line `---` above this one")]


def _late_front(lines: tuple[str, ...], file: str) -> tuple[Placed, int, list[Problem]]:
    for number, line in enumerate(lines):
        if line.rstrip() == "---":
            message = "Front matter must start on the first line."
            hint = "delete the empty lines above it"
            end = next((n for n in range(number + 1, len(lines)) if lines[n].rstrip() == "---"), number)
            return Placed(), end + 1, [Problem(At(file, number + 1, 1), "front-place", message, hint)]
        if line.strip():
            break
    return Placed(), 0, []


def _unclosed(fence: Block, lines: tuple[str, ...], file: str) -> Problem:
    ticks = scan.opening(fence, lines) or "```"
    column = lines[fence.line - 1].find(ticks) + 1
    hint = f"put a line of {len(ticks)} {'backticks' if ticks[0] == '`' else 'tildes'}, {ticks}, under its last line"
    return Problem(At(file, fence.line, max(column, 1)), "fence-unclosed", "This fenced block is never closed.", hint)


def _depth(blocks: tuple[Block, ...], file: str, depth: int = 1) -> list[Problem]:
    """The first place where lists and quotes nest too deep; the parser reads no further there."""
    for block in blocks:
        inside = block.kind in {"bullets", "numbers", "quote", "item"}
        if inside and depth >= DEEPEST:
            message = f"Lists and quotes nest deeper than {DEEPEST} here."
            return [Problem(At(file, block.line, 1), "file-nesting", message, "lay it out flatter")]
        if problems := _depth(block.children, file, depth + inside):
            return problems
    return []
