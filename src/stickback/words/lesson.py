"""The lesson plan to read, the brief before a lesson, and its card to print."""

from collections.abc import Iterator
from datetime import date

from stickback.amount import many, percent
from stickback.course.course import Course, Lesson, Topic
from stickback.export.document import Document, Facts, Heading, Items, Part, Text, Title
from stickback.reading import text as texts
from stickback.reading.text import Paragraph, Span
from stickback.services.brief import Brief, Card
from stickback.services.note import Note
from stickback.words import sitting, terms

CAUTION = "The flight manual of the aeroplane you fly is the only source of its numbers."


def topics(found: Lesson) -> list[tuple[str, str]]:
    """The topics of a lesson, each behind what is typed for it."""
    return [(topic.id, terms.must(topic.title, is_must=topic.must)) for topic in found.topics]


def place(course: Course, found: Topic) -> str:
    """Where a topic stands and how much it counts."""
    number = next(each.number for each in course.plan.lessons if each.id == found.lesson)
    must = "a must: a matter of safety" if found.must else ""
    return " · ".join(part for part in (f"Lesson {number}", terms.counted(found.weight), must) if part)


def errors(course: Course, found: Lesson, values: dict[str, str]) -> list[tuple[str, str]]:
    """The errors seen of a lesson; behind each its id, and the topics by their titles."""
    return [
        (texts.line(seen.text, values), f"{seen.id} → {', '.join(terms.topic(course, name) for name in seen.topics)}")
        for seen in found.errors
    ]


def noted(topic: Topic) -> str:
    """That a note was written, and where it is shown."""
    return f"Noted beside “{topic.title}”; `stickback lesson {topic.id}` shows it."


def taken_away(note: Note) -> str:
    """That a note is gone, and what it said."""
    return f"Taken away beside “{note.topic.title}”: {note.text}"


def note(one: Note) -> str:
    """A note with its day."""
    return f"{one.text} ({terms.day(one.day)})"


def standing(found: Brief, topic: Topic) -> str:
    """How well the questions of a topic are known."""
    known = [share for question, share in found.questions if question.topic == topic.id]
    seen = [share for share in known if share is not None]
    mean = percent(sum(seen) / len(seen)) if seen else "unseen"
    return f"{topic.title}: {many(len(known), 'question')}, {len(seen)} seen, known {mean}"


def card(course: Course, found: Card, day: date) -> Document:
    """The card of a lesson: in front for the student, overleaf for the instructor."""
    about = f"{found.sheet.name} · {course.plan.title}"
    parts = (*_front(found, about), *_overleaf(course, found, about))
    foot = f"{course.plan.title} ({course.revision[:12]}) · {terms.program()} · made on {terms.day(day)}"
    return Document(title=f"{found.lesson.title}: card", day=day, parts=parts, foot=foot)


def _front(found: Card, about: str) -> Iterator[Part]:
    said = _labelled(found)
    yield Title(found.lesson.title, about)
    for label in ("Aim", "Before the flight", "Flown"):
        if label in said:
            yield Heading(label)
            yield Text(said[label])
    yield Heading(f"This aeroplane: {found.sheet.name}")
    yield Facts(tuple((name[:1].upper() + name[1:], value) for name, value in found.numbers))
    yield Text(CAUTION, "small")
    if found.aloud:
        yield Heading("Say aloud")
        yield Items(tuple(texts.line(one.question.title, one.values) for one, _ in found.aloud), "numbers")
    if "Caution" in said:
        yield Text(f"Caution. {said['Caution']}", "strong")


def _overleaf(course: Course, found: Card, about: str) -> Iterator[Part]:
    said = _labelled(found)
    yield Title("For the instructor", f"{found.lesson.title} · {about}")
    if "Standard" in said:
        yield Heading("Standard")
        yield Text(said["Standard"])
    if found.lesson.errors:
        yield Heading("Errors seen")
        yield Items(
            tuple(
                f"{text}  ({name.partition(' ')[0]})" for text, name in errors(course, found.lesson, found.sheet.values)
            ),
            "boxes",
        )
    for number, (one, points) in enumerate(found.aloud, 1):
        yield Heading(f"{number}. {texts.line(one.question.title, one.values)}")
        yield Items(tuple(sitting.listened(each, one.values) for each in points))


def _labelled(found: Card) -> dict[str, str]:
    """The paragraphs of a lesson that begin with a word in bold, by it: the aim, the standard."""
    said = {}
    for node in texts.tree(found.lesson.blocks, found.sheet.values):
        if isinstance(node, Paragraph) and node.spans and node.spans[0].bold:
            first, *rest = node.spans
            said[first.text.strip(" .:")] = _plain(rest)
    return said


def _plain(spans: list[Span]) -> str:
    return " ".join("".join(span.text for span in spans if not span.note).split())
