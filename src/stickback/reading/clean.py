"""What is taken out of a text before it is parsed: marks that other programs left, comments, and what nobody sees.

Every character keeps its line and column, so that what is wrong can be pointed at.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from stickback.reading import scan
from stickback.reading.problem import At, Problem

_BREAK = re.compile(r"\r\n?|\n")
# A hard space after a marker is harmless to a reader and invisible to the author; elsewhere it is kept.
_HARD_SPACE = re.compile(r"(?m)^[ \t\xa0]*+(?:[-*+]|\d{1,9}[.)]|#{1,6}|>)[ \t\xa0]*+(?:\[[xX \xa0]\][ \t\xa0]*+)?")
_CONFLICT = re.compile(r"(?:<{7}|>{7}|\|{7})(?=\s|$)")
_DEFINITION = re.compile(r" {0,3}\[\^[^\[\]\s]++\]:")
# What ends the text of a footnote: an empty line, another footnote, or whatever else begins something.
_NEXT = re.compile(r" {0,3}(?:\[\^|#|>|[-*+][ \t]|\d{1,9}[.)][ \t]|`{3}|~{3})|\s*$")
_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")


@dataclass(frozen=True)
class Clean:
    """A text as it is parsed.

    Args:
        lines: without their ends, each character at its place.
        broken: numbers of the lines that are complained about.
    """

    lines: tuple[str, ...]
    problems: tuple[Problem, ...]
    broken: frozenset[int]


def lines(text: str) -> list[str]:
    """The lines of a text, however they end."""
    return _BREAK.sub("\n", text.removeprefix("\ufeff")).split("\n")


def clean(text: str, file: str) -> Clean:
    """The text as it is parsed, and what was wrong with it before."""
    rows = lines(text)
    unseen = scan.control(rows, file)
    if unseen:
        rows = [scan.CONTROL.sub("\N{REPLACEMENT CHARACTER}", row) for row in rows]
    merging, conflicts = _conflicts(rows, file)
    open_comments = _without_comments(rows, file) if any("<!--" in row for row in rows) else []
    body = "\n".join(rows)
    if "\xa0" in body:
        body = _HARD_SPACE.sub(lambda match: match[0].replace("\xa0", " "), body)
    unseen = [problem for problem in unseen if problem.line not in merging]
    problems = (*_mark(text, file), *unseen, *conflicts, *open_comments)
    broken = merging | {problem.line for problem in (*unseen, *open_comments)}
    return Clean(tuple(body.split("\n")), problems, frozenset(broken))


def _mark(text: str, file: str) -> list[Problem]:
    if not text.startswith("\ufeff"):
        return []
    message = "The file begins with a byte order mark."
    return [Problem(At(file, 1, 1), "file-mark", message, "save it as plain UTF-8", "warning")]


def _conflicts(rows: list[str], file: str) -> tuple[set[int], list[Problem]]:
    """Empties the marks of merges that were never finished; the lines between them, and a problem for each merge."""
    message, hint = "A merge was not finished here.", "keep one of the two texts, and delete the marks"
    between: set[int] = set()
    problems = []
    opened = 0
    for number in [number for number, row in enumerate(rows, 1) if _CONFLICT.match(row)]:
        sign, rows[number - 1] = rows[number - 1][0], ""
        if not opened or sign == "<":
            problems.append(Problem(At(file, number, 1), "merge-conflict", message, hint))
        between.update(range(opened or number, number + 1) if sign != "<" else (number,))
        opened = {"<": number, "|": opened, ">": 0}[sign]
    for number in between:
        if rows[number - 1].rstrip() == "=======":
            rows[number - 1] = ""
    return between, problems


def _without_comments(rows: list[str], file: str) -> list[Problem]:
    """Puts spaces in place of the comments, which no viewer shows; those in code are no comments."""
    fence = ""
    opened: tuple[int, int] | None = None  # line and column of the comment that goes on
    kept: list[str] = []  # the lines since then, as they were
    for number, row in enumerate(rows, 1):
        if opened is None:
            fence = _fence(row, fence)
        if fence or (opened is None and "<!--" not in row):
            continue
        rows[number - 1], column = _blanked(row, inside=opened is not None)
        if column == 0:
            opened, kept = None, []
        else:
            opened, kept = opened or (number, column), [*kept, row]
    if opened is None:
        return []
    rows[opened[0] - 1 :] = kept
    message, hint = "This comment is never closed.", "put `-->` at its end"
    return [Problem(At(file, *opened), "comment-unclosed", message, hint)]


def _fence(row: str, fence: str) -> str:
    """The ticks of the fenced block that goes on behind a line; none where none does."""
    match = _FENCE.match(row)
    if not match:
        return fence
    if not fence:
        return match[1]
    closes = match[1].startswith(fence) and not row[match.end() :].strip()
    return "" if closes else fence


def _blanked(row: str, *, inside: bool) -> tuple[str, int]:
    """A line with spaces in place of its comments, and the column at which one goes on to the next line; else 0."""
    seen = scan.without_code(row)
    pieces: list[str] = []
    at = 0
    while True:
        begin = at if inside else seen.find("<!--", at)
        if begin < 0:
            return "".join([*pieces, row[at:]]), 0
        end = row.find("-->", begin if inside else begin + 4)
        pieces += [row[at:begin], " " * ((len(row) if end < 0 else end + 3) - begin)]
        if end < 0:
            return "".join(pieces), begin + 1
        at, inside = end + 3, False


def definition(rows: Sequence[str], line: int) -> list[str]:
    """The lines of the footnote that is defined on a line: the text behind its key, and those that go on with it."""
    end = next((at for at in range(line, len(rows)) if _NEXT.match(rows[at])), len(rows))
    return [rows[line - 1].partition("]:")[2], *rows[line:end]]


def without_definitions(rows: Sequence[str]) -> list[str]:
    """The lines, empty where footnotes are defined: they belong to no list or answer that they stand behind."""
    kept = list(rows)
    fence, at = "", 0
    while at < len(kept):
        fence = _fence(kept[at], fence)
        many = 1
        if not fence and _DEFINITION.match(kept[at]):
            many = len(definition(kept, at + 1))
            kept[at : at + many] = [""] * many
        at += many
    return kept
