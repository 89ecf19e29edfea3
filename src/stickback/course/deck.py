"""Deck: a Markdown file of questions about topics of the lesson plan."""

from bisect import bisect_left
from dataclasses import dataclass, replace
from hashlib import blake2b

from stickback import attribute
from stickback.attribute import Place
from stickback.course import front
from stickback.document import Document
from stickback.kinds import choice
from stickback.kinds.mark import Kind, Part
from stickback.kinds.table import KINDS
from stickback.markup import Block, Section, outside, sections
from stickback.problem import Problem
from stickback.scan import Found

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
    places: dict[str, Place]


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
    # A key that is not known may be a misspelt `topic`: then no question lacks its topic.
    topic = front.text(document, "topic") or (None if problems or document.front_broken else "")
    blocks, found = _leveled(document)
    problems += found
    _, parts = sections(blocks, 2)
    problems += _amiss(document, blocks, parts)
    uses = [found for found in document.found if found.kind == "value"]
    questions, left_out = [], []
    for section in parts[:MOST]:
        question, found = _question(document, section, topic, uses)
        problems += found
        if question is not None:
            questions.append(question)
        else:
            left_out.append(section.heading.text)
    about = {key: front.text(document, key) for key in sorted(front.META) if front.text(document, key)}
    title = about.get("title", document.file)
    return Deck(document.file, title, about, tuple(questions), tuple(left_out)), problems


def _leveled(document: Document) -> tuple[tuple[Block, ...], list[Problem]]:
    """The blocks with every section's heading at its level, and a problem for each that had another."""
    blocks, problems = [], []
    for block in document.blocks:
        if block.level not in {0, 3} and _section(block) in SECTIONS:
            message, hint = "This is a section of a question.", f"write `### {block.text.strip()}`"
            problems.append(Problem(document.file, block.line, 1, "section-level", message, hint))
            block = replace(block, level=3)
        blocks.append(block)
    return tuple(blocks), problems


def _section(heading: Block) -> str:
    return " ".join(heading.text.casefold().split())


def _amiss(document: Document, blocks: tuple[Block, ...], parts: list[Section]) -> list[Problem]:
    """What is wrong with the deck as a whole: too many questions, none at all, or something that stands under none."""
    if len(parts) > MOST:
        message = f"{len(parts)} questions are more than are read from one file."
        hint = f"split the deck; the first {MOST} are read"
        return [Problem(document.file, parts[MOST].heading.line, 1, "deck-large", message, hint)]
    stray = _stray(document, blocks)
    if parts or stray or document.broken:
        return stray
    message, hint = "This deck has no question.", "write `## The question {#the-id}`"
    return [Problem(document.file, len(document.lines), 1, "deck-empty", message, hint, "warning")]


def _stray(document: Document, blocks: tuple[Block, ...]) -> list[Problem]:
    """What would be lost because it stands under no question: each heading meant as one, else the first answer."""
    problems: list[Problem] = []
    title = next((block for block in blocks if block.kind == "heading"), None)
    for block in outside(blocks, 2):
        place = (document.file, block.line, 1)
        if block.kind == "heading" and (_has_id(block, document) or (block.level == 1 and block is not title)):
            message, hint = "A question has two `#` signs.", "write `## ` and the question"
            problems.append(Problem(*place, "question-level", message, hint))
        elif not problems and not document.broken and _answers(block):
            message, hint = "This stands under no question.", "write `## The question {#the-id}` above it"
            problems.append(Problem(*place, "question-missing", message, hint))
    return problems


def _answers(block: Block) -> bool:
    """Whether it is what an answer begins with."""
    return _section(block) in SECTIONS if block.kind == "heading" else bool(choice.lists((block,)))


def _has_id(heading: Block, document: Document) -> bool:
    _, found, problems = attribute.attributes(heading, document.lines, document.file, tail=True)
    return bool(found.id or problems)


