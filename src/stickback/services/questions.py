"""How the questions of a course behave in the log of all who study here, and what was said of them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stickback.course.course import Course, Question
from stickback.memory.entry import Entry
from stickback.readiness import items
from stickback.readiness.items import Behaviour, Graded
from stickback.store import log
from stickback.store.engine import Database


@dataclass(frozen=True)
class Behaved:
    """A question of the course, how it behaved, and the notes that students left at it."""

    question: Question
    item: Behaviour | None
    notes: tuple[str, ...]


def behaved(course: Course, database: Database, student: str | None = None) -> list[Behaved]:
    """Every question of the course that was answered or noted, in the order of the plan.

    Args:
        student: whose answers alone; None for everyone's.
    """
    entries = list(log.entries_of(database, student))
    undone = {entry.voids for _, entry in entries if entry.what == "void"}
    standing = [(name, entry) for name, entry in entries if entry.id not in undone]
    questions = {course.log_name(question): question for question in course.questions.values()}
    rights = {name: _rights(question) for name, question in questions.items()}
    found = {item.question: item for item in items.items(_answers(standing, questions), rights)}
    notes = _notes(standing)
    return [
        Behaved(question, found.get(name), tuple(notes.get(name, ())))
        for name, question in questions.items()
        if name in found or name in notes
    ]


def notable(found: Iterable[Behaved]) -> list[Behaved]:
    """Those that an instructor should look at: something is advised, or a student left a note."""
    return [one for one in found if one.notes or (one.item and one.item.advice)]


def _rights(question: Question) -> tuple[bool, ...]:
    """Of a question with options whether each is right, in the order of the file; of any other nothing."""
    body = question.body
    if not body.show(0, {}).picks:
        return ()
    right = body.chosen(0, body.to_log(0, body.simulate(0, {}, right=True)))
    return tuple(place in right for place in range(1, len(body.texts()) + 1))


def _answers(entries: Iterable[tuple[str, Entry]], questions: dict[str, Question]) -> Iterator[Graded]:
    """The first answer of each student to each question on each day; the others are practice."""
    met: set[tuple[str, str]] = set()
    last: dict[tuple[str, str, str], object] = {}
    for student, entry in entries:
        if entry.what != "answer" or entry.question not in questions or entry.right is None:
            continue
        history = (student, entry.question, entry.variant or "")
        if last.get(history) != entry.day:
            yield Graded(
                student=student,
                question=entry.question,
                first=(student, entry.question) not in met,
                right=entry.right,
                sure=entry.confidence == "sure",
                seconds=entry.seconds,
                revision=entry.revision or "",
                options=_chosen(questions[entry.question], entry),
            )
        last[history] = entry.day
        met.add((student, entry.question))


def _chosen(question: Question, entry: Entry) -> tuple[int, ...]:
    """The places of the options chosen; of a question that read otherwise then, those that still stand there."""
    same = entry.revision == question.revision
    return question.body.chosen(entry.seed if same else None, entry.given or "")


def _notes(entries: Iterable[tuple[str, Entry]]) -> dict[str, list[str]]:
    notes: dict[str, list[str]] = defaultdict(list)
    for _, entry in entries:
        if entry.what == "flag" and entry.question:
            notes[entry.question].append(entry.given or "flagged")
    return notes
