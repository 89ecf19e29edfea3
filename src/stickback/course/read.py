"""A course from the contents of its files: each read, the references between them followed, problems gathered."""

import posixpath
from bisect import bisect_left
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from hashlib import blake2b

from stickback.course import deck, link, plan, prove, sheet
from stickback.course.course import EMPTY, PLAN, SHEETS, SOURCES, Course, Deck, Inside, Plan, Question, Sheet
from stickback.reading import document
from stickback.reading.document import Document
from stickback.reading.problem import Problem, errors


def read(files: Iterable[tuple[str, bytes]], pictures: Iterable[str] = (), draws: int = prove.FEW) -> Course:
    """A course from (name, content) pairs; never raises, whatever the bytes.

    Args:
        files: the Markdown files, by their path inside the course folder.
        pictures: paths of all other files in it.
        draws: how often each question is tried that draws its values.
    """
    contents = sorted(dict(files).items())
    documents, problems = _documents(contents)
    names = [name for name, _ in contents]
    planned, found = plan.read(documents[PLAN]) if PLAN in documents else (EMPTY, [])
    sheets, more = _sheets(documents)
    decks, others = _decks(documents)
    linked, sources = link.problems(
        documents,
        planned,
        decks,
        sheets,
        frozenset(pictures),
        all_files=len(documents) == len(names),
        all_sheets=bool(sheets) and len(sheets) == sum(map(is_sheet, names)),
    )
    proven = prove.problems([each for one in decks for each in one.questions], sheets, draws)
    problems += [
        each for each in (*found, *more, *others, *linked, *proven) if each.line not in documents[each.file].broken
    ]
    problems += _missing(names)
    decks, left_out = _leave_out(decks, problems, planned)
    everything = tuple(sorted(set(problems)))
    return Course(
        plan=planned,
        decks=tuple(decks),
        sheets=sheets,
        sources=sources,
        problems=everything,
        left_out=left_out,
        revision=_digest(contents),
    )


def opener(files: Iterable[tuple[str, bytes]]) -> Callable[[Question], Inside]:
    """What looks into a question of a course that was read before from the same files: its deck is read again."""
    contents = dict(files)

    @cache
    def opened(name: str) -> dict[int, Question]:
        found, _ = document.load(contents[name], name)
        return {one.line: one for one in deck.read(found)[0].questions} if found else {}

    def look(question: Question) -> Inside:
        again = opened(question.file)[question.line]
        return again.opened(again)

    return look


def is_sheet(name: str) -> bool:
    """Whether a file of the course is an aircraft sheet: it lies in their folder, and not in one below it."""
    return posixpath.dirname(name) + "/" == SHEETS


def _documents(contents: list[tuple[str, bytes]]) -> tuple[dict[str, Document], list[Problem]]:
    documents: dict[str, Document] = {}
    problems: list[Problem] = []
    for name, raw in contents:
        read, found = document.load(raw, name)
        documents |= {name: read} if read else {}
        problems += [*found, *(read.problems if read else ())]
    return documents, problems


def _sheets(documents: dict[str, Document]) -> tuple[dict[str, Sheet], list[Problem]]:
    sheets: dict[str, Sheet] = {}
    problems: list[Problem] = []
    for each in (each for name, each in documents.items() if is_sheet(name)):
        one, found = sheet.read(each)
        sheets |= {one.id: one} if one else {}
        problems += found
    return sheets, problems


def _decks(documents: dict[str, Document]) -> tuple[list[Deck], list[Problem]]:
    read = [deck.read(each) for name, each in documents.items() if not is_sheet(name) and name not in {PLAN, SOURCES}]
    return [one for one, _ in read], [problem for _, found in read for problem in found]


def _missing(names: list[str]) -> list[Problem]:
    """What every course has; a file that is there and could not be read is not missing."""
    problems = []
    if PLAN not in names:
        message, hint = "The course has no lesson plan.", "write `lesson-plan.md` beside the decks"
        problems.append(Problem(PLAN, 1, 1, "plan-missing", message, hint))
    if not any(map(is_sheet, names)):
        message, hint = "The course has no aircraft sheet.", "write one into the folder `aircraft`"
        problems.append(Problem(f"{SHEETS}sheet.md", 1, 1, "sheet-missing", message, hint))
    return problems


def _digest(contents: list[tuple[str, bytes]]) -> str:
    digest = blake2b(digest_size=6)
    for name, raw in contents:
        digest.update(name.encode(errors="surrogateescape") + b"\0" + raw + b"\0")
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
