"""A student's page: the statement that the verdict rests on, as a document for screen, paper and browser."""

import math
from collections.abc import Iterator
from itertools import starmap

from stickback import clock
from stickback.amount import many, percent
from stickback.course.asking import titled
from stickback.course.course import Topic
from stickback.export.document import Document, Facts, Grid, Heading, Items, Part, Picture, Text, Title
from stickback.pictures import chart
from stickback.readiness.calibrate import calibration
from stickback.readiness.forecast import Band
from stickback.readiness.statement import NO_ESTIMATE, SOUND, Statement
from stickback.services.readiness import Page, Report
from stickback.words import board, oral, terms
from stickback.words import flown as flights
from stickback.words import readiness as words

_FEWEST = 30  # predictions that are shown: a judgement
MEANS = (
    "Known: the chance that a question of the course is known on the date if nothing more is studied.",
    "Pass: the chance to pass the school's own oral, whose questions are drawn by the weights of the topics.",
    "They come from the first answer of a day to each question, given alone and mostly marked by the student.",
    "A flight never raises them.",
    "Sound, borderline and not yet speak of theory. They are no licence, no sign-off and no permission to fly.",
)


def document(report: Report, *, topics: bool = True) -> Document:
    """The report as a document: the board where there are several students, then a page each.

    Args:
        topics: every topic is listed.
    """
    several = list(board.parts(report)) if len(report.pages) > 1 else []
    pages = [part for page in report.pages for part in parts(report, page, topics=topics)]
    one = report.pages[0].statement.student.name if len(report.pages) == 1 else report.course.plan.title
    return Document(title=f"{one}: readiness", day=report.day, parts=(*several, *pages), foot=foot(report))


def foot(report: Report) -> str:
    """Where the figures come from."""
    course, revision = report.course, report.course.plan.about.get("revision", "")
    parts = [
        f"{course.plan.title}{f', revision {revision}' if revision else ''} ({course.revision[:12]})",
        terms.program(),
        f"log {report.fingerprint}" if report.fingerprint else "",
        f"made on {terms.day(report.day)}",
        f"{many(len(course.left_out), 'question')} left out by a problem" if course.left_out else "",
    ]
    return " · ".join(part for part in parts if part)


def parts(report: Report, page: Page, *, topics: bool) -> Iterator[Part]:
    """One student's page."""
    course, one = report.course, page.statement
    yield Title(one.student.name, f"{one.sheet.name} · {words.when(one, page.today, terms.end(course))}")
    yield from _verdict(report, page)
    yield from _obstacles(report, one)
    yield from _outlook(one)
    yield from _weakest(report, one)
    if topics:
        yield from _topics(report, one)
    yield from _wrong(report, page)
    yield from _flown(report, page)
    yield from _orals(page)
    yield from _calibration(one)
    yield from flights.sign_off(terms.end(course), one.student.phraseology, page.flights)
    yield Heading("What the figures mean")
    yield Items((*MEANS, words.CAUTION))


def _verdict(report: Report, page: Page) -> Iterator[Part]:
    one, exam = page.statement, report.course.plan
    if math.isnan(one.known.middle):
        yield Text("No question of the course applies to this aeroplane.", "strong")
        return
    if not one.seen.any():
        unseen = many(int(one.questions.sum()), "question is", "questions are")
        yield Text(f"Nothing answered yet; {unseen} unseen.", "strong")
    else:
        yield Text(f"Verdict on theory: {one.verdict}", "strong")
        yield Facts(tuple(_facts(one)))
        oral = f"{exam.exam_questions} questions, {percent(exam.exam_pass)} to pass"
        yield Text(f"The oral is this school's own: {oral}. {words.BAND}", "small")
    yield Text(f"Next: {words.next_step(report.course, page)}.")


def _facts(one: Statement) -> Iterator[tuple[str, str]]:
    yield "Known on the day", f"{percent(one.known.middle)} ({words.span(one.known)})"
    yield (
        "Answered",
        f"{one.seen.sum()} of {one.questions.sum()} questions, {many(one.answers, 'first answer')} of a day",
    )
    if one.misbeliefs.any():
        yield "Sure but wrong", many(int(one.misbeliefs.sum()), "question")
    said = (
        ("Pass, if you sat it today", one.pass_today),
        ("Pass on the day, without further study", one.pass_chance),
        ("Pass on the day, if you keep to the plan", one.if_kept.pass_chance if one.if_kept else None),
    )
    for name, band in said:
        if band is not None:
            yield name, words.chance(band, one.verdict)
    if one.if_kept is not None:
        yield "Plan", f"{words.plan(one.if_kept.short_by)} with {terms.minutes(one.student.minutes)}"


