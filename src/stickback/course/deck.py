"""Deck: a Markdown file of questions about topics of the lesson plan."""

from dataclasses import replace

from stickback.course import front, question
from stickback.course.course import Deck
from stickback.course.question import NO_TOPIC, SECTIONS
from stickback.kinds.table import KINDS
from stickback.reading import attribute
from stickback.reading.document import Document
from stickback.reading.markup import Block, Section, outside, sections
from stickback.reading.problem import At, Problem

KEYS = {"topic": "the topic of the questions that do not say their own"}  # of the front matter
MOST = 2000  # questions a file


def read(document: Document) -> tuple[Deck, list[Problem]]:
    """The questions that can be asked, and the problems of the file."""
    problems = front.known_keys(document, KEYS)
    # A key that is not known may be a misspelt `topic`: then no question lacks its topic.
    topic = front.text(document, "topic") or (None if problems or document.front_broken else "")
    blocks, found, moved = _leveled(document)
    problems += found
    _, parts = sections(blocks, 2)
    problems += _amiss(document, blocks, parts)
    references = [each for each in document.references if each.kind == "value"]
    questions, left_out, untold = [], [], list[Problem]()
    for section in parts[:MOST]:
        one, found = question.read(document, section, topic, references)
        problems += [each for each in found if section.heading.line not in moved and each.code != NO_TOPIC]
        untold += [each for each in found if each.code == NO_TOPIC]
        if one is not None:
            questions.append(one)
        else:
            left_out.append(section.heading.text)
    problems += untold if len(untold) < 2 else [_untold(document, len(untold))]
    about = {key: front.text(document, key) for key in sorted(front.META) if front.text(document, key)}
    title = about.get("title", document.file)
    return Deck(document.file, title, about, tuple(questions), tuple(left_out)), problems


def _untold(document: Document, many: int) -> Problem:
    """One problem for a deck without a topic, whose questions do not say their own."""
    message = f"This deck does not say its topic, nor do {many} of its questions."
    hint = "add `topic: …` to its front matter, between two lines `---`"
    return Problem(At(document.file, 1, 1), NO_TOPIC, message, hint)


def _leveled(document: Document) -> tuple[tuple[Block, ...], list[Problem], set[int]]:
    """The blocks with every heading at its level, a problem for each that had another, and the lines of those."""
    blocks, problems, moved = [], [], set()
    for block in document.blocks:
        place = (document.file, block.line, 1)
        if block.level not in {0, 3} and question.section_name(block) in SECTIONS:
            message, hint = "This is a section of a question.", f"write `### {block.text.strip()}`"
            problems.append(Problem(At(*place), "section-level", message, hint))
            block = replace(block, level=3)
        elif block.level not in {0, 2} and _has_id(block, document):
            message, hint = "A question has two `#` signs.", "write `## ` and the question"
            problems.append(Problem(At(*place), "question-level", message, hint))
            moved.add(block.line)
            block = replace(block, level=2)
        blocks.append(block)
    return tuple(blocks), problems, moved


def _amiss(document: Document, blocks: tuple[Block, ...], parts: list[Section]) -> list[Problem]:
    """What is wrong with the deck as a whole: too many questions, none at all, or something that stands under none."""
    if len(parts) > MOST:
        message = f"{len(parts)} questions are more than are read from one file."
        hint = f"split the deck; the first {MOST} are read"
        return [Problem(At(document.file, parts[MOST].heading.line, 1), "deck-large", message, hint)]
    stray = _stray(document, blocks)
    if parts or stray or document.broken:
        return stray
    message, hint = "This deck has no question.", "write `## The question {#the-id}`"
    return [Problem(At(document.file, len(document.lines), 1), "deck-empty", message, hint, "warning")]


def _stray(document: Document, blocks: tuple[Block, ...]) -> list[Problem]:
    """What would be lost because it stands under no question: each heading meant as one, else the first answer."""
    problems: list[Problem] = []
    title = next((block for block in blocks if block.kind == "heading"), None)
    for block in outside(blocks, 2):
        place = (document.file, block.line, 1)
        if block.level == 1 and block is not title:
            message, hint = "A question has two `#` signs.", "write `## ` and the question"
            problems.append(Problem(At(*place), "question-level", message, hint))
        elif not problems and not document.broken and _answers(block):
            message, hint = "This stands under no question.", "write `## The question {#the-id}` above it"
            problems.append(Problem(At(*place), "question-missing", message, hint))
    return problems


def _answers(block: Block) -> bool:
    """Whether it is what an answer begins with."""
    if block.kind == "heading":
        return question.section_name(block) in SECTIONS
    return any(kind.is_answer(block) for kind in KINDS.values())


def _has_id(heading: Block, document: Document) -> bool:
    if "{" not in heading.text or question.section_name(heading).partition(" {")[0] in SECTIONS:
        return False
    _, found, problems = attribute.attributes(heading, document.lines, document.file, tail=True)
    return bool(found.id or problems)
