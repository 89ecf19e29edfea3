"""The lesson plan read: lessons hold topics; a weak topic leads back to its text there."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile

from stickback.course import front
from stickback.course.course import EMPTY, ENDINGS, Lesson, Plan, Seen, Topic
from stickback.reading import attribute
from stickback.reading.attribute import Attributes
from stickback.reading.document import Document
from stickback.reading.markup import Block, Section, outside, sections
from stickback.reading.problem import At, Problem

KEYS = {  # of the front matter, and what they say
    "id": "the course's own name: the first half of every question's name in the log",
    "ends_with": "the word for the test or sign-off at the end",
    "exam": "the school's oral, as {questions: 20, pass: 0.8}",
    "begin": "ids of the questions that a newcomer begins with, in their order",
}
LEVEL = "section-level"  # code of a topic that is not read as one, for its signs
_SEEN, _MOST_BEHIND = "errors seen", 3
PARAGRAPHS = {  # of a lesson, by the words in bold that they begin with; they stand on its card
    "Aim": "what it is for",
    "Before the flight": "what to read and to bring",
    "Flown": "what is done in the air",
    "Standard": "when it is done; overleaf, for the instructor",
    "Caution": "what must not be forgotten",
}
LESSON_ATTRIBUTES: dict[str, tuple[str, ...]] = {"beside": ("all",)}
TOPIC_ATTRIBUTES: dict[str, tuple[str, ...]] = {
    "weight": ("1", "2", "3"),
    "must": ("yes", "no"),
    "assumed": ("yes", "no"),
    "late": ("yes", "no"),
}


def read(document: Document) -> tuple[Plan, list[Problem]]:
    """The plan and the problems of its file; a lesson or topic with a problem keeps its place."""
    problems = front.known_keys(document, KEYS)
    name, found = _name(document, sure=not problems)
    title = _title(document)
    if not title and not problems:
        found += front.missing_keys(document, {"title": "Tailwheel conversion"})
    problems += found
    _, parts = sections(document.blocks, 2)
    lessons: list[Lesson] = []
    for number, section in enumerate(parts, 1):
        lesson, found = _lesson(document, section, number)
        lessons.append(lesson)
        problems += found
    topics = [topic for lesson in lessons for topic in lesson.topics]
    lost = [] if document.broken else _lost(document, topics)
    questions, share, exam_problems = _exam(document)
    ending, ending_problems = _ending(document)
    problems += [*lost, *exam_problems, *ending_problems]
    about = {key: front.text(document, key) for key in sorted(front.META) if front.text(document, key)}
    return Plan(
        id=name,
        title=title or EMPTY.title,
        ends_with=ending,
        exam_questions=questions,
        exam_pass=share,
        intro=_front_page(document.blocks),
        lessons=tuple(lessons),
        about=about,
        whole=not lost and not document.broken and _distinct(topics) and LEVEL not in {each.code for each in problems},
        begin=tuple(front.text(document, "begin").split()),
    ), problems


def _title(document: Document) -> str:
    """The title of the course: of the front matter, else the first heading over the whole."""
    heads = (block.text.strip() for block in document.blocks if block.level == 1)
    return front.text(document, "title") or next(heads, "")


def _front_page(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """What stands before the first lesson, without the title over it."""
    before = takewhile(lambda block: block.kind != "heading" or block.level != 2, blocks)
    return tuple(block for block in before if block.kind != "heading" or block.level > 2)


def _distinct(topics: Sequence[Topic]) -> bool:
    ids = {topic.id for topic in topics}
    return len(ids) == len(topics) and all(map(front.is_id, ids))


def _lost(document: Document, topics: Sequence[Topic]) -> list[Problem]:
    """Topics that stand under no lesson; or that there is none at all."""
    found = [
        Problem(
            At(document.file, line, 1), "plan-place", "A topic must stand under a lesson.", "put a `## Lesson` above it"
        )
        for line in _strays(document.blocks)
    ]
    if found or topics:
        return found
    message = "The lesson plan has no topic."
    hint = "write `## Lesson 1: … {#id}` and below it `### Topic {#id weight=2}`"
    return [Problem(At(document.file, len(document.lines), 1), "plan-empty", message, hint)]


def _strays(blocks: tuple[Block, ...]) -> list[int]:
    """The line of the first topic without a lesson under each higher heading; those behind it lack the same lesson."""
    first: dict[int, int] = {}
    above = 0
    for block in outside(blocks, 2):
        if block.kind == "heading" and block.level == 1:
            above = block.line
        elif block.kind == "heading" and block.level == 3:
            first.setdefault(above, block.line)
    return list(first.values())


def _name(document: Document, *, sure: bool) -> tuple[str, list[Problem]]:
    """The id of the course; where a key was misspelt it is not missed."""
    name = front.text(document, "id")
    if "id" not in document.front.data:
        return EMPTY.id, front.missing_keys(document, {"id": "tailwheel"}) if sure else []
    if front.slug(name) == name:
        return name, []
    hint = f"lower-case letters, digits and hyphens: {front.slug(name)}"
    return name or EMPTY.id, [front.wrong_value(document, ("id",), hint)]


def _ending(document: Document) -> tuple[str, list[Problem]]:
    ending = front.text(document, "ends_with") or ENDINGS[0]
    if ending in ENDINGS:
        return ending, []
    return ENDINGS[0], [front.wrong_value(document, ("ends_with",), f"one of: {', '.join(ENDINGS)}")]


def _exam(document: Document) -> tuple[int, float, list[Problem]]:
    """Number of questions and pass mark of the school's oral."""
    if "exam" not in document.front.data:
        return EMPTY.exam_questions, EMPTY.exam_pass, []
    questions, share = (front.number(front.text(document, "exam", key)) for key in ("questions", "pass"))
    if questions.is_integer() and 1 <= questions <= 200 and 0 < share <= 1:
        return int(questions), share, []
    wrong = front.wrong_value(document, ("exam",), "{questions: 20, pass: 0.8}")
    return EMPTY.exam_questions, EMPTY.exam_pass, [wrong]


