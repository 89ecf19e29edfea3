"""For the student: notes of one's own beside the topics."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 35


@click.command()
@click.argument("topic", required=False)
@click.argument("text", nargs=-1, metavar="[TEXT...]")
@click.option("--remove", is_flag=True, help="Take the newest note beside the topic away.")
@click.pass_obj
def note(options: "Options", topic: str | None, text: tuple[str, ...], remove: bool) -> None:
    """Write a note of your own beside a topic, or read them.

    With TEXT it is added; `lesson` and `brief` show it beside the topic, the newest first. Without TEXT the notes of
    the topic are shown; without TOPIC, all of them.
    """
    from stickback.cli import lesson as lessons
    from stickback.cli.terminal import show
    from stickback.course import named
    from stickback.services import note as service
    from stickback.words import lesson as words

    if remove and (topic is None or text):
        raise click.UsageError("Say whose newest note is taken away: stickback note TOPIC --remove")
    desk = options.desk()
    if topic is None:
        lessons.notes(service.notes(desk), empty="You have no notes yet; `stickback note TOPIC TEXT` writes one.")
    elif remove:
        show.tell(words.taken_away(service.take_away(desk, topic)))
    elif text:
        service.write(desk, topic, " ".join(text))
        show.tell(words.noted(named.topic(desk.course, topic)))
    else:
        found = named.topic(desk.course, topic)
        lessons.notes(service.notes(desk, [found]), empty=f"There is no note beside “{found.title}” yet.")