def _question(
    document: Document, section: Section, default: str | None, uses: list[Found]
) -> tuple[Question | None, list[Problem]]:
    """The question of a section; `default` is its deck's topic, None where that cannot be told."""
    title, found, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    if not title.strip():
        message = "This heading has no title."
        place = (document.file, section.heading.line, 1)
        return None, problems or [Problem(*place, "heading-empty", message, "write the question")]
    topic = found.values.get("topic") or default
    if not problems:
        problems = front.wrong_id(document, section, found, title)
        problems += _no_topic(document, section) if topic == "" else []
    prompt, parts = sections(section.blocks, 3)
    named, section_problems = _named(document, parts)
    part = Part(document.file, section, prompt, named, found.values, found.places, document.lines, document.broken)
    kind, body, rest, body_problems = _body(part)
    problems += [*section_problems, *body_problems]
    if problems or kind is None or not topic:
        return None, problems
    first, end = section.heading.line, section.end
    return Question(
        found.id,
        topic,
        kind.NAME,
        body,
        title,
        rest,
        named["why"].blocks if "why" in named else (),
        named["hint"].blocks if "hint" in named else (),
        {key: value for key, value in found.values.items() if key not in _NO_RESTRICTION},
        _names(uses, first, end),
        _digest(document.lines[first - 1 : end]),
        document.file,
        first,
        end,
        found.places,
    ), []


def _names(uses: list[Found], first: int, last: int) -> frozenset[str]:
    """The names of the values that are used on some lines."""
    begin, end = (bisect_left(uses, line, key=lambda each: each.line) for line in (first, last + 1))
    return frozenset(each.text for each in uses[begin:end])


def _digest(lines: tuple[str, ...]) -> str:
    text = "\n".join(line.rstrip() for line in lines)
    return blake2b(text.encode(errors="replace"), digest_size=6).hexdigest()


def _no_topic(document: Document, section: Section) -> list[Problem]:
    line = section.heading.end
    message = "This question does not say its topic."
    hint = "add `topic=…` to the braces, or `topic: …` to the front matter for the whole deck"
    return [Problem(document.file, line, len(document.lines[line - 1]) + 1, "topic-missing", message, hint)]


def _named(document: Document, parts: list[Section]) -> tuple[dict[str, Section], list[Problem]]:
    """The `###` sections by name, and those that are unknown or doubled."""
    named: dict[str, Section] = {}
    problems = []
    for part in parts:
        name, title = _section(part.heading), part.heading.text.strip()
        place = (document.file, part.heading.line, 1)
        if name not in SECTIONS:
            hint = "use one of: ### Answer, ### Fails if said, ### Hint, ### Why"
            problems.append(Problem(*place, "section-unknown", f"Questions have no section '{title}'.", hint))
        elif name in named:
            message = f"The section '{title}' stands twice in this question."
            problems.append(Problem(*place, "section-doubled", message, "put both texts under one heading"))
        else:
            named[name] = part
    return named, problems


def _body(part: Part) -> tuple[Kind | None, object | None, tuple[Block, ...], list[Problem]]:
    """The kind, its body and the prompt; of a line that is broken or nearly an option nothing that follows is wrong."""
    if not part.broken.isdisjoint(range(part.section.heading.line, part.section.end + 1)):
        return None, None, (), []
    if near := choice.near_misses(part):
        return None, None, (), near
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
    place = (part.file, *part.places["order"])
    if kind is not choice:
        return [Problem(*place, "attribute-unknown", "Only options have an order.", "delete it")]
    return [Problem(*place, "attribute-value", f"'order' cannot be '{order}'.", "write order=fixed, or delete it")]


def _no_answer(part: Part) -> list[Problem]:
    if "answer" not in part.parts:
        message = "This question has neither options nor an answer."
        hint = "write a list of `- [ ] ` and `- [x] ` options, or `### Answer` and a bullet list"
        return [Problem(part.file, part.section.heading.line, 1, "answer-missing", message, hint)]
    section = part.parts["answer"]
    if not section.blocks:
        message, hint = "This answer is empty.", "write a bullet list of the points to listen for"
        return [Problem(part.file, section.heading.line, 1, "answer-empty", message, hint)]
    message = "An answer in this form is not read."
    hint = "write a bullet list of the points to listen for, or one paragraph"
    return [Problem(part.file, section.blocks[0].line, 1, "answer-form", message, hint)]
