"""For student and instructor: where the theory is weak, and where to read it up."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.services.debrief import Debrief
    from stickback.services.desk import Desk

FOR, RANK = "student", 40


@click.command()
@click.argument("lesson", required=False)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def debrief(options: "Options", lesson: str | None, as_json: bool) -> None:
    """Where the theory is weak, worst first, and where to read it up."""
    import json

    from stickback.services import debrief as service

    desk = options.desk()
    found = service.debrief(desk, lesson)
    if as_json:
        data = service.as_json(desk, found)
        for one in (*data["wrong_today"], *data["weak"]):
            one["read"] = _lesson(one["topic"])
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
    else:
        _debrief(desk, found)


def _debrief(desk: "Desk", found: "Debrief") -> None:
    from rich.text import Text

    from stickback.cli.terminal import show
    from stickback.course.asking import titled
    from stickback.words import debrief as words
    from stickback.words import terms

    if found.missed:
        show.heading(words.MISSED)
    for one in found.missed:
        show.console().print()
        show.say(one.title, style="bold")
        said, *points = words.missed(one)
        show.say(said, indent=4)
        for point in points:
            show.wrapped(Text(point), "    ", "       ")
        _read(terms.topic(desk.course, one.question.topic), one.question.topic)
    if found.errors:
        show.heading(words.SEEN)
        show.say(*(words.seen_in_flight(desk, error) for error in found.errors))
    if found.before:
        show.heading(words.BEFORE)
    for question in found.before:
        show.say(titled(question, desk.sheet))
        _read(terms.topic(desk.course, question.topic), question.topic)
    if found.weak:
        show.heading(words.WEAK)
    elif nothing := words.nothing(desk, found, "`stickback review`"):
        show.console().print()
        show.say(nothing, indent=0)
    for weak in found.weak:
        show.console().print()
        show.say(words.weak(weak), style="bold")
        show.say(words.facts(desk, found, weak), _lesson(weak.topic.id), indent=4)


def _read(title: str, topic: str) -> None:
    from stickback.cli.terminal import show

    show.columns([(title, _lesson(topic))], 4, typed=True, style="dim")


def _lesson(topic: str) -> str:
    """What is typed to read a topic up."""
    return f"stickback lesson {topic}"
