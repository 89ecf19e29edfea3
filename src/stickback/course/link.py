"""References between the files of a course: topics, values, footnotes, pictures, and ids that must be unique."""

import posixpath
import re
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from functools import cache

from stickback.course.course import PHRASEOLOGIES, PLAN, Deck, Plan, Question, Sheet
from stickback.pictures import figure
from stickback.radio import rules
from stickback.reading import markup, places
from stickback.reading import text as texts
from stickback.reading.document import Document
from stickback.reading.problem import Problem
from stickback.reading.scan import Found

Documents = Mapping[str, Document]


_OUTSIDE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|[/\\]")
_NEXT = re.compile(r" {0,3}(?:\[\^|#)|\s*$")
_STUDENT = {"phraseology": PHRASEOLOGIES, "rules": PHRASEOLOGIES, "station": tuple(rules.STATIONS)}
_NAMED = re.compile(r"(?m)^[ \t]*([a-z][a-z0-9_]*)[ \t]*:")
_GUESSES = 100  # wrong names of a sort for which a right one is looked for: comparing takes its time


def problems(
    documents: Documents,
    plan: Plan,
    decks: list[Deck],
    sheets: Mapping[str, Sheet],
    pictures: frozenset[str],
    *,
    all_files: bool,
    all_sheets: bool,
) -> tuple[list[Problem], dict[str, str]]:
    """Everything that refers to something which is not there, and the footnotes by key.

    Args:
        all_files, all_sheets: they were read as meant; else what is not there may stand in one that was not.
    """
    sources, found = _sources(documents)
    found += _doubled(plan, decks)
    found += _pictures(documents, pictures)
    found += _chains(documents, plan, decks)
    found += _figures(documents)
    if all_files:
        found += _notes(documents, sources)
    if plan.whole:
        found += _topics(documents, plan, decks)
    if all_sheets:
        found += _values(documents, decks, sheets)
        found += _restrictions(decks, sheets)
    return found, sources


def _sources(documents: Documents) -> tuple[dict[str, str], list[Problem]]:
    sources: dict[str, str] = {}
    places: dict[str, str] = {}
    found = []
    for each in documents.values():
        for note in (note for note in each.found if note.kind == "define"):
            if note.text in sources:
                message = f"The footnote '{note.text}' is defined already at {places[note.text]}."
                place = (each.file, note.line, note.column)
                found.append(Problem(*place, "footnote-doubled", message, "keep one of them"))
                continue
            sources[note.text] = _definition(each, note)
            places[note.text] = f"{each.file}:{note.line}"
    return sources, found


def _definition(document: Document, note: Found) -> str:
    """The text behind `[^key]:`, with the lines that go on with it."""
    lines = [document.lines[note.line - 1].partition("]:")[2]]
    for number in range(note.line, len(document.lines)):
        if _NEXT.match(document.lines[number]):
            break
        lines.append(document.lines[number])
    return " ".join(" ".join(lines).split())


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
            yield Problem(file, line, column, "id-doubled", message, "give one of them another id")
        first.setdefault(name, f"{file}:{line}")


def _notes(documents: Documents, sources: Mapping[str, str]) -> Iterator[Problem]:
    for each in documents.values():
        for note in each.found:
            if note.kind == "note" and note.text not in sources:
                message = f"No file of the course defines the footnote '{note.text}'."
                hint = f"add a line `[^{note.text}]: …` to sources.md"
                yield Problem(each.file, note.line, note.column, "footnote-unknown", message, hint)


def _pictures(documents: Documents, pictures: frozenset[str]) -> Iterator[Problem]:
    for each in documents.values():
        for found in each.found:
            if found.kind != "picture":
                continue
            path = posixpath.normpath(posixpath.join(posixpath.dirname(each.file), found.text))
            if _OUTSIDE.match(found.text) or path.startswith(".."):
                message, hint = "A picture must lie inside the course folder.", "copy it into `figures/`"
                yield Problem(each.file, found.line, found.column, "picture-outside", message, hint)
            elif path not in pictures:
                message, hint = f"There is no picture '{path}' in the course folder.", "put the file there"
                yield Problem(each.file, found.line, found.column, "picture-missing", message, hint)


def _figures(documents: Documents) -> Iterator[Problem]:
    """Blocks that are to be drawn and cannot be."""
    for each in documents.values():
        for block in markup.every(each.blocks):
            if block.kind == "fence" and block.info.split()[:1] == ["figure"]:
                _, wrong = places.read(block.text, each.file, block.line + 1)
                yield from wrong
                if not wrong and (found := figure.check(texts.words(block.text, {}))):
                    yield Problem(each.file, block.line, 1, "figure-form", *found)


