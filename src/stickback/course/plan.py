"""Lesson plan: lessons hold topics; a weak topic leads back to its text here."""

from dataclasses import dataclass

from stickback import attribute
from stickback.course import front
from stickback.document import Document
from stickback.markup import Block, Section, sections
from stickback.problem import Problem

ENDINGS = ("checkride", "endorsement", "differences", "club check")

_LESSON_ATTRIBUTES: dict[str, tuple[str, ...]] = {"beside": ("all",)}
_TOPIC_ATTRIBUTES: dict[str, tuple[str, ...]] = {
    "weight": ("1", "2", "3"),
    "must": ("yes", "no"),
    "assumed": ("yes", "no"),
}


@dataclass(frozen=True)
class Topic:
    """One section of the lesson plan.

    Args:
        weight: its share in the school's oral, 1 to 3.
        must: a matter of safety.
        assumed: a licensed pilot should know it already.
    """

    id: str
    lesson: str
    title: str
    weight: int
    must: bool
    assumed: bool
    blocks: tuple[Block, ...]
    file: str
    line: int


@dataclass(frozen=True)
class Seen:
    """An error that is seen in the aeroplane, and the topics behind it."""

    id: str
    text: str
    topics: tuple[str, ...]
    line: int
    places: dict[str, int]


@dataclass(frozen=True)
class Lesson:
    """One lesson; `number` is its place in the plan, from 1; one taught `beside` the others is open from the start."""

    id: str
    number: int
    title: str
    blocks: tuple[Block, ...]
    topics: tuple[Topic, ...]
    errors: tuple[Seen, ...]
    line: int
    beside: bool


@dataclass(frozen=True)
class Plan:
    """The lesson plan.

    Args:
        id: of the course; the first half of every question's name in the log.
        ends_with: the word for the test or sign-off at the end.
        exam_questions, exam_pass: of this school's own oral; no authority sets them.
        about: title, revision and the like, as typed.
    """

    id: str
    title: str
    ends_with: str
    exam_questions: int
    exam_pass: float
    intro: tuple[Block, ...]
    lessons: tuple[Lesson, ...]
    about: dict[str, str]

    @property
    def topics(self) -> dict[str, Topic]:
        """All topics by id, in plan order."""
        return {topic.id: topic for lesson in self.lessons for topic in lesson.topics}


EMPTY = Plan("course", "Course without a lesson plan", ENDINGS[0], 20, 0.8, (), (), {})


def read(document: Document) -> tuple[Plan, list[Problem]]:
    """The plan and the problems of its file; a lesson or topic with a problem keeps its place."""
    problems = front.known_keys(document, ("id", "ends_with", "exam"))
    intro, parts = sections(document.blocks, 2)
    lessons: list[Lesson] = []
    for number, section in enumerate(parts, 1):
        lesson, found = _lesson(document, section, number)
        lessons.append(lesson)
        problems += found
    stray = [block for block in intro if block.kind == "heading" and block.level == 3]
    for block in stray:
        message = "A topic must stand under a lesson."
        problems.append(
            Problem(document.file, block.line, 1, "plan-place", message, "put a `## Lesson` heading above it")
        )
    if not stray and not any(lesson.topics for lesson in lessons):
        message = "The lesson plan has no topic."
        hint = "write `## Lesson 1: … {#id}` and below it `### Topic {#id weight=2}`"
        problems.append(Problem(document.file, len(document.lines), 1, "plan-empty", message, hint))
    questions, share, found = _exam(document)
    ending, ending_problems = _ending(document)
    about = {key: front.text(document, key) for key in sorted(front.META) if front.text(document, key)}
    name, title = front.text(document, "id"), front.text(document, "title")
    problems += [*found, *ending_problems, *_name(document, name)]
    plan = Plan(name or EMPTY.id, title or EMPTY.title, ending, questions, share, intro, tuple(lessons), about)
    return plan, problems


def _name(document: Document, name: str) -> list[Problem]:
    if document.front_broken or front.slug(name) == name:
        return []
    if not name:
        return [front.missing_key(document, "id", "tailwheel")]
    return [front.wrong_value(document, ("id",), f"lower-case letters, digits and hyphens: {front.slug(name)}")]