def _obstacles(report: Report, one: Statement) -> Iterator[Part]:
    if one.obstacles:
        yield Heading("In the way of an estimate" if one.verdict == NO_ESTIMATE else f"In the way of {SOUND}")
        yield Items(tuple(words.obstacle(report.course, each) for each in one.obstacles))


def _outlook(one: Statement) -> Iterator[Part]:
    """What is known on the way to the date when the plan is kept."""
    if one.if_kept is None or not one.if_kept.way:
        return
    readings = [chart.Reading(terms.short_day(clock.day_date(day)), *known) for day, known in one.if_kept.way]
    first, last = readings[0], readings[-1]
    told = f"{percent(first.middle)} known on {first.name}, {percent(last.middle)} on {last.name}"
    yield Heading("Outlook, if the plan is kept")
    yield Picture(chart.known(f"Known with {terms.minutes(one.student.minutes)}", readings), told)
    yield Text(f"{told}.", "small")


def _weakest(report: Report, one: Statement) -> Iterator[Part]:
    if one.seen.any():
        yield Heading("Weakest")
        yield Items(tuple(words.weakest(report.course, one)))


def _topics(report: Report, one: Statement) -> Iterator[Part]:
    """Must topics first, each with a bar."""
    rows = [(at, topic) for at, topic in enumerate(report.course.plan.topics.values()) if one.questions[at]]
    for name, found in (
        ("Must topics", [each for each in rows if each[1].must]),
        ("Other topics", [each for each in rows if not each[1].must]),
    ):
        if found:
            yield Heading(name)
            head = ("Topic", "", "Known", "Range", "Seen", "Last answer")
            yield Grid(head, tuple(_topic(one, *each) for each in found), frozenset({2, 3, 4}))


def _topic(one: Statement, at: int, topic: Topic) -> tuple[str | Picture, ...]:
    known = Band(*one.topics[at].tolist())
    last = int(one.answered_on[at])
    day = "never" if last < 0 else clock.day_date(last).isoformat()
    drawn = Picture(chart.bar(*known), f"known {percent(known.middle)}")
    seen = f"{one.seen[at]} of {one.questions[at]}"
    return topic.title, drawn, percent(known.middle), words.span(known), seen, day


def _wrong(report: Report, page: Page) -> Iterator[Part]:
    if not page.wrong:
        return
    yield Heading("Sure, but wrong")
    course, sheet = report.course, page.statement.sheet
    topics = course.plan.topics
    yield Grid(
        ("Question", "Topic", "Read up under"),
        tuple(
            (titled(each, sheet), topics[each.topic].title, terms.lesson(course, topics[each.topic].lesson))
            for each in page.wrong
        ),
    )


def _flown(report: Report, page: Page) -> Iterator[Part]:
    """Lessons flown and errors open: facts with their days."""
    yield Heading("Flown")
    if not page.flights:
        yield Text("No lesson flown was recorded.")
        return
    if page.errors:
        yield Text(
            f"{many(len(page.errors), 'error')} open: each is closed by flying its lesson again with the instructor."
        )
        values = page.statement.sheet.values
        yield Items(tuple(flights.error(report.course, each, values) for each in page.errors))
    if facts := tuple(flights.since(page.flights, page.today)):
        yield Items(facts)
    head = ("Day", "Lesson", "How", "Standard", "Record", "Note")
    yield Grid(head, tuple(flights.row(report.course, each) for each in page.flights), widest=5).filled()


def _orals(page: Page) -> Iterator[Part]:
    """Orals put by an instructor, each beside what had been told of it, and how strictly each of the two marks."""
    if not page.orals:
        return
    yield Heading("Orals")
    yield Grid(oral.HEAD, tuple(oral.row(each) for each in page.orals), frozenset({3}), 4)
    if said := oral.beside(page.by_self, oral.spoken(page.orals)):
        yield Text(said)


def _calibration(one: Statement) -> Iterator[Part]:
    """Predicted against observed, of this student."""
    told = calibration([one.foretold])
    if told.predictions >= _FEWEST:
        yield Heading("Predicted against observed")
        drawn = chart.reliability(
            f"{told.predictions} answers", list(starmap(chart.Share, told.bins)), told.noise_floor
        )
        yield Picture(drawn, told.note)
        yield Text(told.note, "small")
