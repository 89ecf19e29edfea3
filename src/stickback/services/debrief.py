"""The debrief after a flight: what went wrong, and the topics behind it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from stickback import clock
from stickback.course import asking, named
from stickback.course.asking import in_words, titled
from stickback.course.course import Question
from stickback.kinds.shown import Compared
from stickback.memory.entry import Entry
from stickback.reading import text as texts
from stickback.services.desk import Desk
from stickback.store import log
from stickback.study import debrief as studied
from stickback.study.debrief import Weak
from stickback.study.flown import FlownError


@dataclass(frozen=True)
class Missed:
    """A question answered wrong today.

    Args:
        title: with the values it was asked with.
        compared: the answer beside the right one, under `values`; the answer by what options say.
        aeroplane: the one it was about, where another is flown now; else empty.
    """

    question: Question
    title: str
    values: Mapping[str, str]
    compared: Compared
    aeroplane: str = ""


@dataclass(frozen=True)
class Debrief:
    """What went wrong and where to read it up.

    Args:
        missed: today's wrong answers, however sure they were, in the order they were given.
    """

    missed: list[Missed]
    weak: list[Weak]
    misbeliefs: list[Question]
    errors: list[FlownError]

    @property
    def before(self) -> list[Question]:
        """The misbeliefs of which today's wrong answers do not tell already."""
        told = {one.question.id for one in self.missed}
        return [question for question in self.misbeliefs if question.id not in told]


def debrief(desk: Desk, name: str | None) -> Debrief:
    """The weak topics, open misbeliefs and open errors; of one lesson when that is named.

    Errors: Refused when the plan does not have the lesson.
    """
    desk, plan = desk.so_far, desk.course.plan
    topics = {topic.id for topic in named.lesson(desk.course, name).topics} if name else set(plan.topics)
    found = [one for one in weak(desk) if one.topic.id in topics]
    wrong = [desk.questions[history] for history in desk.misbeliefs]
    errors = [error for error in desk.flown_errors if topics & set(error.topics)]
    missed = [one for one in _missed(desk) if one.question.topic in topics]
    return Debrief(missed, found, [question for question in wrong if question.topic in topics], errors)


def weak(desk: Desk) -> list[Weak]:
    """The weak topics of today, worst first."""
    errors = {error.error: error.topics for error in desk.flown_errors}
    topics = desk.course.plan.topics.values()
    return studied.weak(topics, desk.grasp(desk.number), desk.student.target, desk.misbeliefs, errors)


def _missed(desk: Desk) -> Iterator[Missed]:
    """Each question that was answered wrong today, by its first wrong answer; what has changed since is left out."""
    seen: set[str] = set()
    for _, entry in log.entries_of(desk.database, desk.student.name, desk.day):
        name = (entry.question or "").rpartition("/")[2]
        question = desk.course.questions.get(name)
        if entry.right is not False or entry.id in desk.past.voided or name in seen:
            continue
        sheet = desk.course.sheets.get(entry.aircraft or "")
        if question is None or sheet is None or question.revision != entry.revision:
            continue
        seen.add(name)
        seed = entry.seed or 0
        values = asking.values(question, seed, sheet)
        compared = _compared(question, seed, entry, values)
        other = sheet.name if entry.variant and sheet.id != desk.sheet.id else ""
        yield Missed(question, texts.line(question.title, values), values, compared, other)


def _compared(question: Question, seed: int, entry: Entry, values: Mapping[str, str]) -> Compared:
    """The answer beside the right one, by what options say and not by the letters that they had for one asking."""
    _, compared = question.body.judge(seed, entry.given or "", values)
    return replace(compared, said=in_words(compared, values))


def as_json(desk: Desk, found: Debrief) -> dict[str, Any]:
    """The debrief as plain values; shares are 0 to 1, unrounded."""
    lessons = {lesson.id: lesson for lesson in desk.course.plan.lessons}
    return {
        "student": desk.student.name,
        "date": desk.day.isoformat(),
        "aircraft": desk.sheet.id,
        "wrong_today": [
            {
                "question": desk.course.log_name(one.question),
                "title": one.title,
                "given": one.compared.said,
                "right": [texts.line(point.text, one.values) for point in one.compared.points if not point.fails],
                "topic": one.question.topic,
            }
            for one in found.missed
        ],
        "weak": [
            {
                "topic": one.topic.id,
                "title": one.topic.title,
                "lesson": one.topic.lesson,
                "lesson_title": lessons[one.topic.lesson].title,
                "must": one.topic.must,
                "known": one.known,
                "seen": one.seen,
                "questions": one.questions,
                "rusty": one.rusty,
                "sure_but_wrong": [history[0] for history in one.misbeliefs],
                "errors": list(one.errors),
            }
            for one in found.weak
        ],
        "sure_but_wrong": [
            {"question": desk.course.log_name(question), "title": titled(question, desk.sheet), "topic": question.topic}
            for question in found.misbeliefs
        ],
        "errors": [
            {
                "error": error.error,
                "text": texts.line(desk.course.plan.errors[error.error].text, desk.sheet.values),
                "lesson": error.lesson,
                "day": clock.day_date(error.day).isoformat(),
                "topics": list(error.topics),
            }
            for error in found.errors
        ],
    }
