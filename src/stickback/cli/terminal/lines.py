"""A sitting in plain lines, for pipes and screen readers: no control codes, nothing is ever redrawn."""

import sys
import time
from dataclasses import dataclass
from pathlib import Path

import click

from stickback.kinds.shown import Unclear, asks_again
from stickback.memory.entry import Confidence
from stickback.reading import text as texts
from stickback.services import marking, note, progress, review
from stickback.services.marking import Answer, Marked
from stickback.services.review import Done, Session, Step
from stickback.words import plain, sitting

_HOW_SURE = "how sure you are: guess, think or sure"
_LEAVE = {"stop", "q"}
_DONT_KNOW = {"don't know", "dont know", "don’t know", "i don't know", "i don’t know", "no idea"}
_OTHERS = (
    "You can also type: `don't know`; `hint`; `pass`, to pass over the question for today; `flag` and what is wrong "
    "with the question, for the instructor; `why`, for all that is said of the last answer and its sources; "
    "`stop`, to leave."
)


class Left(Exception):  # noqa: N818 - leaving is no error
    """The student typed `stop`, or the input ended."""


@dataclass
class Talk:
    """A sitting in lines as it goes on.

    Args:
        folder: of the course.
        before: the question before and its mark, of which more can be told.
    """

    session: Session
    folder: Path
    before: tuple[Step, Marked] | None = None


def sit(session: Session, folder: Path) -> Session:
    """Asks until the day's questions, the minutes or the input end.

    Args:
        folder: of the course.
    """
    talk = Talk(session, folder)
    said = False
    try:
        while not isinstance(step := review.ask(talk.session), Done):
            _question(talk, step)
            if not said:
                click.echo("`stop` leaves; `?` says what else can be typed.")
                said = True
            _asking(talk, step)
    except Left:
        step = None
    _close(talk.session, step)
    return talk.session


def _close(session: Session, end: Done | None) -> None:
    for line in sitting.closing(session, end):
        click.echo(line)
    for topic in progress.to_read(session.desk):
        click.echo(f"Worth reading again: {topic.title}: stickback lesson {topic.id}")
    if end is None:
        click.echo(sitting.kept("`stickback review`"))


def _asking(talk: Talk, step: Step) -> None:
    answer = _answer(talk, step)
    if answer is None:
        click.echo(sitting.PASSED)
        talk.session = review.pass_over(talk.session, step)
        return
    talk.session, marked = marking.take(talk.session, step, answer)
    talk.before = step, marked
    _feedback(step, marked)


def _question(talk: Talk, step: Step) -> None:
    values = step.values
    click.echo(" · ".join(sitting.place(talk.session.desk, step)))
    click.echo(texts.line(step.question.title, values))
    for text in plain.lines(step.question.prompt, values, talk.folder):
        click.echo(text)
    for letter, option in step.shown.lettered:
        click.echo(f"{letter}) {texts.line(option, values)}")
    _transmissions(step)
    if step.shown.bar:
        click.echo(step.shown.bar)
    if step.shown.manner == "aloud":
        click.echo(f"Say it aloud, then type {_HOW_SURE}.")
    else:
        click.echo(f"Type {step.shown.expects}, then {_HOW_SURE}.")


def _transmissions(step: Step) -> None:
    for said in step.shown.heard:
        click.echo(f"> {texts.line(said, step.values)}")


def _read() -> str:
    try:
        line = sys.stdin.readline()
    except KeyboardInterrupt:  # a dumb terminal
        raise Left from None
    text = line.strip()
    if not line or text.casefold() in _LEAVE:
        raise Left
    return text


