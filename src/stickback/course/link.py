"""References between the files of a course: topics, chains, pictures, ids that must be unique, and footnotes.

A footnote is looked up in its own file, as any viewer does, and then in the course's list of sources.
"""

import posixpath
import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from urllib.parse import unquote

from stickback.course import front
from stickback.course.course import PLAN, SOURCES, Deck, Plan
from stickback.pictures import figure
from stickback.reading import clean, markup, places
from stickback.reading import text as texts
from stickback.reading.document import Document
from stickback.reading.problem import At, Problem
from stickback.reading.scan import Reference

Documents = Mapping[str, Document]


_OUTSIDE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|[/\\]")
_ID = re.compile(r"(?:\{[ \t]*|(?<=[ \t])\()#[ \t]*([^\s{}()]+)")  # in round brackets too: near enough to be meant
_BRACKETS = re.compile(r"(?<![!\]])\[([\w-]{2,})\](?![(\[:])")
_NOTE = re.compile(r"\s*\[\^([^\]\s]+)\]:?\s")
_DEFINED = re.compile(r" {0,3}\[\^[^\]\s]+\]:")
_OPENS = re.compile(r"[{(][ \t]*#")


def problems(
    documents: Documents,
    plan: Plan,
    decks: list[Deck],
    others: frozenset[str],
    *,
    all_files: bool,
) -> list[Problem]:
    """Everything that refers to something which is not there.

    Args:
        others: paths of all files of the folder that are not read.
        all_files: they were read as meant; else what is not there may stand in one that was not.
    """
    found = _doubled(plan, decks)
    found += _pictures(documents, others)
    found += _chains(decks)
    found += _figures(documents)
    if all_files:
        found += _targets(documents, plan, decks)
    if plan.whole:
        found += _topics(documents, plan, decks)
    return found


def _doubled(plan: Plan, decks: list[Deck]) -> list[Problem]:
    """Lessons, topics and errors share one set of ids, questions another."""
    named = [(lesson.id, PLAN, lesson.line, 1) for lesson in plan.lessons]
    named += [(topic.id, topic.file, topic.line, 1) for lesson in plan.lessons for topic in lesson.topics]
    named += [(seen.id, PLAN, *seen.places["#"]) for lesson in plan.lessons for seen in lesson.errors]
    asked = [(each.id, each.file, *each.places["#"]) for deck in decks for each in deck.questions]
    return [*_twice(sorted(named, key=lambda each: each[2])), *_twice(asked)]


def _twice(ids: list[tuple[str, str, int, int]]) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for name, file, line, column in ids:
        if name and name in first:
            message = f"The id '{name}' already stands at {first[name]}."
            yield Problem(At(file, line, column), "id-doubled", message, "give one of them another id")
        first.setdefault(name, f"{file}:{line}")


def _pictures(documents: Documents, others: frozenset[str]) -> Iterator[Problem]:
    near = front.nearest(sorted(others))
    for each in documents.values():
        for found in each.references:
            if found.kind != "picture":
                continue
            path = posixpath.normpath(posixpath.join(posixpath.dirname(each.file), unquote(found.text)))
            if _OUTSIDE.match(found.text) or path.startswith(".."):
                message, hint = "A picture must lie inside the course folder.", "copy it into `figures/`"
                yield Problem(At(each.file, found.line, found.column), "picture-outside", message, hint)
            elif path not in others:
                message = f"There is no picture '{path}' in the course folder."
                hint = front.did_you_mean(near(path), "put the file there")
                yield Problem(At(each.file, found.line, found.column), "picture-missing", message, hint)


def _figures(documents: Documents) -> Iterator[Problem]:
    """Blocks that are to be drawn and cannot be."""
    for each in documents.values():
        for block in (block for block in markup.every(each.blocks) if block.name == "figure"):
            if block.line not in each.broken:
                _, wrong = places.read(block.text, each.file, block.line + 1, "block")
                yield from wrong
                if not wrong and (found := figure.check(texts.words(block.text, {}))):
                    yield Problem(At(each.file, block.line, 1), "figure-form", *found)


