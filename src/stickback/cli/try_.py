"""For the instructor: one question as a student will meet it, and any answer held against it."""

import sys
from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.services.try_ import Trial, Tried

FOR, RANK = "instructor", 15


@click.command("try")
@click.argument("name", metavar="ID")
@click.option("--aircraft", metavar="SHEET", help="The aeroplane. [default: the first on which it is asked]")
@click.option(
    "--phraseology", type=click.Choice(["icao", "uk", "faa"]), help="Only if it is asked under these radio rules."
)
@click.option("--seed", type=int, default=0, show_default=True, help="Another one draws and shuffles otherwise.")
@click.option("--set", "settings", multiple=True, metavar="NAME=VALUE", help="A value in the place of one drawn.")
@click.option("--answer", "typed", multiple=True, metavar="TEXT", help="An answer to mark; may be repeated.")
@click.option("--answers", type=File(allow_dash=True), metavar="FILE", help="Answers, one a line.")
@click.option("--speak", type=File(), metavar="FILE.wav", help="Write what is heard as sound.")
@click.option("--listen", "how", default="on", metavar="HOW", help="How it sounds: pace 120, noise heavy, clipped.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_obj
def try_(
    options: "Options",
    /,
    name: str,
    aircraft: str | None,
    phraseology: str | None,
    seed: int,
    settings: tuple[str, ...],
    typed: tuple[str, ...],
    answers: "Path | None",
    speak: "Path | None",
    how: str,
    form: str,
) -> None:
    """Show a question as a student meets it, and mark answers.

    With the values drawn or set, its model answer and why. Nothing is recorded, and no student is needed. JSON: an
    object a line for each answer.
    """
    from stickback.services import try_ as service

    fixed = dict(map(_pair, settings))
    one = service.trial(options.load(), name, aircraft=aircraft, phraseology=phraseology, seed=seed, fixed=fixed)
    written = _speak(one, speak, how) if speak is not None else ""
    marked = [service.tried(one, each) for each in (*typed, *_lines(answers))]
    if form == "json":
        import json

        for each in marked:
            click.echo(json.dumps(service.as_data(one, each), ensure_ascii=False))
        return
    _show(one)
    for each in marked:
        _mark(one, each)
    if written:
        click.echo(f"\n{written}")


def _pair(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip():
        raise click.UsageError(f"Write --set NAME=VALUE, not '{text}'.")
    return name.strip(), value.strip()


def _lines(path: "Path | None") -> "Iterator[str]":
    """The answers of a file, or of standard input."""
    from stickback.refused import Refused

    if path is None:
        return
    try:
        text = sys.stdin.read() if str(path) == "-" else path.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.") from None
    yield from (line for line in text.splitlines() if line.strip())


def _speak(one: "Trial", path: "Path", how: str) -> str:
    """The transmission as a sound file, and a sentence about it."""
    from stickback.reading import text as texts
    from stickback.refused import Refused
    from stickback.services import listen

    heard, set_to = [texts.line(said, one.values) for said in one.shown.heard], listen.read(how)
    if not heard:
        raise Refused(f"Nothing is heard in the question '{one.question.id}'.")
    if set_to is None:
        raise Refused("Nothing is spoken with --listen off.")
    seconds = listen.write(path, heard, one.question.only.get("phraseology", "icao"), set_to, one.seed)
    return f"Written: {path}, {seconds:.0f} seconds."


def _show(one: "Trial") -> None:
    from stickback.cli.terminal import show
    from stickback.reading import text as texts
    from stickback.words import sitting

    question, shown, values = one.question, one.shown, one.values
    drawn = ", ".join(f"{name} {values[name]}" for name in sorted(question.draws.defines))
    show.heading(texts.line(question.title, values))
    show.say(f"{question.id} · {question.kind} · {one.sheet.name}" + (f" · {drawn}" if drawn else ""), style="dim")
    show.flow(question.prompt, values)
    for said in shown.heard:
        show.say(f"“{texts.line(said, values)}”")
    for letter, option in shown.lettered:
        show.say(f"{letter}  {texts.line(option, values)}")
    if shown.bar:
        show.say(shown.bar)
    show.say(f"Give {shown.expects}.", style="dim")
    show.heading("Right")
    for point in one.answer:
        show.say(f"{point.label}  {sitting.listened(point, values)}".strip())
    if question.why:
        show.heading("Why")
        show.flow(question.why, values)


def _mark(one: "Trial", answer: "Tried") -> None:
    from stickback.cli.terminal import show
    from stickback.words import sitting

    show.heading(f"“{answer.typed}”")
    if answer.mark is None:
        show.say(f"Not understood: {answer.why}; give {one.shown.expects}.")
        return
    show.say(sitting.verdict(answer.mark), *answer.mark.remarks)