def _ending(document: Document) -> tuple[str, list[Problem]]:
    ending = front.text(document, "ends_with") or ENDINGS[0]
    if ending in ENDINGS:
        return ending, []
    return ENDINGS[0], [front.wrong_value(document, ("ends_with",), f"one of: {', '.join(ENDINGS)}")]


def _exam(document: Document) -> tuple[int, float, list[Problem]]:
    """Number of questions and pass mark of the school's oral."""
    exam = document.front.data.get("exam")
    if exam is None:
        return EMPTY.exam_questions, EMPTY.exam_pass, []
    try:
        assert isinstance(exam, dict)  # noqa: S101 - turned into a problem below
        questions, share = int(exam["questions"]), float(exam["pass"])
        assert 1 <= questions <= 200  # noqa: S101
        assert 0 < share <= 1  # noqa: S101
    except (AssertionError, KeyError, TypeError, ValueError):
        wrong = front.wrong_value(document, ("exam",), "{questions: 20, pass: 0.8}")
        return EMPTY.exam_questions, EMPTY.exam_pass, [wrong]
    return questions, share, []


def _lesson(document: Document, section: Section, number: int) -> tuple[Lesson, list[Problem]]:
    title, found, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    if not problems:
        problems = front.wrong_id(document, section, found, title)
        problems += front.wrong_attributes(document, section.heading.line, found, _LESSON_ATTRIBUTES)
    own, parts = sections(section.blocks, 3)
    errors: list[Seen] = []
    topics: list[Topic] = []
    blocks, own_errors, own_problems = _errors(document, own)
    errors += own_errors
    problems += own_problems
    for part in parts:
        topic, topic_errors, topic_problems = _topic(document, part, found.id)
        topics.append(topic)
        errors += topic_errors
        problems += topic_problems
    line = section.heading.line
    return Lesson(
        found.id, number, title, blocks, tuple(topics), tuple(errors), line, "beside" in found.values
    ), problems


def _topic(document: Document, section: Section, lesson: str) -> tuple[Topic, list[Seen], list[Problem]]:
    title, found, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    if not problems:
        problems = front.wrong_id(document, section, found, title)
        problems += front.wrong_attributes(document, section.heading.line, found, _TOPIC_ATTRIBUTES)
    blocks, errors, error_problems = _errors(document, section.blocks)
    weight = found.values.get("weight", "1")
    topic = Topic(
        found.id,
        lesson,
        title,
        int(weight) if weight in {"1", "2", "3"} else 1,
        found.values.get("must") == "yes",
        found.values.get("assumed") == "yes",
        blocks,
        document.file,
        section.heading.line,
    )
    return topic, errors, [*problems, *error_problems]


def _errors(document: Document, blocks: tuple[Block, ...]) -> tuple[tuple[Block, ...], list[Seen], list[Problem]]:
    """The blocks without the list of errors seen, those errors, and the problems in it."""
    rest, parts = sections(blocks, 4)
    listed = [part for part in parts if part.heading.text.strip().casefold() == "errors seen"]
    if not listed:
        return blocks, [], []
    errors: list[Seen] = []
    problems: list[Problem] = []
    for item in (
        item for part in listed for block in part.blocks if block.kind == "bullets" for item in block.children
    ):
        first = item.children[0] if item.children else item
        text, found, wrong = attribute.attributes(first, document.lines, document.file, tail=False)
        if not wrong and not (found.id and found.values.get("topics")):
            message = "An error seen must say its id and the topics behind it."
            hint = 'begin it with `{#the-id topics="topic-id"}`'
            wrong = [Problem(document.file, item.line, 1, "error-form", message, hint)]
        problems += wrong
        if not wrong:
            errors.append(Seen(found.id, text, tuple(found.values["topics"].split()), item.line, found.places))
    others = tuple(block for part in parts if part not in listed for block in (part.heading, *part.blocks))
    return (*rest, *others), errors, problems