def _topics(documents: Documents, plan: Plan, decks: list[Deck]) -> Iterator[Problem]:
    known = plan.topics
    near = front.nearest(known)
    hint = "use a topic of lesson-plan.md"
    for deck in decks:
        head = documents[deck.file].front
        default = head.data.get("topic")
        if isinstance(default, str) and default and default not in known:
            message = f"The lesson plan has no topic '{default}'."
            yield Problem(
                At(deck.file, *head.value("topic")), "topic-unknown", message, front.did_you_mean(near(default), hint)
            )
        for question in deck.questions:
            if "topic" in question.places and question.topic not in known:
                message = f"The lesson plan has no topic '{question.topic}'."
                place = (deck.file, *question.places["topic"])
                yield Problem(At(*place), "topic-unknown", message, front.did_you_mean(near(question.topic), hint))
    for lesson in plan.lessons:
        for seen in lesson.errors:
            for topic in (topic for topic in seen.topics if topic not in known):
                message = f"The lesson plan has no topic '{topic}'."
                place = (PLAN, *seen.places["topics"])
                yield Problem(At(*place), "topic-unknown", message, front.did_you_mean(near(topic), hint))


def _chains(decks: list[Deck]) -> Iterator[Problem]:
    """What is asked straight after a question must not lead back to it."""
    questions = {each.id: each for deck in decks for each in deck.questions}
    looped: set[str] = set()
    for question in (each for each in questions.values() if each.then):
        seen, at = {question.id}, question.then
        while at in questions and at not in seen:
            seen.add(at)
            at = questions[at].then
        if at == question.id and at not in looped:
            looped |= seen
            message = "This chain of questions leads back to its beginning."
            place = (question.file, *question.places["then"])
            yield Problem(At(*place), "then-loop", message, "let the last question of a chain have no `then`")


def _targets(documents: Documents, plan: Plan, decks: list[Deck]) -> Iterator[Problem]:
    """Questions to begin or go on with that are nowhere; one that is left out for its own mistake is there."""
    if any("#" not in title for deck in decks for title in deck.left_out):
        return  # one of those without an id may be meant
    typed = _typed(documents)
    near = front.nearest(typed)
    for name in (name for name in plan.begin if name not in typed):
        message, place = f"There is no question '{name}' to begin with.", documents[PLAN].front.value("begin")
        hint = front.did_you_mean(near(name), "use a question's id")
        yield Problem(At(PLAN, *place), "then-unknown", message, hint, "warning")
    for question in (each for deck in decks for each in deck.questions if each.then and each.then not in typed):
        message = f"There is no question '{question.then}' to go on with."
        hint = front.did_you_mean(near(question.then), "use a question's id")
        yield Problem(At(question.file, *question.places["then"]), "then-unknown", message, hint)


def _typed(documents: Documents) -> frozenset[str]:
    """Everything that looks like an id, also of questions that are not read for some mistake, as it should be typed."""
    lines = (line for each in documents.values() for line in each.lines if "#" in line and _OPENS.search(line))
    return frozenset(front.slug(name, front.LONGEST_ID) for line in lines for name in _ID.findall(line))


def with_free_ids(documents: Documents, problems: Iterable[Problem]) -> Iterator[Problem]:
    """The problems, the ids that are suggested for headings without one each another and none that is taken."""
    taken: set[str] = set()
    for problem in problems:
        if problem.code != "id-missing":
            yield problem
            continue
        taken = taken or set(_typed(documents))
        begin, name, end = re.split(r"(?<=\{#)(.*)(?=\})", problem.hint)
        made = front.free(name, taken)
        taken.add(made)
        yield replace(problem, hint=f"{begin}{made}{end}")


