"""For everyone: words looked for in the lesson plan and the questions."""

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
    """Find words in the lesson plan and the questions.

    Exit status 1 when nothing holds them all.
    """
    from stickback import amount
    from stickback.cli.terminal import show
    from stickback.services import desk as desks
    from stickback.services import find as service
    from stickback.store import people

    course = options.load()
    sheet = desks.sheet_of(course, people.find(options.database(), options.student))
    found = service.find(course, sheet, words)
    if not found.topics and not found.questions:
        click.echo(f"Nothing in this course holds “{' '.join(words)}”.", err=True)
        click.get_current_context().exit(1)
    if found.topics:
        show.heading(f"In {amount.many(len(found.topics), 'section')} of the lesson plan")
    for topic, excerpt in found.topics[:_MOST]:
        show.say(f"{topic.title}   stickback lesson {topic.id}", style="bold")
        show.say(excerpt, indent=4)
    if found.questions:
        show.heading(f"In {amount.many(len(found.questions), 'question')}")
    for question, title in found.questions[:_MOST]:
        show.say(title)
        show.say(f"stickback review --topic {question.topic}", style="dim", indent=4)
    left = len(found.topics[_MOST:]) + len(found.questions[_MOST:])
    if left:
        show.console().print()
        show.say(f"And {amount.many(left, 'more place', 'more places')}; another word narrows it down.", indent=0)
