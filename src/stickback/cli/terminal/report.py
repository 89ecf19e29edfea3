"""The readiness report in plain lines: one student after the other, then predicted against observed."""

import math
import textwrap
from collections.abc import Iterator, Sequence
from datetime import date

from stickback.amount import many, percent
from stickback.cli.terminal.show import WIDEST
from stickback.course.course import Course
from stickback.readiness.calibrate import Bin, Calibration
from stickback.readiness.verdict import NO_ESTIMATE, SOUND, Statement
from stickback.words import readiness as words

_FEWEST = 30  # predictions that are shown: a judgement
_SCALE = 40  # characters of a line that goes from 0 to 100 %


def report(course: Course, found: Sequence[Statement], calibration: Calibration, today: date) -> list[str]:
    """The whole report, a line each."""
    exam = f"{course.plan.exam_questions} questions, {percent(course.plan.exam_pass)} to pass"
    return [
        *(line for one in found for line in _student(course, one, today)),
        *_calibration(calibration),
        *_wrapped(f"The oral is this school's own: {exam}. In brackets the range that holds it in eight of ten cases."),
        *_wrapped("A forecast of theory that informs the instructor; it certifies nothing."),
    ]


def _student(course: Course, one: Statement, today: date) -> Iterator[str]:
    seen, questions = int(one.seen.sum()), int(one.questions.sum())
    yield f"{one.student.name} · {one.sheet.name} · {words.when(one, today, course.plan.ends_with)}"
    if math.isnan(one.known.middle):
        yield "  No question of the course applies to this aeroplane."
    elif not seen:
        yield f"  Nothing answered yet; {many(questions, 'question is', 'questions are')} unseen."
    else:
        wrong = int(one.misbeliefs.sum())
        yield f"  Verdict: {one.verdict}" + (f" · {wrong} sure but wrong" if wrong else "")
        known = f"known {percent(one.known.middle)} ({words.span(one.known)} by how answers went)"
        yield f"  {known} · seen {seen} of {questions}"
        yield "  Chance to pass the oral"
        yield from _chances(one)
        yield from _plan(one)
        yield from _way(course, one)
        yield "  Weakest"
        yield from _weakest(course, one)
    yield ""


def _chances(one: Statement) -> Iterator[str]:
    """Side by side: today, on the day without further study, on the day when the plan is kept."""
    said = (
        ("if you sat it today", one.today),
        ("on the day, without further study", one.pass_chance),
        ("on the day, if you keep to the plan", one.kept),
    )
    for sentence, band in said:
        if band is not None:
            yield f"    {sentence:<36}{words.chance(band, one.verdict)}"


def _plan(one: Statement) -> Iterator[str]:
    if one.kept is not None:
        yield f"  Plan: {words.plan(one.short_by)}"


def _way(course: Course, one: Statement) -> Iterator[str]:
    if one.obstacles:
        yield "  In the way of an estimate" if one.verdict == NO_ESTIMATE else f"  In the way of {SOUND}"
    for each in one.obstacles:
        yield from _wrapped(words.obstacle(course, each), "    ")


def _weakest(course: Course, one: Statement) -> Iterator[str]:
    """The three seen topics that stand lowest."""
    rows = zip(course.plan.topics.values(), one.topics[:, 0], one.seen, strict=True)
    seen = sorted((float(known), topic.title) for topic, known, seen in rows if seen)
    yield from (f"    {percent(known):>6}  {title}" for known, title in seen[:3])


def _calibration(found: Calibration) -> Iterator[str]:
    """Predicted against observed, a bin a line; nothing where there is next to nothing to see."""
    if found.predictions < _FEWEST:
        return
    yield f"Predicted against observed: {many(found.predictions, 'answer')} (p predicted, o observed, * both)"
    yield from (f"  {_row(one)}" for one in found.bins)
    error = "" if found.error is None else f"The error is {found.error:.3f}. "
    yield from _wrapped(f"{error}{found.note}")
    yield ""


def _row(one: Bin) -> str:
    predicted, observed = (min(int(value * _SCALE), _SCALE - 1) for value in (one.predicted, one.observed))
    marks = ["·"] * _SCALE
    marks[predicted], marks[observed] = "p", "o" if observed != predicted else "*"
    return f"{percent(one.predicted):>6}{percent(one.observed):>7}  |{''.join(marks)}|{one.answers:>8}"


def _wrapped(sentence: str, margin: str = "") -> list[str]:
    return textwrap.wrap(sentence, WIDEST, initial_indent=margin, subsequent_indent=margin)
