"""Problems as they are told: of a crowded line the first, of a long one the part around the mistake."""

import json
from collections.abc import Iterable
from dataclasses import replace

from stickback.reading.problem import Problem

BEFORE, BEHIND = 80, 80  # characters of a long line that are shown around a mistake
LONGEST = 400  # characters of a message or hint
# What is reported where it is first met: one thing is missing, wherever it is used.
ONCE = frozenset({"footnote-unknown", "topic-unknown", "value-unknown"})
A_LINE = 20  # problems of one line that are told; one mistake seldom makes more, and a line can hold thousands


def once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, of those that say the same of many places the first."""
    first: dict[tuple[str, str], Problem] = {}
    many: dict[tuple[str, str], int] = {}
    kept: list[Problem] = []
    for problem in problems:
        same = problem.code, problem.message
        many[same] = many.get(same, 0) + 1
        if problem.code not in ONCE or first.setdefault(same, problem) is problem:
            kept.append(problem)
    return [_with_others(problem, many[problem.code, problem.message]) for problem in kept]


def _with_others(problem: Problem, many: int) -> Problem:
    if problem.code not in ONCE or many == 1:
        return problem
    others = "one more place" if many == 2 else f"{many - 1} more places"
    return replace(problem, message=f"{problem.message.removesuffix('.')}, here and at {others}.")


def few(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, of a line that holds very many the first."""
    kept: list[Problem] = []
    many: dict[tuple[str, int], int] = {}
    for problem in problems:
        place = problem.file, problem.line
        many[place] = many.get(place, 0) + 1
        if many[place] <= A_LINE:
            kept.append(problem)
        elif many[place] == A_LINE + 1:
            message, hint = f"More than {A_LINE} problems stand on this line.", "mend these first"
            kept.append(replace(problem, code="line-crowded", message=message, hint=hint))
    return kept


def as_text(problem: Problem, source: str | None) -> str:
    """The problem as compilers print it: the place, the source line with a caret, and the hint.

    Args:
        source: the line of the file it stands on; None when the file cannot be shown.
    """
    message, hint = _short(problem.message), _short(problem.hint)
    head = f"{problem.file}:{problem.line}:{problem.column}: {problem.severity}: {message} [{problem.code}]"
    if source is None:
        return f"{head}\n    hint: {hint}"
    number = f"{problem.line:>6}"
    before, behind = _excerpt(source, problem.column - 1)
    # Tabs are kept, so that the caret stands under its character however wide a tab is.
    pad = "".join("\t" if char == "\t" else " " for char in before)
    shown = "".join(
        char if char.isprintable() or char == "\t" else "\N{REPLACEMENT CHARACTER}" for char in before + behind
    )
    return f"{head}\n{number} | {shown}\n       | {pad}^\n    hint: {hint}"


def _excerpt(source: str, at: int) -> tuple[str, str]:
    """What stands before and behind a place, as much of it as a screen shows."""
    begin = max(0, at - BEFORE) if len(source) > BEFORE + BEHIND else 0
    before, behind = source[begin:at], source[at:]
    cut = len(behind) > BEHIND and begin + len(before) + len(behind) > BEFORE + BEHIND
    return ("…" if begin else "") + before, behind[:BEHIND] + ("…" if cut else "")


def _short(text: str) -> str:
    """A sentence that a file's own words may have made very long."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def as_json(problems: Iterable[Problem]) -> str:
    """The list as a JSON array of objects with the fields of `Problem`."""
    fields = ("file", "line", "column", "severity", "code", "message", "hint")
    rows = [{field: getattr(problem, field) for field in fields} for problem in problems]
    return json.dumps(rows, indent=2, ensure_ascii=False)
