"""A sitting at a terminal: single keys, and the key that says how sure one is submits."""

import sys
import time
from collections.abc import Iterator

import click
from rich.text import Text

from stickback import render
from stickback.cli import show, words
from stickback.kinds.table import KINDS
from stickback.memory.entry import CONFIDENCES, Confidence
from stickback.services import record, review
from stickback.services.review import Done, Marked, Session, Step

_LETTERS = "abcdef"
_SURE = {word[0]: word for word in CONFIDENCES}
_KEYS = "g guess · t think so · s sure"


class Left(Exception):  # noqa: N818 - leaving is no error
    """The student pressed q, Ctrl-C or Ctrl-D."""


def keys() -> Iterator[str]:
    """Keys one by one, in lower case: a burst of typing arrives as one string, an arrow as an escape sequence."""
    while True:
        try:
            typed = click.getchar()
        except (EOFError, KeyboardInterrupt):
            raise Left from None
        if typed.startswith("\x1b"):
            continue
        for key in typed:
            if key in "\x03\x04":
                raise Left
            yield key.casefold()


def sit(session: Session) -> Session:
    """Asks until the day's questions or the minutes end, or the student leaves."""
    typed = keys()
    try:
        while True:
            step = review.ask(session)
            if isinstance(step, Done):
                minutes = session.wish.minutes or session.desk.student.minutes
                show.console().print()
                show.say(words.done(step, minutes), style="bold")
                return session
            session = _asking(session, step, typed)
    except Left:
        show.console().print()
        show.say(words.LEFT)
        return session


def _asking(session: Session, step: Step, typed: Iterator[str]) -> Session:
    begun = time.monotonic()
    _question(session, step)
    given, confidence, hinted = _answer(step, typed)
    seconds = time.monotonic() - begun
    if step.shown.manner == "aloud":
        given = _points(step, typed)
    session, marked = review.answer(session, step, given, confidence, hinted=hinted, seconds=seconds)
    _feedback(session, step, marked)
    return _onward(session, step, typed)


def _question(session: Session, step: Step) -> None:
    values = step.values
    out = show.console()
    out.print()
    out.rule(Text(words.progress(session.desk, step), style="dim"), align="left", style="dim")
    out.print()
    show.wrapped(show.text(render.spans(step.question.title, values), "bold"))
    if step.question.prompt:
        out.print()
        show.flow(step.question.prompt, values)
    out.print()
    for letter, option in zip(_LETTERS, step.shown.options, strict=False):
        show.wrapped(show.text(render.spans(option, values)), f"   {letter}  ", "      ")
    if step.shown.options:
        out.print()
    show.say(_prompt(step), style="dim")


def _prompt(step: Step) -> str:
    ask = {
        "one": "A letter, then how sure you are",
        "several": "Every letter that is right, then how sure you are",
        "aloud": "Say it aloud as to an examiner, then how sure you are",
    }[step.shown.manner]
    hint = " · h hint" if step.question.hint else ""
    return f"{ask}: {_KEYS}{hint} · q leave"


def _answer(step: Step, typed: Iterator[str]) -> tuple[str, Confidence, bool]:
    """The letters ticked when a confidence key was pressed, that confidence, and whether the hint was read."""
    letters = _LETTERS[: len(step.shown.options)]
    ticked: set[str] = set()
    hinted = False
    for key in typed:
        if key == "q":
            raise Left
        if key == "h" and step.question.hint:
            hinted = True
            show.console().print()
            show.flow(step.question.hint, step.values)
        elif key in letters:
            ticked = ticked ^ {key} if step.shown.manner == "several" else {key}
        elif key in _SURE and (ticked or step.shown.manner == "aloud"):
            _status("")
            return " ".join(sorted(ticked)), _SURE[key], hinted
        elif key in _SURE:
            _status("choose first")
            continue
        _status(" ".join(sorted(ticked)))
    raise Left


def _status(text: str) -> None:
    """One line that is written over: what is ticked so far."""
    sys.stdout.write(f"\r\x1b[K  > {text}" if text else "\r\x1b[K")
    sys.stdout.flush()


def _points(step: Step, typed: Iterator[str]) -> str:
    """Each point in turn, and whether it was said."""
    kind, body = KINDS[step.question.kind], step.question.body
    out = show.console()
    out.print()
    show.say("Did you say it?  y yes · n no", style="dim")
    said = []
    for number, point in enumerate(kind.answer(body, step.seed, step.values), 1):
        note = "  (a must)" if point.must else "  (fails the answer)" if point.fails else ""
        line = show.text(render.spans(point.text, step.values)) + Text(note, style="dim")
        show.wrapped(line, f"   {number}  ", "      ")
        if _yes(typed):
            said.append(str(number))
    return " ".join(said) or "none"


def _yes(typed: Iterator[str]) -> bool:
    for key in typed:
        if key in "yn":
            show.say("yes" if key == "y" else "no", style="dim", indent=6)
            return key == "y"
        if key == "q":
            raise Left
    raise Left


def _feedback(session: Session, step: Step, marked: Marked) -> None:
    values = step.values
    out = show.console()
    out.print()
    right = marked.mark.right
    show.say(words.verdict(marked), style="bold green" if right else "bold red")
    if marked.answer[0].letter and not right:
        show.say(f"You said {marked.given.replace(' ', ', ')}. Right is:")
    for text in words.points(session.desk, marked):
        show.wrapped(Text(text), "   ", "      ")
    out.print()
    if right:
        show.say(render.first_sentence(marked.why, values))
    else:
        show.flow(marked.why, values)
        sources = [render.line(session.desk.course.sources[key], {}) for key in render.notes(marked.why)]
        for source in sources:
            show.wrapped(Text(f"Source: {source}", style="dim"))
    out.print()
    show.say(words.follows(marked), style="dim")


def _onward(session: Session, step: Step, typed: Iterator[str]) -> Session:
    """Waits for the next question; on the way an answer can be taken back and the lesson read."""
    undone = False
    show.say("space next · l the lesson · u take the answer back · q leave", style="dim")
    for key in typed:
        if key in " \r\n":
            return session
        if key == "q":
            raise Left
        if key == "l":
            topic = session.desk.course.plan.topics[step.question.topic]
            show.heading(topic.title)
            show.flow(topic.blocks, step.values)
        elif key == "u" and not undone:
            desk, _ = record.undo(session.desk)
            session = review.after_undo(session, desk)
            undone = True
            show.say("Taken back: it counts for nothing, and the question comes back another day.")
    raise Left
