"""A course from the contents of its files: each read, the references between them followed, problems gathered."""

import posixpath
from bisect import bisect_left
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from hashlib import blake2b

from stickback.course import deck, front, link, plan, prove, sheet, values
from stickback.course.course import EMPTY, PLAN, SHEETS, SOURCES, Course, Deck, Inside, Plan, Question, Sheet
from stickback.reading import document
from stickback.reading.document import Document
from stickback.reading.problem import At, Problem, errors, few, once

MISPLACED = frozenset({"plan-missing", "sheet-place"})  # problems of a file that is no deck
_TEXTS = (".md", ".markdown", ".mdown", ".mkd")


def read(
    files: Iterable[tuple[str, bytes | None]],
    others: Iterable[str] = (),
    times: int = prove.FEW,
    changed: Container[str] | None = None,
) -> Course:
    """A course from (name, content) pairs; never raises, whatever the bytes.

    Args:
        files: the Markdown files, by their path inside the course folder; None of one that cannot be read.
        others: paths of all other files in it: its pictures, and what was meant to be read.
        times: how often each question is tried that draws its values.
        changed: names of the files whose questions and aeroplanes alone are tried; None for all.
    """
    contents, others = sorted(dict(files).items()), frozenset(others)
    names = [name for name, _ in contents]
    documents, problems = _documents(contents)
    planned, found = plan.read(documents[PLAN]) if PLAN in documents else (EMPTY, [])
    sheets, more = _sheets(documents)
    problems += [*found, *more, *_missing(names, documents), *_overlooked(others)]
    decks, found = _decks(documents, {problem.file for problem in problems if problem.code in MISPLACED})
    sources, doubled = link.sources(documents)
    all_files = len(documents) == len(names)
    problems += [*found, *doubled, *link.problems(documents, planned, decks, others, all_files=all_files)]
    problems += link.unknown(documents) if all_files else ()
    if sheets and len(sheets) == sum(map(is_sheet, names)):
        problems += values.problems(documents, decks, sheets)
    problems += _proven(documents, decks, sheets, times, changed)
    problems = list(_plain(problems, documents))
    problems = sorted(set(link.with_free_ids(documents, problems)))
    decks, left_out = _leave_out(decks, problems, planned)
    return Course(
        plan=planned,
        decks=tuple(decks),
        sheets=sheets,
        sources=sources,
        problems=tuple(few(once(problems))),
        left_out=left_out,
        revision=_digest(contents),
    )


def _proven(
    documents: Mapping[str, Document],
    decks: list[Deck],
    sheets: Mapping[str, Sheet],
    times: int,
    changed: Container[str] | None,
) -> Iterator[Problem]:
    """What fails when it is drawn: questions of changed decks on every aeroplane, the others on changed ones."""
    lines = {name: each.lines for name, each in documents.items()}
    anew = {name: sheet for name, sheet in sheets.items() if changed is None or sheet.file in changed}
    mine = [each for each in decks if changed is not None and each.file in changed]
    yield from prove.problems([one for each in mine for one in each.questions], sheets, times, lines)
    others = [one for each in decks if each not in mine for one in each.questions]
    yield from prove.problems(others if anew else (), anew, times, lines)


def _plain(problems: Iterable[Problem], documents: Mapping[str, Document]) -> Iterator[Problem]:
    """The problems without those on a line whose own trouble was told when its file was read."""
    told = {problem for each in documents.values() for problem in each.problems}
    for problem in problems:
        document = documents.get(problem.file)
        if problem in told or document is None or problem.line not in document.broken:
            yield problem


def inside_reader(files: Iterable[tuple[str, bytes | None]]) -> Callable[[Question], Inside]:
    """What reads the inside of a question of a course that was kept, from the same files: its deck is read again."""
    contents = dict(files)

    @cache
    def by_line(name: str) -> dict[int, Question]:
        found, _ = document.of_bytes(contents[name] or b"", name)
        return {one.line: one for one in deck.read(found)[0].questions} if found else {}

    def read_inside(question: Question) -> Inside:
        again = by_line(question.file)[question.line]
        return again.read_inside(again)

    return read_inside


def is_sheet(name: str) -> bool:
    """Whether a file of the course is an aircraft sheet: it lies in their folder, and not in one below it."""
    return posixpath.dirname(name) + "/" == SHEETS