def sources(documents: Documents) -> tuple[dict[str, str], list[Problem]]:
    """The definitions by key, and those that say otherwise than another: a course has one list of sources."""
    texts: dict[str, str] = {}
    places: dict[str, str] = {}
    problems = []
    for document in sorted(documents.values(), key=lambda each: each.file != SOURCES):
        for note in _of(document, "define"):
            text = definition(document, note)
            if texts.setdefault(note.text, text) != text:
                message = f"The footnote '{note.text}' says something else at {places[note.text]}."
                hint = "write the same text at both places, or give one of them another key"
                problems.append(Problem(At(document.file, note.line, note.column), "footnote-doubled", message, hint))
            places.setdefault(note.text, f"{document.file}:{note.line}")
    return texts, problems


def unknown(documents: Documents) -> Iterator[Problem]:
    """Footnotes that neither their own file nor the list of sources defines."""
    listed = documents.get(SOURCES)
    known = {note.text for note in _of(listed, "define")} if listed else set()
    nearly = {note.text: note for note in _of(listed, "note") if note.column == 1} if listed else {}
    for name in nearly.keys() - known:
        message, hint = "A footnote's definition has a colon behind its key.", f"write `[^{name}]: …`"
        yield Problem(At(SOURCES, nearly[name].line, 1), "footnote-form", message, hint)
    for document in documents.values():
        spoilt = _run_on(document)
        for name, line in spoilt.items():
            message = "This footnote's definition is not read."
            hint = f"write `[^{name}]: …`, at the left margin and with a colon"
            yield Problem(At(document.file, line, 1), "footnote-form", message, hint)
        own = known | nearly.keys() | spoilt.keys() | {note.text for note in _of(document, "define")}
        near = front.nearest(own)
        for note in (note for note in _of(document, "note") if note.text not in own):
            message = f"Neither this file nor {SOURCES} defines the footnote '{note.text}'."
            meant = near(note.text)
            hint = f"did you mean `[^{meant}]`?" if meant else f"add a line `[^{note.text}]: …` to {SOURCES}"
            yield Problem(At(document.file, note.line, note.column), "footnote-unknown", message, hint)
        yield from _bare(document, own)


def _bare(document: Document, known: Container[str]) -> Iterator[Problem]:
    """Keys of footnotes in brackets alone, which every reader would see as they stand."""
    texts = (block for block in markup.every(document.blocks) if block.kind in {"paragraph", "heading"})
    lines = dict.fromkeys(line for block in texts for line in range(block.line, block.end + 1))
    for line in lines.keys() - document.broken:
        for match in _BRACKETS.finditer(document.lines[line - 1]):
            if match[1] in known:
                message, hint = "A footnote has a `^` before its key.", f"write `[^{match[1]}]`"
                yield Problem(At(document.file, line, match.start() + 1), "footnote-form", message, hint)


def missing(document: Document) -> list[str]:
    """The keys of the footnotes that a file uses and does not define itself, in their order."""
    own = {note.text for note in _of(document, "define")}
    return list(dict.fromkeys(note.text for note in _of(document, "note") if note.text not in own))


def definition(document: Document, note: Reference) -> str:
    """The text of the footnote that is defined at a place, on one line."""
    rows = clean.definition(document.lines, note.line)
    return " ".join(" ".join(rows[: _swallowed(rows) or len(rows)]).split())


def _swallowed(rows: Sequence[str]) -> int:
    """Which of a definition's lines is meant as the next definition, and goes on with this one; nought for none."""
    return next((at for at, row in enumerate(rows) if at and _NOTE.match(row)), 0)


def _run_on(document: Document) -> dict[str, int]:
    """Footnotes whose definition is not read as one, below another, with their lines."""
    found = {}
    for note in _of(document, "define"):
        rows = clean.definition(document.lines, note.line)
        if (at := _swallowed(rows)) and (match := _NOTE.match(rows[at])):
            found[match[1]] = note.line + at
    for note in (note for note in _of(document, "note") if note.column == 1 and note.line > 1):
        if _DEFINED.match(document.lines[note.line - 2]):
            found[note.text] = note.line
    return found


def _of(document: Document, kind: str) -> list[Reference]:
    return [found for found in document.references if found.kind == kind]
