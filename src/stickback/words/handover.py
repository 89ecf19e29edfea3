"""One page for a new instructor: what is known and weak, what was flown, what stands open, when each was last."""

import math
from collections.abc import Iterator

from stickback import clock
from stickback.amount import many, percent
from stickback.course.asking import titled
from stickback.course.course import Lesson
from stickback.export.document import Document, Facts, Grid, Heading, Items, Part, Text, Title
from stickback.readiness.forecast import MIDDLE
from stickback.readiness.statement import NO_ESTIMATE
from stickback.services.readiness import Handover
from stickback.words import flown as flights
from stickback.words import lesson as lessons
from stickback.words import oral, terms
from stickback.words import page as pages
from stickback.words import readiness as words

MOST = 5  # of each list on the one page; how many more there are is said
FACTS = "Facts from the answers and records of this student; what follows from them is the instructor's to judge."


def document(found: Handover) -> Document:
    """The page."""
    name = found.page.statement.student.name
    made = found.report
    return Document(title=f"{name}: handover", day=made.day, parts=tuple(_parts(found)), foot=pages.foot(made))


def _parts(found: Handover) -> Iterator[Part]:
    one, course = found.page.statement, found.report.course
    date = words.when(one, found.page.today, terms.end(course)) if found.page.days is not None else "no date set"
    yield Title(f"Handover: {one.student.name}", f"{one.sheet.name} · {course.plan.title} · {date}")
    yield Facts(tuple(_facts(found)))
    yield Heading("Lesson by lesson")
    head = ("Lesson", "Known", "Seen", "Weakest topic", "Last flown")
    yield Grid(head, tuple(_lesson(found, each) for each in course.plan.lessons), frozenset({1, 2}), 3)
    yield from _open(found)
    yield from _flown(found)
    yield from _notes(found)
    yield Text(f"{FACTS} {words.CAUTION}", "small")


def _facts(found: Handover) -> Iterator[tuple[str, str]]:
    one, page = found.page.statement, found.page
    last, day = int(one.answered_on.max(initial=-1)), page.today
    yield "Theory", f"{one.verdict}; {one.seen.sum()} of {one.questions.sum()} questions answered"
    if not math.isnan(one.known.middle) and one.verdict != NO_ESTIMATE:
        yield "Known", f"{percent(one.known.middle)} ({words.span(one.known)}) on {terms.day(one.date)}"
    yield "Last answer", _ago(last, found) if last >= 0 else "none"
    if page.flights:
        ends = ", ".join(_short(each) for each in flights.since(page.flights, day))
        flown = f"{many(len(page.flights), 'lesson')} recorded, the last {_ago(page.flights[-1].day, found)}"
        yield "Flown", f"{flown}{f'; last {ends}' if ends else ''}"
    else:
        yield "Flown", "no lesson recorded"
    if page.orals:
        yield "Last oral", f"{_ago(page.orals[-1].day, found)}, by {page.orals[-1].by}: {oral.outcome(page.orals[-1])}"


def _ago(number: int, found: Handover) -> str:
    day = clock.day_date(number)
    return f"{terms.day(day)} ({flights.ago((found.page.today - day).days)})"


def _short(fact: str) -> str:
    """A fact of the last landing without its first word and stop: "wheel landing 3 days ago"."""
    return fact.removeprefix("Last ").removesuffix(".")


def _lesson(found: Handover, lesson: Lesson) -> tuple[str, ...]:
    """A lesson: the mean over its questions, the topic that stands lowest, and when it was last flown."""
    one, place = found.page.statement, found.report.course.plan.place
    topics = [(place[topic.id], topic) for topic in lesson.topics if one.questions[place[topic.id]]]
    asked, seen = (sum(int(values[at]) for at, _ in topics) for values in (one.questions, one.seen))
    known = sum(float(one.topics[at, MIDDLE]) * int(one.questions[at]) for at, _ in topics)
    weak = min(topics, key=lambda each: float(one.topics[each[0], MIDDLE]), default=None)
    flown = [flight.day for flight in found.page.flights if flight.lesson == lesson.id]
    return (
        lesson.title,
        percent(known / asked) if asked and seen else "–",
        f"{seen} of {asked}",
        f"{weak[1].title}, {percent(float(one.topics[weak[0], MIDDLE]))}" if weak and seen else "–",
        clock.day_date(flown[-1]).isoformat() if flown else "–",
    )


def _open(found: Handover) -> Iterator[Part]:
    """Errors open, and what was answered wrong and sure."""
    course, page = found.report.course, found.page
    sheet = page.statement.sheet
    if page.errors:
        yield Heading(f"Open errors seen in flight: {len(page.errors)}")
        yield _some([flights.error(course, each, sheet.values) for each in reversed(page.errors)])
    if page.wrong:
        yield Heading(f"Sure, but wrong: {len(page.wrong)}")
        yield _some([f"{titled(each, sheet)} ({terms.topic(course, each.topic)})" for each in page.wrong])


def _flown(found: Handover) -> Iterator[Part]:
    """The last lessons flown."""
    course, all_of_them = found.report.course, found.page.flights
    if all_of_them:
        yield Heading("Last lessons flown")
        last = tuple(reversed(all_of_them))[:MOST]
        head = ("Day", "Lesson", "How", "Standard", "Record", "Note")
        yield Grid(head, tuple(flights.row(course, each) for each in last), widest=5).filled()


def _notes(found: Handover) -> Iterator[Part]:
    """What the student wrote down, topic by topic."""
    if found.notes:
        yield Heading("The student's own notes")
        yield _some([f"{each.topic.title}: {lessons.note(each)}" for each in found.notes])


def _some(items: list[str]) -> Items:
    """The first of a list, and how many more there are."""
    more = [f"and {len(items) - MOST} more, in the student's report"] if len(items) > MOST else []
    return Items((*items[:MOST], *more))
