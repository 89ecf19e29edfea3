"""A sitting at a terminal: single keys, and the key that says how sure one is submits."""

from pathlib import Path

from rich.text import Text

from stickback.cli.terminal import answering, show
from stickback.cli.terminal.keys import ENTER, RESUMED, Left, pressed
from stickback.cli.terminal.seat import Meanings, Seat, status
from stickback.kinds.shown import Cells
from stickback.reading import text as texts
from stickback.services import marking, progress, review
from stickback.services.marking import Marked
from stickback.services.review import Done, Session, Step
from stickback.words import sitting


def sit(session: Session, folder: Path) -> Session:
    """Asks until the day's questions or the minutes end, or the student leaves.

    Args:
        folder: of the course.
    """
    with pressed() as keys:
        seat = Seat(session, keys, folder)
        try:
            while not isinstance(step := review.ask(seat.session), Done):
                _asking(seat, step)
        except Left:
            step = None
            status("")
    _close(seat.session, step)
    return seat.session


def _close(session: Session, end: Done | None) -> None:
    """The last screen: what today was, what it brought, what returns, and what to read."""
    out = show.console()
    out.print()
    said = sitting.closing(session, end)
    show.say(*said[:1], style="bold")
    show.say(*said[1:])
    read = progress.to_read(session.desk)
    if read:
        show.say("Worth reading again:")
        show.columns(((topic.title, f"stickback lesson {topic.id}") for topic in read), 4, typed=True)
        show.say("stickback debrief   shows what was wrong and what is right.")
    if end is None:
        show.say(sitting.kept("`stickback review`"))


def _asking(seat: Seat, step: Step) -> None:
    _question(seat, step)
    answer = answering.answer(seat, step)
    if answer is None:
        seat.session = review.pass_over(seat.session, step)
        show.say(sitting.PASSED, style="dim")
        return
    seat.session, marked = marking.take(seat.session, step, answer)
    _feedback(step, marked)
    _onward(seat, step, marked)


def _question(seat: Seat, step: Step) -> None:
    values = step.values
    out = show.console()
    where, topic = sitting.place(seat.session.desk, step)
    out.print()
    out.rule(Text(where, style="dim"), align="left", style="dim")
    show.say(topic, style="dim")
    out.print()
    show.wrapped(show.text(texts.spans(step.question.title, values), "bold"))
    seat.pictures = []
    if step.question.prompt:
        out.print()
        seat.pictures = show.flow(step.question.prompt, values, folder=seat.folder)
    out.print()
    for letter, option in step.shown.lettered:
        show.wrapped(show.text(texts.spans(option, values)), f"   {letter}  ", "      ")
    if step.shown.options:
        out.print()
    if step.shown.cells:
        _cells(step.shown.cells)


def _cells(cells: Cells) -> None:
    """The key of each cell, under the name of its column and behind that of its row."""
    indent, width = max(map(len, cells.rows)), max(map(len, cells.columns)) + 2
    for name, line in (("", cells.columns), *zip(cells.rows, cells.keys, strict=True)):
        show.say(f"{name:{indent}}{''.join(f'{cell:^{width}}' for cell in line)}".rstrip(), indent=6)
    show.console().print()


def _feedback(step: Step, marked: Marked) -> None:
    out, told = show.console(), sitting.feedback(step, marked)
    out.print()
    show.say(told.verdict, style="bold green" if marked.mark.right else "bold red")
    if told.quoted:
        show.say(told.quoted)
    for text in told.points:
        show.wrapped(Text(text), "   ", "      ")
    for remark in told.remarks:
        show.wrapped(Text(remark), "   ", "   ")
    out.print()
    show.say(told.why)
    out.print()
    show.say(told.follows, style="dim")


def _why(seat: Seat, step: Step, marked: Marked) -> None:
    """The rest of why, and its sources."""
    if sitting.goes_on(marked):
        show.console().print()
        seat.pictures += show.flow(marked.why, step.values, folder=seat.folder)
    for source in texts.sources(marked.why, seat.session.desk.course.sources).values():
        show.wrapped(Text(f"Source: {texts.line(source, {})}", style="dim"))
    show.console().print()


def _read(seat: Seat, step: Step) -> None:
    topic = seat.session.desk.course.plan.topics[step.question.topic]

    def write() -> list[Path]:
        show.heading(topic.title)
        show.console().print()
        return show.flow(topic.blocks, step.values, folder=seat.folder)

    seat.pages(write)
    show.console().print()


def _onward(seat: Seat, step: Step, marked: Marked) -> None:
    """Waits for the next question; on the way an answer can be taken back and the lesson read.

    Errors: Left.
    """
    undone, meanings = False, _meanings(sitting.more(marked))
    show.choices(f"{key} {short}" for key, short in meanings)
    seat.keys.forget()
    for key in seat.keys:
        command = key.casefold()
        if key == RESUMED:
            continue
        if key in f" {ENTER}":
            status("")
            return
        if command == "w" and sitting.more(marked):
            status("")
            _why(seat, step, marked)
        elif command == "f":
            seat.flag(step)
        elif command == "l":
            status("")
            _read(seat, step)
        elif command == "u" and not undone:
            seat.session = marking.take_back(seat.session, marked.stored.id)
            undone, meanings = True, tuple(each for each in meanings if each[0] != "u")
            status("")
            show.say(sitting.TAKEN_BACK)
        else:
            seat.common(command, meanings)
            continue
        show.choices(["space next", "? the keys", "q leave"])


def _meanings(more: str) -> Meanings:
    return (
        ("space", "next"),
        *((("w", more),) if more else ()),
        ("l", "the lesson"),
        ("u", "take the answer back"),
        ("f", "flag the question"),
        ("?", "the keys"),
        ("q", "leave"),
    )
