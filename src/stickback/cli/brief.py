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
    from stickback import amount
    from stickback.cli import lesson as lessons
    from stickback.cli.terminal import show
    from stickback.services import brief as service

    desk = options.desk()
    found = service.brief(desk, lesson)
    show.heading(found.lesson.title)
    show.console().print()
    show.flow(found.lesson.blocks, desk.sheet.values)
    lessons.errors(found.lesson, desk.sheet.values)
    show.heading(f"This aeroplane: {desk.sheet.name}")
    show.columns(found.numbers)
    show.say("The flight manual of the aeroplane you fly is the only source of its numbers.", style="dim")
    show.heading("Questions")
    for topic in found.lesson.topics:
        rows = [(known, question) for question, known in found.questions if question.topic == topic.id]
        seen = [known for known, _ in rows if known is not None]
        mean = amount.percent(sum(seen) / len(seen)) if seen else "unseen"
        show.say(f"{topic.title}: {amount.many(len(rows), 'question')}, {len(seen)} seen, known {mean}")
    show.console().print()
    show.say(f"stickback review --lesson {found.lesson.id}   asks them.", indent=0)
