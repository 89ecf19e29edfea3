"""For the instructor: how a course is written, chapter by chapter."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Sequence

FOR, RANK = "instructor", 12
_WIDE = 30  # columns that names may take beside their meanings


@click.command(name="format")
@click.argument("name", required=False)
def format(name: str | None) -> None:  # noqa: A001 - a command's function has its name
    """Show how courses are written: one chapter, or their list.

    It is made from the tables that the reader uses.
    """
    from stickback.cli.terminal import show
    from stickback.course import reference
    from stickback.refused import Refused

    chapters = reference.chapters()
    if name is None:
        show.heading("How a course is written")
        show.columns([(f"stickback format {key}", chapter.title) for key, chapter in chapters.items()])
        return
    if name not in chapters:
        raise Refused(f"There is no chapter '{name}'; the chapters are {', '.join(chapters)}.")
    chapter = chapters[name]
    show.heading(chapter.title)
    show.say(*chapter.about)
    if chapter.rows:
        show.console().print()
        _rows(chapter.rows)
    for example in filter(None, (chapter.example, *chapter.more)):
        show.console().print()
        for line in example.split("\n"):
            click.echo(f"    {line}".rstrip())


def _rows(rows: "Sequence[tuple[str, str]]") -> None:
    """Names and what they mean, beside each other where the names leave room."""
    from stickback.cli.terminal import show

    if max(len(name) for name, _ in rows) <= _WIDE:
        show.columns(rows)
        return
    for name, meaning in rows:
        show.say(name, style="bold")
        show.say(meaning, indent=6)
