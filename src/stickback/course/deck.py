"""Deck: a Markdown file of questions about topics of the lesson plan."""

from dataclasses import dataclass
from hashlib import blake2b

from stickback import attribute
from stickback.course import front
from stickback.document import Document
from stickback.kinds import choice
from stickback.kinds.mark import Kind, Part
from stickback.kinds.table import KINDS
from stickback.markup import Block, Section, sections
from stickback.problem import Problem

MOST = 2000  # questions a file
PHRASEOLOGIES = ("icao", "uk", "faa")
STATIONS = ("tower", "information", "radio", "unattended")
SECTIONS = ("answer", "fails if said", "hint", "why")

_NO_RESTRICTION = frozenset({"topic", "order"})


@dataclass(frozen=True)
class Question:
    """A question of a deck.

    Args:
        id: its identity for life, unique in the course.
        kind: a key of `kinds.table.KINDS`; `body` is what that kind read.
        title, prompt: what is asked.
        why, hint: shown after, or on request.
        only: values of the sheet, or of the student, without which it is never asked.
        uses: names of the values in its text.
        revision: a digest of its text.
    """

    id: str
    topic: str
    kind: str
    body: object
    title: str
    prompt: tuple[Block, ...]
    why: tuple[Block, ...]
    hint: tuple[Block, ...]
    only: dict[str, str]
    uses: frozenset[str]
    revision: str
    file: str
    line: int
    end: int
    places: dict[str, int]


@dataclass(frozen=True)
class Deck:
    """A file of questions, those with problems left out; `left_out` names them."""

    file: str
    title: str
    about: dict[str, str]
    questions: tuple[Question, ...]
    left_out: tuple[str, ...]


def read(document: Document) -> tuple[Deck, list[Problem]]:
    """The questions that can be asked, and the problems of the file."""
    problems = front.known_keys(document, ("topic",))
    _, parts = sections(document.blocks, 2)
    if len(parts) > MOST:
        message = f"{len(parts)} questions are more than are read from one file."
        hint = f"split the deck; the first {MOST} are read"
        problems.append(Problem(document.file, parts[MOST].heading.line, 1, "deck-large", message, hint))
    elif not parts and not document.problems:
        hint = "write `## The question {#the-id}`"
        message = "This deck has no question."
        problems.append(Problem(document.file, len(document.lines), 1, "deck-empty", message, hint, "warning"))
    uses = _uses(document)
    questions, left_out = [], []
    for section in parts[:MOST]:
        question, found = _question(document, section, uses)
        problems += found
        if question is not None:
            questions.append(question)
        else:
            left_out.append(section.heading.text)
    about = {key: front.text(document, key) for key in sorted(front.META) if front.text(document, key)}
    title = about.get("title", document.file)
    return Deck(document.file, title, about, tuple(questions), tuple(left_out)), problems


def _uses(document: Document) -> list[tuple[int, str]]:
    return [(found.line, found.text) for found in document.found if found.kind == "value"]


def _question(
    document: Document, section: Section, uses: list[tuple[int, str]]
) -> tuple[Question | None, list[Problem]]:
    title, found, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    problems = problems or front.wrong_id(document, section, found, title)
    prompt, parts = sections(section.blocks, 3)
    named, section_problems = _named(document, parts)
    problems += section_problems
    topic = found.values.get("topic") or front.text(document, "topic")
    problems += [] if topic or document.front_broken or problems else _no_topic(document, section)
    if not title.strip():
        message = "This heading has no title."
        problems.append(Problem(document.file, section.heading.line, 1, "heading-empty", message, "write the question"))
    part = Part(document.file, section, prompt, named, found.values, found.places, document.lines, document.broken)
    kind, body, rest, body_problems = _body(part)
    problems += body_problems
    whole = not any(line in document.broken for line in range(section.heading.line, section.end + 1))
    if problems or kind is None or not topic or not whole:
        return None, problems
    end = section.end
    lines = document.lines[section.heading.line - 1 : end]
    question = Question(
        found.id,
        topic,
        kind.NAME,
        body,
        title,
        rest,
        named["why"].blocks if "why" in named else (),
        named["hint"].blocks if "hint" in named else (),
        {key: value for key, value in found.values.items() if key not in _NO_RESTRICTION},
        frozenset(name for line, name in uses if section.heading.line <= line <= end),
        _digest(lines),
        document.file,
        section.heading.line,
        end,
        found.places,
    )
    return question, []


