"""A sitting in plain lines, for pipes and screen readers: no control codes, nothing is ever redrawn."""

import sys
import time

import click

from stickback.cli.terminal import show
from stickback.memory.entry import CONFIDENCES, Confidence
from stickback.reading import text as texts
from stickback.services import review
from stickback.services.review import Done, Marked, Session, Step
from stickback.words import sitting

_HOW_SURE = "how sure you are: guess, think or sure"


class Left(Exception):  # noqa: N818 - leaving is no error
    """The student typed `stop`, or the input ended."""


def sit(session: Session) -> Session:
    """Asks until the day's questions, the minutes or the input end."""
    while True:
        step = review.ask(session)
        if isinstance(step, Done):
            minutes = session.wish.minutes or session.desk.student.minutes
            click.echo(sitting.done(step, minutes))
            return session
        try:
            session = _asking(session, step)
        except Left:
            click.echo(sitting.LEFT)
            return session


def _asking(session: Session, step: Step) -> Session:
    begun = time.monotonic()
    _question(session, step)
    given, confidence, hinted = _answer(step)
    session, marked = review.answer(session, step, given, confidence, hinted=hinted, seconds=time.monotonic() - begun)
    _feedback(step, marked)
    return session


def _question(session: Session, step: Step) -> None:
    values = step.values
    click.echo(sitting.progress(session.desk, step))
    click.echo(texts.line(step.question.title, values))
    for text in show.flat(step.question.prompt, values):
        click.echo(text)
    for letter, option in zip("abcdefgh", step.shown.options, strict=False):
        click.echo(f"{letter}) {texts.line(option, values)}")
    if step.shown.heard:
        click.echo(f"> {texts.line(step.shown.heard, values)}")
    if step.shown.manner == "aloud":
        click.echo(f"Say it aloud, then type {_HOW_SURE}.")
    else:
        click.echo(f"Type {step.shown.expects}, then {_HOW_SURE}.")


def _read() -> str:
    line = sys.stdin.readline()
    text = line.strip()
    if not line or text.casefold() == "stop":
        raise Left
    return text


def _answer(step: Step) -> tuple[str, Confidence, bool]:
    """What was answered, how sure, and whether the hint was read first."""
    body = step.question.body
    aloud = step.shown.manner == "aloud"
    given: str | None = None
    hinted = False
    while True:
        text = _read()
        if text.casefold() == "hint":
            hinted = _hint(step) or hinted
            continue
        rest, confidence = split_confidence(text)
        if rest or given is None:
            given = None if aloud and not rest else body.understand(rest) or given
        if aloud and confidence and not rest:
            return _points(step), confidence, hinted
        if given is not None and confidence and not aloud:
            return given, confidence, hinted
        if given is not None and not confidence and not aloud:
            click.echo(f"Now {_HOW_SURE}.")
        elif aloud:
            click.echo(f"Not understood; type {_HOW_SURE}.")
        else:
            click.echo(f"Not understood; type {step.shown.expects}, then {_HOW_SURE}. `stop` leaves.")


def split_confidence(text: str) -> tuple[str, Confidence | None]:
    """A line without the confidence at its end, and that confidence: `b sure` gives `b` and `sure`."""
    words_typed = text.casefold().removesuffix(" so").split()
    short = {word[0]: word for word in CONFIDENCES} | {word: word for word in CONFIDENCES}
    if words_typed and words_typed[-1] in short:
        return " ".join(words_typed[:-1]), short[words_typed[-1]]
    return text, None


def _hint(step: Step) -> bool:
    if not step.question.hint:
        click.echo("This question has no hint.")
        return False
    for text in show.flat(step.question.hint, step.values):
        click.echo(f"Hint: {text}")
    return True


def _points(step: Step) -> str:
    body = step.question.body
    for number, point in enumerate(body.answer(step.seed, step.values), 1):
        text = texts.line(point.text, step.values)
        click.echo(
            f"{number}) {text}{' (must)' if point.must else ' (fails the answer if said)' if point.fails else ''}"
        )
    click.echo(f"Type {step.shown.expects}.")
    while (given := body.understand(_read())) is None:
        click.echo(f"Not understood; type {step.shown.expects}.")
    return given


def _feedback(step: Step, marked: Marked) -> None:
    values = step.values
    click.echo(sitting.verdict(marked))
    for text in (*sitting.quoted(marked), *sitting.points(step, marked)):
        click.echo(text)
    for remark in marked.mark.remarks:
        click.echo(remark)
    if marked.mark.right:
        click.echo(texts.first_sentence(marked.why, values))
    else:
        for text in show.flat(marked.why, values):
            click.echo(text)
        click.echo(f"Read again: stickback lesson {step.question.topic}")
    click.echo(sitting.follows(marked))
    click.echo()
