"""For everyone: words looked for in the lesson plan, the questions and one's own notes."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "everyone", 15
_MOST = 20  # of each sort


@click.command()
@click.argument("words", nargs=-1, required=True, metavar="WORDS...")
@click.pass_obj
def find(options: "Options", words: tuple[str, ...]) -> None:
    """Find words in the lesson plan, questions and your notes.

    Exit status 1 when nothing holds them all.
    """
    from stickback import amount
    from stickback.cli.terminal import show
    from stickback.services import find as service
    from stickback.services import note
    from stickback.words import terms

    desk = options.desk()
    found = service.find(desk.course, desk.sheet, words, note.notes(desk))
    if not found:
        click.echo(f"Nothing in this course and your notes holds “{' '.join(words)}”.", err=True)
        click.get_current_context().exit(1)
    if found.topics:
        show.heading(f"In {amount.many(len(found.topics), 'section')} of the lesson plan")
    for topic, excerpt in found.topics[:_MOST]:
        show.columns([(topic.title, f"stickback lesson {topic.id}")], typed=True, style="bold")
        show.say(excerpt, indent=4)
    if found.questions:
        show.heading(f"In {amount.many(len(found.questions), 'question')}")
    for question, title in found.questions[:_MOST]:
        show.say(title)
        show.say(f"stickback review --topic {question.topic}", style="dim", indent=4)
    if found.notes:
        show.heading(f"In {amount.many(len(found.notes), 'note')} of your own")
    for own in found.notes[:_MOST]:
        title = f"{own.topic.title}, {terms.day(own.day)}"
        show.columns([(title, f"stickback lesson {own.topic.id}")], typed=True, style="bold")
        show.say(own.text, indent=4)
    left = sum(len(each[_MOST:]) for each in (found.topics, found.questions, found.notes))
    if left:
        show.console().print()
        show.say(f"And {amount.many(left, 'more place', 'more places')}; another word narrows it down.", indent=0)