def _answer(talk: Talk, step: Step) -> Answer | None:
    """The answer to a question that is shown; None where it is passed over."""
    begun = time.monotonic()
    given = ""
    hinted = heard_again = False
    while True:
        typed = _read()
        word = typed.casefold()
        if word == "pass":
            return None
        if word in _DONT_KNOW:
            return marking.unknown(hinted=hinted, seconds=time.monotonic() - begun)
        if word == "hint":
            hinted = _hint(step, talk.folder) or hinted
        elif asks_again(step.shown, typed):
            _transmissions(step)
            heard_again = True
        elif not _more(talk, step, typed):
            found = _understood(step, typed, given, heard_again=heard_again)
            if found and found[1]:
                given = _points(step) if step.shown.manner == "aloud" else found[0]
                return Answer(given, found[1], hinted, time.monotonic() - begun)
            given = found[0] if found else given


def _more(talk: Talk, step: Step, typed: str) -> bool:
    """Whether a line asked for something beside the answer, and got it."""
    word, _, said = typed.partition(" ")
    if typed.casefold() == "why":
        _why(talk)
    elif typed.casefold() in {"?", "keys"}:
        click.echo(_OTHERS)
    elif word.casefold() == "flag":
        _flag(talk, step, said)
    else:
        return False
    return True


def _flag(talk: Talk, step: Step, said: str) -> None:
    if note.one_line(said):
        talk.session = note.flag(talk.session, step, said)
        click.echo(sitting.FLAGGED)
    else:
        click.echo(f"{sitting.NOT_FLAGGED} Type `flag` and what is wrong with the question, on one line.")


def _understood(step: Step, typed: str, given: str, *, heard_again: bool) -> tuple[str, Confidence | None] | None:
    """The answer so far, and how sure the student is once that was said; says what is still wanted."""
    rest, confidence = split_confidence(typed, in_words=step.shown.in_words)
    if step.shown.manner == "aloud":
        if confidence and not rest:
            return "", confidence
        click.echo(f"Not understood; type {_HOW_SURE}.")
        return None
    found = step.understand(rest or given, heard_again=heard_again)
    if isinstance(found, Unclear):
        click.echo(f"Not understood: {found.why}; type {step.shown.expects}, then {_HOW_SURE}. `stop` leaves.")
        return None
    if not confidence:
        click.echo(f"Now {_HOW_SURE}.")
    return found, confidence


def split_confidence(typed: str, *, in_words: bool = False) -> tuple[str, Confidence | None]:
    """A line without the confidence at its end, and that confidence: `b sure` gives `b` and `sure`.

    Args:
        in_words: behind an answer a single letter is a part of it: of `2 g`, or of a callsign.
    """
    bare = typed.rstrip(" .,;!")
    bare = bare[: -len(" so")] if bare.casefold().endswith("think so") else bare
    words = bare.split()
    last = words[-1] if words else ""
    short = not in_words or len(words) == 1
    confidence = marking.confidence(last) if short or len(last) > 1 else None
    return (" ".join(words[:-1]).rstrip(" ,;-"), confidence) if confidence else (typed, None)


def _hint(step: Step, folder: Path) -> bool:
    if not step.question.hint:
        click.echo("This question has no hint.")
        return False
    for text in plain.lines(step.question.hint, step.values, folder):
        click.echo(f"Hint: {text}")
    return True


def _why(talk: Talk) -> None:
    if talk.before is None:
        click.echo("Nothing was answered yet.")
        return
    step, marked = talk.before
    for text in plain.lines(marked.why, step.values, talk.folder):
        click.echo(text)
    for source in texts.sources(marked.why, talk.session.desk.course.sources).values():
        click.echo(f"Source: {texts.line(source, {})}")


def _points(step: Step) -> str:
    for number, point in enumerate(step.points, 1):
        click.echo(f"{number}) {sitting.listened(point, step.values)}")
    click.echo(f"Type {step.shown.expects}.")
    while isinstance(given := step.understand(_read()), Unclear):
        click.echo(f"Not understood: {given.why}; type {step.shown.expects}.")
    return given


def _feedback(step: Step, marked: Marked) -> None:
    told = sitting.feedback(step, marked)
    for text in told.lines:
        click.echo(text)
    if not marked.mark.right:
        click.echo(f"Read again: stickback lesson {step.question.topic}")
    click.echo(told.follows)
    click.echo()
