"""Footnotes: each is looked up in its own file, as any viewer does, and then in the course's list of sources."""

from collections.abc import Iterator, Mapping

from stickback.course.course import SOURCES
from stickback.reading import clean
from stickback.reading.document import Document
from stickback.reading.problem import At, Problem
from stickback.reading.scan import Found

Documents = Mapping[str, Document]


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
        own = known | nearly.keys() | {note.text for note in _of(document, "define")}
        for note in (note for note in _of(document, "note") if note.text not in own):
            message = f"Neither this file nor {SOURCES} defines the footnote '{note.text}'."
            hint = f"add a line `[^{note.text}]: …` to {SOURCES}"
            yield Problem(At(document.file, note.line, note.column), "footnote-unknown", message, hint)


def missing(document: Document) -> list[str]:
    """The keys of the footnotes that a file uses and does not define itself, in their order."""
    own = {note.text for note in _of(document, "define")}
    return list(dict.fromkeys(note.text for note in _of(document, "note") if note.text not in own))


def definition(document: Document, note: Found) -> str:
    """The text of the footnote that is defined at a place, on one line."""
    return " ".join(" ".join(clean.definition(document.lines, note.line)).split())


def _of(document: Document, kind: str) -> list[Found]:
    return [found for found in document.found if found.kind == kind]