def _digest(lines: tuple[str, ...]) -> str:
    text = "\n".join(line.rstrip() for line in lines)
    return blake2b(text.encode(errors="replace"), digest_size=6).hexdigest()


def _no_topic(document: Document, section: Section) -> list[Problem]:
    line = section.heading.line
    message = "This question does not say its topic."
    hint = "add `topic=…` to the braces, or `topic: …` to the front matter for the whole deck"
    return [Problem(document.file, line, len(document.lines[line - 1]) + 1, "topic-missing", message, hint)]


def _named(document: Document, parts: list[Section]) -> tuple[dict[str, Section], list[Problem]]:
    """The `###` sections by name, and those that are unknown or doubled."""
    named: dict[str, Section] = {}
    problems = []
    for part in parts:
        name = " ".join(part.heading.text.casefold().split())
        place = (document.file, part.heading.line, 1)
        if name not in SECTIONS:
            message = f"Questions have no section '{part.heading.text.strip()}'."
            hint = "use one of: ### Answer, ### Fails if said, ### Hint, ### Why"
            problems.append(Problem(*place, "section-unknown", message, hint))
        elif name in named:
            message = f"The section '{part.heading.text.strip()}' stands twice in this question."
            problems.append(Problem(*place, "section-doubled", message, "put both texts under one heading"))
        else:
            named[name] = part
    return named, problems


def _body(part: Part) -> tuple[Kind | None, object | None, tuple[Block, ...], list[Problem]]:
    """The kind, its body and the prompt; where a near miss stands, nothing that follows from it is complained about."""
    near = choice.near_misses(part)
    if near:
        return None, None, part.prompt, near
    kind = next((kind for kind in KINDS.values() if kind.reads(part)), None)
    if kind is None:
        return None, None, (), _no_answer(part)
    extra = [part.parts[name].heading for name in ("answer", "fails if said") if name in part.parts]
    if kind is choice and extra:
        message = f"This question has both options and '{extra[0].text.strip()}'."
        place = (part.file, extra[0].line, 1)
        return None, None, (), [Problem(*place, "answer-doubled", message, "delete one of the two")]
    body, rest, problems = kind.parse(part)
    return kind, body, rest, [*problems, *_order(part, kind)]


def _order(part: Part, kind: Kind) -> list[Problem]:
    order = part.settings.get("order")
    if order is None or (kind is choice and order == "fixed"):
        return []
    place = (part.file, part.section.heading.line, part.places["order"])
    if kind is not choice:
        return [Problem(*place, "attribute-unknown", "Only options have an order.", "delete it")]
    return [Problem(*place, "attribute-value", f"'order' cannot be '{order}'.", "write order=fixed, or delete it")]


def _no_answer(part: Part) -> list[Problem]:
    lines = range(part.section.heading.line, part.section.end + 1)
    if any(line in part.broken for line in lines):
        return []
    if "answer" not in part.parts:
        message = "This question has neither options nor an answer."
        hint = "write a list of `- [ ] ` and `- [x] ` options, or `### Answer` and a bullet list"
        return [Problem(part.file, part.section.heading.line, 1, "answer-missing", message, hint)]
    section = part.parts["answer"]
    line = section.heading.line
    if not section.blocks:
        message, hint = "This answer is empty.", "write a bullet list of the points to listen for"
        return [Problem(part.file, line, 1, "answer-empty", message, hint)]
    message = "An answer in this form is not read."
    hint = "write a bullet list of the points to listen for, or one paragraph"
    return [Problem(part.file, section.blocks[0].line, 1, "answer-form", message, hint)]
