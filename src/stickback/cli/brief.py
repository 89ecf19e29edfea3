"""For the student: what to have in mind before a lesson."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, give, paper

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options

FOR, RANK = "student", 20


@click.command()
@click.argument("lesson")
@click.option("--card", is_flag=True, help="One sheet to print: for the student, overleaf for the instructor.")
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="The card as .html, .pdf or .txt.")
@click.pass_obj
def brief(options: "Options", lesson: str, card: bool, out: "Path | None") -> None:
    """Read a lesson's text, this aeroplane's numbers, its questions.

    With --card one sheet of paper: the aim, five numbers and three questions to say aloud; overleaf the standard, the
    errors seen and what is listened for.
    """
    if card or out is not None:
        _card(options, lesson, out)
    else:
        _read(options, lesson)


def _card(options: "Options", lesson: str, out: "Path | None") -> None:
    from stickback.services import brief as service
    from stickback.words import exports
    from stickback.words import lesson as words

    form = paper(out)
    desk = options.desk()
    give(exports.printed(words.card(desk.course, service.card(desk, lesson), desk.day), form), out)


def _read(options: "Options", lesson: str) -> None:
    from stickback.cli import lesson as lessons
    from stickback.cli.terminal import show
    from stickback.services import brief as service
    from stickback.services import note
    from stickback.words import lesson as words

    desk = options.desk()
    found = service.brief(desk, lesson)
    show.heading(found.lesson.title)
    show.console().print()
    show.flow(found.lesson.blocks, desk.sheet.values, folder=options.folder)
    lessons.errors(desk.course, found.lesson, desk.sheet.values)
    show.heading(f"This aeroplane: {desk.sheet.name}")
    show.columns(found.numbers)
    show.say(words.CAUTION, style="dim")
    lessons.notes(note.notes(desk, found.lesson.topics))
    show.heading("Questions")
    for topic in found.lesson.topics:
        show.say(words.standing(found, topic))
    show.console().print()
    show.say(f"stickback review --lesson {found.lesson.id}   asks them.", indent=0)
