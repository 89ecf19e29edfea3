"""The lesson plan to read, and the brief before a lesson."""

from stickback.amount import many, percent
from stickback.course.course import Course, Lesson, Topic
from stickback.reading import text as texts
from stickback.services.brief import Brief
from stickback.services.note import Note
from stickback.words import terms

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
