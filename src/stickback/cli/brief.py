"""For the student: what to have in mind before a lesson."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 20


@click.command()
@click.argument("lesson")
@click.pass_obj
def brief(options: "Options", lesson: str) -> None:
    """Read a lesson's text, this aeroplane's numbers, its questions."""
    from stickback.cli import lesson as lessons
    from stickback.cli.terminal import show
    from stickback.services import brief as service
    from stickback.services import note
    from stickback.words import lesson as words

    desk = options.desk()
    found = service.brief(desk, lesson)
    show.heading(found.lesson.title)
    show.console().print()
    show.flow(found.lesson.blocks, desk.sheet.values, course=options.folder)
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
