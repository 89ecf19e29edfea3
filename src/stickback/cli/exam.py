"""For the instructor: an oral, marked point by point."""

import sys
from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, give, paper

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.services.oral import Examination, Put

FOR, RANK = "instructor", 35


@click.command()
@click.option("--by", required=True, metavar="WHO", help="Who examines; it is written down as it is said.")
@click.option("--questions", type=click.IntRange(1, 200), metavar="N", help="How many. [default: as the course says]")
@click.option("--seed", type=click.IntRange(0, 2**53 - 1), metavar="N", help="Draw the same questions again.")
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="The result as .html, .pdf or .txt.")
@click.pass_obj
def exam(options: "Options", /, by: str, questions: int | None, seed: int | None, out: "Path | None") -> None:
    """Put an oral to a student and mark it.

    Questions are drawn by the weights of the topics. You see each with its answer and tick what was said; the student
    should not see the screen. Every mark is kept at once: left in the middle, the oral goes on the same day. It changes
    nothing in what the student is asked, and `readiness` sets its result beside the chance that was told.
    """
    from stickback.services import oral as service
    from stickback.words import exports
    from stickback.words import oral as words

    form = paper(out)
    desk = options.desk()
    exam = service.begin(desk, by, questions, seed)
    desk.database.prepare()
    click.echo(words.begun(exam))
    exam = _sit(exam)
    click.echo(f"\n{words.ended(exam)}")
    if exam.oral.whole or (out is not None and exam.oral.heard):
        give(exports.printed(words.sheet(exam), form), out)


def _sit(exam: "Examination") -> "Examination":
    """Puts question after question until the end, or until it is left."""
    from stickback.services import oral as service

    while (one := service.ask(exam)) is not None:
        _show(exam, one)
        after = _marked(exam, one)
        if after is None:
            break
        exam = after
    return exam


def _show(exam: "Examination", one: "Put") -> None:
    """What is read out, and below it what is listened for."""
    from rich.text import Text

    from stickback.cli.terminal import show
    from stickback.reading import text as texts
    from stickback.words import oral as words
    from stickback.words import plain

    values = one.trial.values
    show.heading(words.place(exam, one))
    show.say(texts.line(one.question.title, values))
    for line in plain.lines(one.question.prompt, values):
        show.say(line)
    for said in one.trial.shown.heard:
        show.say(f"“{texts.line(said, values)}”")
    for letter, option in one.trial.shown.lettered:
        show.wrapped(Text(texts.line(option, values)), f"    {letter}  ")
    show.say("Listen for:" if one.ticked else "Right is:", style="dim")
    for number, point in enumerate(one.points, 1):
        label, said = words.point(one, number, point)
        show.wrapped(Text(said), f"    {label}  " if label else "    ")
    show.say(words.how(one), style="dim")


def _marked(exam: "Examination", one: "Put") -> "Examination | None":
    """The oral after this question, or after the last mark was taken back; None where it is left."""
    from stickback.cli.terminal import show
    from stickback.kinds.shown import Unclear
    from stickback.refused import Refused
    from stickback.services import oral as service
    from stickback.words import oral as words

    remark = ""
    while (typed := _line()) is not None:
        word, _, rest = typed.partition(" ")
        if word.casefold() == "note":
            remark = rest.strip()
        elif typed == "?":
            show.columns(words.TYPED)
        elif typed.casefold() == "back":
            try:
                return service.back(exam)
            except Refused as refused:
                show.say(str(refused))
        elif isinstance(judgement := service.understand(one, typed), Unclear):
            show.say(f"Not understood: {judgement.why}. {words.how(one)}")
        else:
            exam = service.mark(exam, one, judgement, remark)
            show.say(words.marked(judgement.mark))
            return exam
    return None


def _line() -> str | None:
    """A line that says something; None where it is `stop` or the input ends."""
    while True:
        if sys.stdin.isatty():
            click.echo("> ", nl=False)
        line = sys.stdin.readline()
        if not line or line.strip().casefold() in {"stop", "q"}:
            return None
        if line.strip():
            return line.strip()
