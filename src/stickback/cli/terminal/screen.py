"""A sitting at a terminal: single keys, and the key that says how sure one is submits."""

import select
import sys
import time
from collections.abc import Iterator
from dataclasses import replace

from rich.text import Text

from stickback.cli.terminal import keys, show
from stickback.cli.terminal import reply as replies
from stickback.cli.terminal.keys import Left
from stickback.cli.terminal.reply import Reply
from stickback.kinds.protocol import REPEATED, Grid, Manner, Shown
from stickback.memory.entry import CONFIDENCES, Confidence
from stickback.reading import text as texts
from stickback.services import lesson, review, undo
from stickback.services.review import Done, Marked, Session, Step
from stickback.words import sitting

_LETTERS = "abcdefgh"
_SURE = {word[0]: word for word in CONFIDENCES}
_KEYS = "g guess · t think so · s sure"
_ONWARD = "space next · l the lesson · u take the answer back · q leave"


def sit(session: Session) -> Session:
    """Asks until the day's questions or the minutes end, or the student leaves."""
    try:
        with keys.pressed() as typed:
            while not isinstance(step := review.ask(session), Done):
                session = _asking(session, step, typed)
    except Left:
        show.console().print()
        show.say(sitting.LEFT)
        return session
    minutes = session.wish.minutes or session.desk.student.minutes
    show.console().print()
    show.say(sitting.done(step, minutes), style="bold")
    return session


def _asking(session: Session, step: Step, typed: Iterator[str]) -> Session:
    begun = time.monotonic()
    _question(session, step)
    given, confidence, hinted = _answer(step, typed)
    seconds = time.monotonic() - begun
    given = _points(step, typed) if step.shown.manner == "aloud" else step.question.body.understand(given) or given
    session, marked = review.answer(session, step, given, confidence, hinted=hinted, seconds=seconds)
    _feedback(session, step, marked)
    return _onward(session, step, typed)


def _question(session: Session, step: Step) -> None:
    values = step.values
    out = show.console()
    out.print()
    out.rule(Text(sitting.progress(session.desk, step), style="dim"), align="left", style="dim")
    out.print()
    show.wrapped(show.text(texts.spans(step.question.title, values), "bold"))
    if step.question.prompt:
        out.print()
        show.flow(step.question.prompt, values)
    out.print()
    for letter, option in zip(_LETTERS, step.shown.options, strict=False):
        show.wrapped(show.text(texts.spans(option, values)), f"   {letter}  ", "      ")
    if step.shown.options:
        out.print()
    if step.shown.grid:
        _board(step.shown.grid)
    show.say(_prompt(step), style="dim")
    if step.shown.heard:
        out.print()
        _transmission(step)


def _board(grid: Grid) -> None:
    """The key of each cell, under the name of its column and behind that of its row."""
    indent, width = max(map(len, grid.rows)), max(map(len, grid.columns)) + 2
    for name, cells in (("", grid.columns), *zip(grid.rows, grid.keys, strict=True)):
        show.say(f"{name:{indent}}{''.join(f'{cell:^{width}}' for cell in cells)}".rstrip(), indent=6)
    show.console().print()


_ASKS: dict[Manner, str] = {
    "one": "A letter",
    "several": "Every letter that is right",
    "order": "The letters in their right order (backspace takes one away)",
    "cell": "One of the keys above",
    "line": "{expects}, and Enter",
    "aloud": "Say it aloud as to an examiner",
}


def _prompt(step: Step) -> str:
    shown = step.shown
    ask = _ASKS[shown.manner].format(expects=shown.expects[0].upper() + shown.expects[1:])
    again = f"; `{REPEATED}` brings back what was said" if shown.heard else ""
    hint = " · h hint" if step.question.hint else ""
    leave = "Ctrl-D leave" if shown.manner == "line" else "q leave"
    return f"{ask}{again}, then how sure you are: {_KEYS}{hint} · {leave}"


def _answer(step: Step, typed: Iterator[str]) -> tuple[str, Confidence, bool]:
    """The answer as it stood when a confidence key was pressed, that confidence, and whether the hint was read."""
    reply, hinted = replies.begin(step.shown), False
    for key in typed:
        if reply.takes_all and not (key == "q" and reply.manner == "order"):
            reply = _read(step, reply.press(key))
        elif key == "q":
            raise Left
        elif key == "h" and step.question.hint:
            hinted = True
            show.console().print()
            show.flow(step.question.hint, step.values)
        elif key in _SURE and reply.complete:
            _status("")
            return reply.given, _SURE[key], hinted
        elif key in _SURE:
            _status("answer first")
            continue
        else:
            reply = reply.press(key)
        _status(_so_far(step.shown, reply))
    raise Left


