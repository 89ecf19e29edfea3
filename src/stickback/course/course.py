"""The course as a whole: its files read, the references between them followed, and what applies to an aeroplane."""

import posixpath
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import blake2b

from stickback.course import deck, link, plan, prove, sheet
from stickback.course.deck import Deck
from stickback.course.plan import Plan
from stickback.course.question import OF_A_STATE, Question
from stickback.course.sheet import Sheet
from stickback.reading import document, fill
from stickback.reading.document import Document
from stickback.reading.problem import Problem, errors

PLAN, SOURCES, SHEETS = link.PLAN, "sources.md", "aircraft/"


@dataclass(frozen=True)
class Course:
    """What a course folder holds.

    Args:
        decks: in the order of their file names.
        sheets: by id, in the order of their file names.
        sources: footnote definitions by key.
        problems: everything wrong in the folder, sorted by place.
        left_out: (file, title) of the questions that a problem keeps out of reviews.
        revision: a digest over everything that was read.
    """

    plan: Plan
    decks: tuple[Deck, ...]
    sheets: dict[str, Sheet]
    sources: dict[str, str]
    problems: tuple[Problem, ...]
    left_out: tuple[tuple[str, str], ...]
    revision: str

    @cached_property
    def questions(self) -> dict[str, Question]:
        """By id, in plan order of their topics, then in the order they are written."""
        found = [question for each in self.decks for question in each.questions]
        place = self.plan.place
        return {question.id: question for question in sorted(found, key=lambda question: place[question.topic])}

    def key(self, question: Question) -> str:
        """The name of a question in the answer log."""
        return f"{self.plan.id}/{question.id}"

    def applicable(self, aircraft: Sheet, phraseology: str, *, abroad: bool = False) -> dict[str, Question]:
        """The questions that can be asked of a student on an aeroplane, by their name in the log.

        Args:
            abroad: those on the rules and phraseology of other states too.
        """
        values = aircraft.values if abroad else {**aircraft.values, "phraseology": phraseology, "rules": phraseology}
        return {self.key(each): each for each in self.questions.values() if applies(each, values, abroad=abroad)}

    def pairs(self, aircraft: Sheet, phraseology: str) -> dict[tuple[str, str], Question]:
        """The same by name in the log and variant: what memory belongs to."""
        found = self.applicable(aircraft, phraseology)
        return {(key, variant(each, aircraft)): each for key, each in found.items()}


def applies(question: Question, values: Mapping[str, str], *, abroad: bool = False) -> bool:
    """Whether an aeroplane (and the rules its pilot flies by) has what the question speaks of."""
    only = {key: value for key, value in question.only.items() if key != "station"}
    if abroad:
        only = {key: value for key, value in only.items() if key not in OF_A_STATE}
    fits = all(values.get(key) in (value.split() if key == "rules" else (value,)) for key, value in only.items())
    return fits and question.uses <= values.keys()


def variant(question: Question, aircraft: Sheet) -> str:
    """The variant of a question on an aeroplane; see `reading.fill.variant`."""
    return fill.variant(question.uses, aircraft.values)


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
    planned, found = plan.read(documents[PLAN]) if PLAN in documents else (plan.EMPTY, [])
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
    return Course(planned, tuple(decks), sheets, sources, everything, left_out, _digest(contents))


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
