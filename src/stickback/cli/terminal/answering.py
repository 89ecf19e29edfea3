"""An answer at a terminal, key by key: how it is asked for, what is heard before, and what was said aloud."""

import math
import select
import shutil
import sys
import time
from dataclasses import replace

from rich.cells import cell_len
from rich.text import Text

from stickback.cli.terminal import show, streams
from stickback.cli.terminal.keys import BACK, DONT_KNOW, ENTER, RESUMED, Reply
from stickback.cli.terminal.seat import Meanings, Seat, status, tail
from stickback.kinds.shown import REPEATED, Manner, Unclear, asks_again
from stickback.memory.entry import Confidence
from stickback.reading import text as texts
from stickback.services import listen, marking
from stickback.services.marking import Answer
from stickback.services.review import Step
from stickback.words import sitting

_YES_OR_NO = (
    ("y", "I said it"),
    ("n", "I did not"),
    ("Backspace", "the point before"),
    ("q", "leave; every answer so far is kept"),
)
_LOOK = 0.05  # seconds between two looks whether what is said has ended
_HOW_SURE = "g guess · t think so · s sure"

_ASKS: dict[Manner, str] = {
    "one": "A letter",
    "several": "Every letter that is right",
    "order": "The letters in their right order (backspace takes one away)",
    "cell": "One of the keys above",
    "line": "{expects}, and Enter",
    "aloud": "Say it aloud as to an examiner",
}


def answer(seat: Seat, step: Step) -> Answer | None:
    """The answer to a question that is shown; None where it is passed over.

    Errors: Left.
    """
    begun = time.monotonic()
    _prompt(seat, step)
    seat.keys.forget()
    if step.shown.heard:
        show.console().print()
        _transmission(seat, step)
    return _answer(seat, step, begun)


def _prompt(seat: Seat, step: Step) -> None:
    """Says how the question is answered, and the keys beside that."""
    shown = step.shown
    ask = _ASKS[shown.manner].format(expects=shown.expects[0].upper() + shown.expects[1:])
    again = f"; `{REPEATED}` and Enter brings back what was said" if shown.heard else ""
    others = ["Tab don't know", *(["h hint"] if step.question.hint else []), *(["o picture"] if seat.pictures else [])]
    rest = [*others, "p not today", "? all keys", "q leave"]
    if shown.in_words:
        rest = ["Tab don't know", "Enter alone, then ? for the other keys", "Ctrl-D leave"]
    if shown.bar:
        show.say(shown.bar)
    show.say(f"{ask}{again}; then how sure you are:", style="dim")
    show.choices(_HOW_SURE.split(" · "))
    show.choices(rest)


def _meanings(seat: Seat, step: Step) -> Meanings:
    typed = (("Backspace", "types on"),) if step.shown.in_words else ()
    return (
        *typed,
        ("g t s", "how sure you are: guess, think so, sure; that submits the answer"),
        ("Tab", "don't know"),
        *([("h", "the hint; an answer after it counts as a guess")] if step.question.hint else []),
        ("p", "pass over the question for today"),
        *([] if _is_option("f", step) else [("f", "flag the question for the instructor, with a note")]),
        *([("o", "open the picture")] if seat.pictures else []),
        ("q", "leave; every answer so far is kept"),
    )


def _is_option(key: str, step: Step) -> bool:
    """Whether a key is the letter of an option, so that it means nothing else before the answer."""
    return key in step.shown.keys


def _answer(seat: Seat, step: Step, begun: float) -> Answer | None:
    """The answer as it stood when a confidence key was pressed; None where the question is passed over."""
    reply, hinted = Reply(step.shown), False
    for key in seat.keys:
        command = key.casefold()
        if key == RESUMED:
            show.console().print()
            _prompt(seat, step)
        elif reply.complete and (sure := _sure(key)):
            status("")
            seconds = time.monotonic() - begun  # what was said is ticked in no hurry
            return Answer(_given(seat, step, reply), sure, hinted, seconds)
        elif key == DONT_KNOW and not reply.text:
            status("")
            return marking.unknown(hinted=hinted, seconds=time.monotonic() - begun)
        elif reply.takes(key):
            reply = _read(seat, step, reply.press(key))
        elif command == "h" and step.question.hint:
            hinted = _hint(seat, step)
        elif command == "p":
            status("")
            return None
        elif command == "f":
            seat.flag(step)
        elif not _said(key, reply):
            seat.common(command, _meanings(seat, step))
            continue
        else:
            continue
        status(_so_far(reply))
    return None


def _sure(key: str) -> Confidence | None:
    """How sure a key says that the student is; what is pasted says nothing of it."""
    return marking.confidence(key) if len(key) == 1 else None


def _said(key: str, reply: Reply) -> bool:
    """Says what is wrong with a key that would submit, or why it does not."""
    if key in ENTER:
        status(f"how sure are you?  {_HOW_SURE}" if reply.complete else "answer first")
    elif _sure(key):
        status("answer first")
    elif key == DONT_KNOW:
        status("Backspace first: the answer stands there")
    elif key.casefold() == "h":
        status("this question has no hint")
    else:
        return False
    return True