def _read(step: Step, reply: Reply) -> Reply:
    """What was typed, opened again where Enter closed something that is no answer."""
    if not reply.closed:
        return reply
    asked = f"{REPEATED}: "
    if step.shown.heard and reply.text.removeprefix(asked).strip() == REPEATED:
        _status("")
        _transmission(step, again=True)
        return replace(reply, text=asked, closed=False)
    if step.question.body.understand(reply.text) is None:
        _status("")
        show.say(f"Not understood; type {step.shown.expects}.", style="dim")
        return replace(reply, closed=False)
    return reply


def _so_far(shown: Shown, reply: Reply) -> str:
    if shown.grid and reply.text:
        return shown.grid.name(reply.text)
    if reply.closed:
        return f"{_tail(reply.given, len(_KEYS) + 3)}   {_KEYS}"
    return _tail(reply.given)


def _tail(text: str, beside: int = 0) -> str:
    """As much of the end of an answer as fits on one line with what stands beside it."""
    room = show.console().width - beside - 5
    return text if len(text) <= room else f"…{text[1 - room :]}"


def _transmission(step: Step, *, again: bool = False) -> None:
    """Shows what is said for as long as saying it takes, or until a key is pressed, and then takes it away."""
    content = show.text(texts.spans(step.shown.heard, step.values), "italic")
    lines = show.wrapped(content, "  | ", "  | ")
    sys.stdout.flush()
    select.select([sys.stdin], [], [], step.shown.seconds)
    sys.stdout.write(f"\x1b[{lines}F\x1b[J")
    sys.stdout.flush()
    if not again:
        show.say("(said; `say again` and Enter brings it back)", style="dim")


def _status(text: str) -> None:
    """One line that is written over: what is ticked so far."""
    sys.stdout.write(f"\r\x1b[K  > {text}" if text else "\r\x1b[K")
    sys.stdout.flush()


def _points(step: Step, typed: Iterator[str]) -> str:
    """Each point in turn, and whether it was said; backspace goes back to the one before."""
    points = step.question.body.answer(step.seed, step.values)
    show.console().print()
    show.say("Did you say it?  y yes · n no · backspace the one before", style="dim")
    said: list[bool] = []
    while len(said) < len(points):
        number, point = len(said) + 1, points[len(said)]
        if point.fails and number > 1 and not points[number - 2].fails:
            show.say("And did you say this? It would fail the answer.", style="dim")
        line = show.text(texts.spans(point.text, step.values)) + Text("  (a must)" * point.must, style="dim")
        show.wrapped(line, f"   {number}  ", "      ")
        yes = _yes(typed)
        said = said[:-1] if yes is None else [*said, yes]
    return " ".join(str(number) for number, yes in enumerate(said, 1) if yes) or "none"


def _yes(typed: Iterator[str]) -> bool | None:
    """Yes or no; None to go back."""
    for key in typed:
        if key in "yn":
            show.say("yes" if key == "y" else "no", style="dim", indent=6)
            return key == "y"
        if key in "\x7f\b":
            show.say("back", style="dim", indent=6)
            return None
        if key == "q":
            raise Left
    raise Left


def _feedback(session: Session, step: Step, marked: Marked) -> None:
    values = step.values
    out = show.console()
    out.print()
    right = marked.mark.right
    show.say(sitting.verdict(marked), style="bold green" if right else "bold red")
    for line in sitting.quoted(marked):
        show.say(line)
    for text in sitting.points(step, marked):
        show.wrapped(Text(text), "   ", "      ")
    for remark in marked.mark.remarks:
        show.wrapped(Text(remark), "   ", "   ")
    out.print()
    if right:
        show.say(texts.first_sentence(marked.why, values))
    else:
        show.flow(marked.why, values)
        sources = [texts.line(text, {}) for text in lesson.sources(session.desk.course, texts.notes(marked.why))]
        for source in sources:
            show.wrapped(Text(f"Source: {source}", style="dim"))
    out.print()
    show.say(sitting.follows(marked), style="dim")


def _onward(session: Session, step: Step, typed: Iterator[str]) -> Session:
    """Waits for the next question; on the way an answer can be taken back and the lesson read."""
    undone = False
    show.say(_ONWARD, style="dim")
    for key in typed:
        if key in " \r\n":
            return session
        if key == "q":
            raise Left
        if key == "l":
            topic = session.desk.course.plan.topics[step.question.topic]
            show.heading(topic.title)
            show.flow(topic.blocks, step.values)
            show.console().print()
            show.say(_ONWARD, style="dim")
        elif key == "u" and not undone:
            desk, _ = undo.undo(session.desk)
            session = review.after_undo(session, desk)
            undone = True
            show.say("Taken back: it counts for nothing, and the question comes back another day.")
    raise Left