def _lesson(document: Document, section: Section, number: int) -> tuple[Lesson, list[Problem]]:
    title, found, problems = _heading(document, section, LESSON_ATTRIBUTES)
    own, parts = sections(section.blocks, 3)
    blocks, errors, wrong = _errors(document, own)
    problems += wrong
    topics: list[Topic] = []
    for part in parts:
        topic, more, wrong = _topic(document, part, found.id)
        topics.append(topic)
        errors += more
        problems += wrong
    return Lesson(
        id=found.id,
        number=number,
        title=title,
        blocks=blocks,
        topics=tuple(topics),
        errors=tuple(errors),
        line=section.heading.line,
        beside="beside" in found.values,
    ), problems


def _topic(document: Document, section: Section, lesson: str) -> tuple[Topic, list[Seen], list[Problem]]:
    title, found, problems = _heading(document, section, TOPIC_ATTRIBUTES)
    blocks, errors, wrong = _errors(document, section.blocks)
    weight = found.values.get("weight", "1")
    topic = Topic(
        id=found.id,
        lesson=lesson,
        title=title,
        weight=int(weight) if weight in TOPIC_ATTRIBUTES["weight"] else 1,
        must=found.values.get("must") == "yes",
        assumed=found.values.get("assumed") == "yes",
        blocks=blocks,
        file=document.file,
        line=section.heading.line,
        late=found.values.get("late") == "yes",
    )
    return topic, errors, [*problems, *wrong]


def _heading(
    document: Document, section: Section, allowed: dict[str, tuple[str, ...]]
) -> tuple[str, Attributes, list[Problem]]:
    title, found, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    if not problems:
        problems = front.wrong_id(document, section, found, title)
        problems += front.wrong_attributes(document, found, allowed)
    return title, found, problems


def _errors(document: Document, blocks: tuple[Block, ...]) -> tuple[tuple[Block, ...], list[Seen], list[Problem]]:
    """The blocks without the list of errors seen, those errors, and the problems in it."""
    rest, parts = sections(blocks, 4)
    listed = [part for part in parts if part.heading.text.strip().casefold() == _SEEN]
    problems = [found for part in parts if part not in listed for found in _misread(document, part)]
    if not listed:
        return blocks, [], problems
    errors: list[Seen] = []
    for item in _items(listed):
        seen, wrong = _seen(document, item)
        errors += [seen] if seen else []
        problems += wrong
    others = tuple(block for part in parts if part not in listed for block in (part.heading, *part.blocks))
    return (*rest, *others), errors, problems


def _misread(document: Document, part: Section) -> Iterator[Problem]:
    """A heading with four signs that was meant as the list of errors, or as a topic."""
    title, at = part.heading.text.strip(), At(document.file, part.heading.line, 1)
    if front.nearest((_SEEN,))(title.strip("*_: ").casefold()):
        message = "This is meant as the list of errors seen, and is not read as such."
        yield Problem(at, "error-form", message, "write `#### Errors seen`")
    elif attribute.BRACES.search(title):
        message, hint = "A topic has three `#` signs, a lesson two.", "write `### ` and the title"
        yield Problem(at, LEVEL, message, hint)


def _items(parts: Iterable[Section]) -> list[Block]:
    """The items of all bullet lists in some sections."""
    return [item for part in parts for block in part.blocks if block.kind == "bullets" for item in block.children]


def _seen(document: Document, item: Block) -> tuple[Seen | None, list[Problem]]:
    first = item.children[0] if item.children and item.children[0].kind == "paragraph" else item
    text, found, wrong = attribute.attributes(first, document.lines, document.file, tail=False)
    if not wrong and not (found.id and found.values.get("topics", "").split()):
        message = "An error seen must say its id and the topics behind it."
        hint = 'begin it with `{#the-id topics="topic-id"}`'
        wrong = [Problem(At(document.file, item.line, 1), "error-form", message, hint)]
    topics = found.values.get("topics", "").split()
    if not wrong and len(topics) > _MOST_BEHIND:
        message, hint = f"{len(topics)} topics stand behind one error.", f"name the {_MOST_BEHIND} that matter most"
        wrong = [Problem(At(document.file, *found.places["topics"]), "error-form", message, hint)]
    if wrong:
        return None, wrong
    return Seen(found.id, text, tuple(topics), item.line, found.places), []
