"""For the student: the daily review."""

import os
import sys
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "student", 10


@click.command()
@click.option("--minutes", type=click.IntRange(1, 240), help="Minutes for today, instead of your setting.")
@click.option("--questions", type=click.IntRange(1, 1000), help="Stop after so many answers.")
@click.option("--topic", metavar="ID", help="Keep to one topic.")
@click.option("--lesson", metavar="ID", help="Keep to one lesson.")
@click.option("--seed", type=int, help="Draw and shuffle the same again.")
@click.pass_obj
def review(
    options: "Options",
    minutes: int | None,
    questions: int | None,
    topic: str | None,
    lesson: str | None,
    seed: int | None,
) -> None:
    """Do today's review.

    At a terminal single keys answer, and g, t or s (guess, think so, sure) submits. Through a pipe every answer is a
    line, such as `b sure`; `stop` or the end of the input leaves. It can be left at any answer and goes on from there.
    """
    from stickback.services import review as service
    from stickback.services.today import Wish

    desk = options.desk()
    session = service.start(desk, Wish(minutes, questions, topic, lesson, seed))
    desk.database.prepare()  # so that the first answer does not wait for it
    if sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb":
        from stickback.cli.terminal import screen

        screen.sit(session, options.folder)
    else:
        from stickback.cli.terminal import lines

        lines.sit(session, options.folder)