def _topics(documents: Documents, plan: Plan, decks: list[Deck]) -> Iterator[Problem]:
    known = plan.topics
    near = _nearest(known)
    hint = "use a topic of lesson-plan.md"
    for deck in decks:
        front = documents[deck.file].front
        default = front.data.get("topic")
        if isinstance(default, str) and default and default not in known:
            message = f"The lesson plan has no topic '{default}'."
            yield Problem(deck.file, *front.value("topic"), "topic-unknown", message, near(default) or hint)
        for question in deck.questions:
            if "topic" in question.places and question.topic not in known:
                message = f"The lesson plan has no topic '{question.topic}'."
                place = (deck.file, *question.places["topic"])
                yield Problem(*place, "topic-unknown", message, near(question.topic) or hint)
    for lesson in plan.lessons:
        for seen in lesson.errors:
            for topic in (topic for topic in seen.topics if topic not in known):
                message = f"The lesson plan has no topic '{topic}'."
                place = (PLAN, *seen.places["topics"])
                yield Problem(*place, "topic-unknown", message, near(topic) or hint)


def _nearest(known: Iterable[str]) -> Callable[[str], str]:
    """Asks whether one of the known names was meant by a wrong one."""
    from difflib import get_close_matches  # only wanted where something is wrong

    names, guesses = list(known), iter(range(_GUESSES))

    @cache
    def near(word: str) -> str:
        found = get_close_matches(word, names, 1) if next(guesses, None) is not None else []
        return f"did you mean '{found[0]}'?" if found else ""

    return near


def _values(documents: Documents, decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    """Names that neither a sheet nor the question's own `given` block has, in texts and then in formulas."""
    known = {name for sheet in sheets.values() for name in sheet.values}
    near = _nearest(sorted(known))
    hint = "add it to the sheets or to `given`, or use one they have"
    questions = {deck.file: deck.questions for deck in decks}
    for each in documents.values():
        drawn = _drawn(each, questions.get(each.file, ()))
        for found in each.found:
            if found.kind == "value" and found.text not in known and found.text not in drawn(found.line):
                message = f"No aircraft sheet has a value '{found.text}'."
                place = (each.file, found.line, found.column)
                yield Problem(*place, "value-unknown", message, near(found.text) or hint)
        texts = {(found.line, found.text) for found in each.found}
        for question in questions.get(each.file, ()):
            for name in sorted(question.uses - known):
                line, column = _where(each, question, name)
                if (line, name) not in texts:
                    message = f"No aircraft sheet has a value '{name}'."
                    yield Problem(each.file, line, column, "value-unknown", message, near(name) or hint)


def _drawn(document: Document, questions: Iterable[Question]) -> Callable[[int], Container[str]]:
    """The names drawn for the question on a line; for one that was not read, those of the whole file."""
    lines = {line: each.given.defines for each in questions for line in range(each.line, each.end + 1)}
    fences = [block.text for block in markup.every(document.blocks) if block.info.split()[:1] == ["given"]]
    anywhere = frozenset(name for text in fences for name in _NAMED.findall(text))
    return lambda line: lines.get(line, anywhere)


def _where(document: Document, question: Question, name: str) -> tuple[int, int]:
    """The first place at which a question uses a name."""
    word = re.compile(rf"(?<![a-z0-9_]){name}(?![a-z0-9_])")
    for line in range(question.line, question.end + 1):
        if match := word.search(document.lines[line - 1]):
            return line, match.start() + 1
    return question.line, 1


def _chains(documents: Documents, plan: Plan, decks: list[Deck]) -> Iterator[Problem]:
    """What is to be asked first, or straight after a question, must be there, and must not lead back to it."""
    questions = {each.id: each for deck in decks for each in deck.questions}
    near = _nearest(questions)
    for name in (name for name in plan.begin if name not in questions):
        message = f"There is no question '{name}' to begin with."
        place = (PLAN, *documents[PLAN].front.value("begin"))
        yield Problem(*place, "then-unknown", message, near(name) or "use a question's id", "warning")
    for question in (each for each in questions.values() if each.then):
        place = (question.file, *question.places["then"])
        if question.then not in questions:
            message = f"There is no question '{question.then}' to go on with."
            yield Problem(*place, "then-unknown", message, near(question.then) or "use a question's id")
            continue
        seen, at = {question.id}, question.then
        while at in questions and at not in seen:
            seen.add(at)
            at = questions[at].then
        if at == question.id:
            message = "This chain of questions leads back to its beginning."
            yield Problem(*place, "then-loop", message, "let the last question of a chain have no `then`")


def _restrictions(decks: list[Deck], sheets: Mapping[str, Sheet]) -> Iterator[Problem]:
    allowed: dict[str, set[str]] = {key: set(values) for key, values in _STUDENT.items()}
    for sheet in sheets.values():
        for key, value in sheet.values.items():
            allowed.setdefault(key, set()).add(value)
    near = _nearest([*allowed, "topic", "order"])
    for question in (question for deck in decks for question in deck.questions):
        for key, value in question.only.items():
            place = (question.file, *question.places[key])
            if key not in allowed:
                message = f"This heading does not take the attribute '{key}'."
                hint = near(key) or "use topic, order or a sheet's value"
                yield Problem(*place, "attribute-unknown", message, hint)
            elif not {*value.split()} <= allowed[key] if key == "rules" else value not in allowed[key]:
                message = f"No aeroplane of this course has {key}={value}, so the question would never be asked."
                hint = f"write {key}= and one of: {', '.join(sorted(allowed[key]))}"
                yield Problem(*place, "attribute-value", message, hint)
