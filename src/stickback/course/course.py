"""The course as a whole: its files read, the references between them followed, and what applies to an aeroplane."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import blake2b

from stickback import document
from stickback.course import deck, link, plan, sheet
from stickback.course.deck import Deck, Question
from stickback.course.plan import Plan
from stickback.course.sheet import Sheet
from stickback.document import Document
from stickback.problem import Problem
from stickback.values import fill

PLAN, SOURCES, SHEETS = "lesson-plan.md", "sources.md", "aircraft/"


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
        order = {topic: place for place, topic in enumerate(self.plan.topics)}
        found = [question for each in self.decks for question in each.questions]
        return {question.id: question for question in sorted(found, key=lambda question: order[question.topic])}

    def key(self, question: Question) -> str:
        """The name of a question in the answer log."""
        return f"{self.plan.id}/{question.id}"

    def applicable(self, aircraft: Sheet, phraseology: str) -> dict[str, Question]:
        """The questions that can be asked of a student on an aeroplane, by their name in the log."""
        values = {**aircraft.values, "phraseology": phraseology}
        return {self.key(each): each for each in self.questions.values() if applies(each, values)}


def applies(question: Question, values: Mapping[str, str]) -> bool:
    """Whether an aeroplane (and phraseology) has what the question speaks of."""
    fits = all(values.get(key) == value for key, value in question.only.items() if key != "station")
    return fits and question.uses <= values.keys()


def variant(question: Question, aircraft: Sheet) -> str:
    """The variant of a question on an aeroplane; see `values.fill.variant`."""
    return fill.variant(question.uses, aircraft.values)


def read(files: Iterable[tuple[str, bytes]], pictures: Iterable[str] = ()) -> Course:
    """A course from (name, content) pairs; never raises, whatever the bytes.

    Args:
        files: the Markdown files, by their path inside the course folder.
        pictures: paths of all other files in it.
    """
    contents = sorted(files)
    documents, problems = _documents(contents)
    the_plan, plan_problems = plan.read(documents[PLAN]) if PLAN in documents else (plan.EMPTY, _no_plan())
    sheets: dict[str, Sheet] = {}
    decks: list[Deck] = []
    problems += plan_problems
    for name, content in documents.items():
        problems += content.problems
        if name.startswith(SHEETS):
            one, found = sheet.read(content)
            sheets |= {one.id: one} if one else {}
            problems += found
        elif name not in {PLAN, SOURCES}:
            each, found = deck.read(content)
            decks.append(each)
            problems += found
    if not sheets and not any(name.startswith(SHEETS) for name in documents):
        problems.append(_no_sheet())
    linked, sources = link.problems(documents, the_plan, decks, sheets, frozenset(pictures))
    decks, left_out = _leave_out(decks, [*problems, *linked], the_plan)
    digest = blake2b(digest_size=6)
    for name, raw in contents:
        digest.update(name.encode() + b"\0" + raw + b"\0")
    everything = tuple(sorted({*problems, *linked}))
    return Course(the_plan, tuple(decks), sheets, sources, everything, left_out, digest.hexdigest())


def _documents(contents: list[tuple[str, bytes]]) -> tuple[dict[str, Document], list[Problem]]:
    documents: dict[str, Document] = {}
    problems = []
    for name, raw in contents:
        if len(raw) > document.LARGEST:
            message = f"The file is larger than {document.LARGEST // 1_000_000} MB and is not read."
            problems.append(Problem(name, 1, 1, "file-large", message, "split it"))
            continue
        try:
            text = raw.decode()
        except UnicodeDecodeError as error:
            before = raw[: error.start].decode(errors="replace").replace("\r\n", "\n").replace("\r", "\n").split("\n")
            message = "The file is not UTF-8 text from here on."
            place = (len(before), len(before[-1]) + 1)
            problems.append(Problem(name, *place, "file-encoding", message, "save it as UTF-8"))
            continue
        documents[name] = document.read(text, name)
    return documents, problems


def _no_plan() -> list[Problem]:
    message = "The course has no lesson plan."
    return [Problem(PLAN, 1, 1, "plan-missing", message, "write `lesson-plan.md` beside the decks")]


def _no_sheet() -> Problem:
    message = "The course has no aircraft sheet."
    return Problem(f"{SHEETS}sheet.md", 1, 1, "sheet-missing", message, "write one into the folder `aircraft`")


def _leave_out(
    decks: list[Deck], problems: list[Problem], the_plan: Plan
) -> tuple[list[Deck], tuple[tuple[str, str], ...]]:
    """The decks without the questions inside whose lines an error stands, and the names of all left out."""
    wrong: dict[str, set[int]] = {}
    for problem in problems:
        if problem.severity == "error":
            wrong.setdefault(problem.file, set()).add(problem.line)
    kept, left_out = [], []
    for each in decks:
        lines = wrong.get(each.file, set())
        sound = [
            question
            for question in each.questions
            if question.topic in the_plan.topics and not any(question.line <= line <= question.end for line in lines)
        ]
        left_out += [(each.file, title) for title in each.left_out]
        left_out += [(each.file, question.title) for question in each.questions if question not in sound]
        kept.append(replace(each, questions=tuple(sound)))
    return kept, tuple(left_out)