def _overlooked(names: Iterable[str]) -> Iterator[Problem]:
    """Files that look like decks and are not read, for their name or their place."""
    for name in names:
        *folders, file = name.casefold().split("/")
        hidden = any(part.startswith(".") for part in (*folders, file)) or file == "readme.md"
        if file.endswith(_TEXTS) and not hidden:
            message, hint = "This file is not read.", "decks lie in the course folder itself, and end in `.md`"
            yield Problem(At(name, 1, 1), "file-place", message, hint, "warning")


def _documents(contents: list[tuple[str, bytes | None]]) -> tuple[dict[str, Document], list[Problem]]:
    documents: dict[str, Document] = {}
    problems: list[Problem] = []
    for name, raw in contents:
        if raw is None:
            message, hint = "This is no file that can be read.", "put a file of text in its place, or rename it"
            problems.append(Problem(At(name, 1, 1), "file-unread", message, hint))
            continue
        one, found = document.of_bytes(raw, name)
        documents |= {name: one} if one else {}
        problems += [*found, *(one.problems if one else ())]
    return documents, problems


def _sheets(documents: dict[str, Document]) -> tuple[dict[str, Sheet], list[Problem]]:
    sheets: dict[str, Sheet] = {}
    problems: list[Problem] = []
    for each in (each for name, each in documents.items() if is_sheet(name)):
        one, found = sheet.read(each)
        sheets |= {one.id: one} if one else {}
        problems += found
    return sheets, problems


def _decks(documents: dict[str, Document], misplaced: Container[str]) -> tuple[list[Deck], list[Problem]]:
    names = [name for name in documents if not is_sheet(name) and name not in {PLAN, SOURCES}]
    every = [deck.read(documents[name]) for name in names if name not in misplaced]
    return [one for one, _ in every], [problem for _, found in every for problem in found]


def _missing(names: list[str], documents: Mapping[str, Document]) -> list[Problem]:
    """What every course has and this one lacks; where a file is nearly it, that one has the wrong name or place."""
    problems = []
    if PLAN not in names:
        message, hint = "The course has no lesson plan.", "write `lesson-plan.md` beside the decks"
        meant = front.nearest(names)(PLAN)
        renamed = f"give this file the name `{PLAN}`"
        problems.append(Problem(At(meant or PLAN, 1, 1), "plan-missing", message, renamed if meant else hint))
    for name in documents:
        if not is_sheet(name) and {"propeller", "callsign"} <= documents[name].front.data.keys():
            message, hint = "An aircraft sheet lies in the folder `aircraft`.", f"move it to {SHEETS}{name}"
            problems.append(Problem(At(name, 1, 1), "sheet-place", message, hint))
    if not any(map(is_sheet, names)) and not any(each.code == "sheet-place" for each in problems):
        message, hint = "The course has no aircraft sheet.", "write one into the folder `aircraft`"
        problems.append(Problem(At(f"{SHEETS}sheet.md", 1, 1), "sheet-missing", message, hint))
    return problems


def _digest(contents: list[tuple[str, bytes | None]]) -> str:
    digest = blake2b(digest_size=6)
    for name, raw in contents:
        digest.update(name.encode(errors="surrogateescape") + b"\0" + (raw or b"") + b"\0")
    return digest.hexdigest()


def _leave_out(
    decks: list[Deck], problems: list[Problem], planned: Plan
) -> tuple[list[Deck], tuple[tuple[str, str], ...]]:
    """The decks without the questions inside whose lines an error stands, and the names of all left out."""
    wrong: dict[str, list[int]] = {}
    for problem in errors(problems):
        wrong.setdefault(problem.file, []).append(problem.line)
    topics = planned.topics
    kept, left_out = [], []
    for each in decks:
        lines = sorted(wrong.get(each.file, []))
        fit = {one.line: one.topic in topics and not _any(lines, one.line, one.end) for one in each.questions}
        left_out += [(each.file, title) for title in each.left_out]
        left_out += [(each.file, one.title) for one in each.questions if not fit[one.line]]
        kept.append(replace(each, questions=tuple(one for one in each.questions if fit[one.line])))
    return kept, tuple(left_out)


def _any(lines: list[int], first: int, last: int) -> bool:
    """Whether one of some sorted lines lies between two."""
    at = bisect_left(lines, first)
    return at < len(lines) and lines[at] <= last