def _hint(seat: Seat, step: Step) -> bool:
    status("")
    show.console().print()
    seat.pictures += show.flow(step.question.hint, step.values, folder=seat.folder)
    return True


def _read(seat: Seat, step: Step, reply: Reply) -> Reply:
    """What was typed, opened again where Enter closed something that is no answer."""
    if not reply.closed or not reply.text.strip():
        return reply
    if asks_again(step.shown, reply.text):
        status("")
        _transmission(seat, step, again=True)
        return replace(reply, text="", closed=False, heard_again=True)
    given = step.understand(reply.text)
    if isinstance(given, Unclear):
        status("")
        show.say(f"Not understood: {given.why}; type {step.shown.expects}.", style="dim")
        return replace(reply, closed=False)
    return reply


def _given(seat: Seat, step: Step, reply: Reply) -> str:
    """What keys have made, as it is marked; never unclear, since only keys that mean something were taken."""
    if step.shown.manner == "aloud":
        return _points(seat, step)
    given = step.understand(reply.typed, heard_again=reply.heard_again)
    return reply.typed if isinstance(given, Unclear) else given


def _so_far(reply: Reply) -> str:
    if reply.shown.cells and reply.text:
        return reply.shown.cells.name(reply.text)
    if reply.closed and not reply.text.strip():
        return "a key now: ? shows them, Backspace types on"
    if reply.closed:
        return f"{tail(reply.text, len(_HOW_SURE) + 3)}   {_HOW_SURE}"
    return tail(reply.text if reply.shown.in_words else reply.typed)


def _transmission(seat: Seat, step: Step, *, again: bool = False) -> None:
    """What is said, heard or else shown, and then taken away."""
    if not _heard(seat, step):
        _shown(step)
    if not again:
        show.say(f"(said; `{REPEATED}` and Enter brings it back)", style="dim")


def _heard(seat: Seat, step: Step) -> bool:
    """Speaks what is said, until it ends or a key is pressed, where the student hears and the machine can."""
    how = listen.read(seat.session.desk.student.listen)
    if how is None:
        return False
    said = [texts.line(one, step.values) for one in step.shown.heard]
    playing = listen.play(said, step.question.only.get("phraseology", "icao"), how, step.seed)
    if playing is None:
        _say_once(seat)
        return False
    status("listen")
    try:
        while (well := playing.done()) is None and not select.select([sys.stdin], [], [], _LOOK)[0]:
            pass
    finally:
        playing.stop()
        status("")
    if well is False:
        _say_once(seat)
    return well is not False


def _say_once(seat: Seat) -> None:
    """Says once in a sitting why nothing is heard."""
    if not seat.deaf:
        show.say(f"{listen.missing() or 'The sound could not be played.'} What is said is shown.", style="dim")
    seat.deaf = True


def _shown(step: Step) -> None:
    """Shows what is said for as long as saying it takes, or until a key is pressed, and then takes it away."""
    said = [show.text(texts.spans(one, step.values), "italic") for one in step.shown.heard]
    lines = [line for one in said for line in show.wrapped(one, "  | ", "  | ")]
    sys.stdout.flush()
    select.select([sys.stdin], [], [], step.shown.seconds)
    wide = shutil.get_terminal_size().columns  # now: a window made narrower has broken the lines
    high = sum(max(1, math.ceil(cell_len(line) / wide)) for line in lines)
    streams.raw(sys.stdout).write(f"\x1b[{high}F\x1b[J")
    sys.stdout.flush()


def _points(seat: Seat, step: Step) -> str:
    """Each point in turn, and whether it was said; backspace goes back to the one before."""
    found = step.points
    show.console().print()
    show.say("Did you say it?  y yes · n no · backspace the one before", style="dim")
    said: list[bool] = []
    while len(said) < len(found):
        number, point = len(said) + 1, found[len(said)]
        if point.fails and number > 1 and not found[number - 2].fails:
            show.say("And did you say this? It would fail the answer.", style="dim")
        note = f"  ({sitting.meaning(point)})" if point.must else ""
        line = show.text(texts.spans(point.text, step.values)) + Text(note, style="dim")
        show.wrapped(line, f"   {number}  ", "      ")
        yes = _yes(seat)
        said = said[:-1] if yes is None else [*said, yes]
    return " ".join(str(number) for number, yes in enumerate(said, 1) if yes) or "none"


def _yes(seat: Seat) -> bool | None:
    """Yes or no; None to go back."""
    seat.keys.forget()
    for key in seat.keys:
        command = key.casefold()
        if command in {"y", "n"}:
            status("")
            show.say("yes" if command == "y" else "no", style="dim", indent=6)
            return command == "y"
        if key and key in BACK:
            status("")
            show.say("back", style="dim", indent=6)
            return None
        if key != RESUMED:
            seat.common(command, _YES_OR_NO)
    return None
