"""For the student: the lesson plan to read."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.course.course import Course, Lesson, Plan, Topic
    from stickback.reading.markup import Block
    from stickback.services.note import Note

FOR, RANK = "student", 30


@click.command()
@click.argument("name", metavar="[ID]", required=False)
@click.pass_obj
def lesson(options: "Options", name: str | None) -> None:
    """Read the lesson plan: its list, a lesson or a topic."""
    from stickback.cli.terminal import show
    from stickback.course import named
    from stickback.course.course import Lesson
    from stickback.services import note as noted

    course = options.load()
    if name is None:
        _plan(course.plan)
        return
    found = named.section(course, name)
    desk = options.desk()
    if isinstance(found, Lesson):
        _lesson(course, found, desk.sheet.values, options.folder)
        notes(noted.notes(desk, found.topics))
    else:
        _topic(course, found, desk.sheet.values, options.folder)
        notes(noted.notes(desk, [found]), titled=False)
        show.console().print()
        show.say(f"stickback review --topic {found.id}   asks about it.", indent=0)


def _plan(plan: "Plan") -> None:
    from stickback.cli.terminal import show
    from stickback.words import lesson as words

    show.heading(plan.title)
    show.console().print()
    show.flow(plan.intro, {})
    for each in plan.lessons:
        show.heading(each.title)
        show.columns(words.topics(each))
    show.console().print()
    show.say("stickback lesson ID   reads a lesson (by number or id) or a topic.", indent=0)


def _lesson(course: "Course", found: "Lesson", values: dict[str, str], folder: "Path") -> None:
    from stickback.cli.terminal import show
    from stickback.words import lesson as words

    show.heading(found.title)
    show.console().print()
    show.flow(found.blocks, values, folder=folder)
    errors(course, found, values)
    show.heading("Topics")
    show.columns(words.topics(found))
    _sources(course, found.blocks)


def errors(course: "Course", found: "Lesson", values: dict[str, str]) -> None:
    """The errors seen of a lesson, each with the topics behind it."""
    from rich.text import Text

    from stickback.cli.terminal import show
    from stickback.words import lesson as words

    if found.errors:
        show.heading("Errors seen")
    for seen, behind in words.errors(course, found, values):
        show.wrapped(Text(seen), "  - ", "    ")
        show.say(behind, style="dim", indent=4)


def _topic(course: "Course", found: "Topic", values: dict[str, str], folder: "Path") -> None:
    from stickback.cli.terminal import show
    from stickback.words import lesson as words

    show.heading(found.title)
    show.say(words.place(course, found), style="dim", indent=0)
    show.console().print()
    show.flow(found.blocks, values, folder=folder)
    _sources(course, found.blocks)


def notes(found: "Sequence[Note]", empty: str = "", *, titled: bool = True) -> None:
    """A student's own notes.

    Args:
        titled: under the titles of their topics.
        empty: said where there is none.
    """
    from itertools import groupby

    from rich.text import Text

    from stickback.cli.terminal import show
    from stickback.words import lesson as words

    if found:
        show.heading("Your notes")
    elif empty:
        click.echo(empty)
    for title, mine in groupby(found, lambda one: one.topic.title):
        if titled:
            show.say(title)
        for one in mine:
            show.wrapped(Text(words.note(one)), "  - ", "    ")


def _sources(course: "Course", blocks: "Iterable[Block]") -> None:
    from rich.text import Text

    from stickback.cli.terminal import show
    from stickback.reading import text as texts

    found = texts.sources(blocks, course.sources)
    if found:
        show.heading("Sources")
    for source in found.values():
        show.wrapped(Text(texts.line(source, {}), style="dim"), "  - ", "    ")
