"""For the instructor: how each question behaves, and what students said of it."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File, by_ending, write

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.services.questions import Behaved

FOR, RANK = "instructor", 25


@click.command()
@click.option("--all", "everything", is_flag=True, help="Every question answered, not only those to look at.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "csv", "json"]),
    help="[default: by the ending of --out, else text]",
)
@click.option("--out", type=File(dir_okay=False), metavar="FILE", help="Write to a .csv or .json file.")
@click.pass_obj
def questions(options: "Options", everything: bool, form: str | None, out: "Path | None") -> None:
    """Show which questions behave badly, and what students said.

    From the answers of all who study here: how many are right at first sight, whether stronger students do better,
    which wrong options are taken. Few answers say little, and then nothing is advised.
    """
    from stickback.export import table as tables
    from stickback.services import questions as service
    from stickback.words import questions as words

    form = form or by_ending(out, {"csv": "csv", "json": "json"})
    if form == "text" and out is not None:
        raise click.UsageError("A file holds these figures as csv or json; text is for the terminal.")
    course = options.load()
    found = service.behaved(course, options.database())
    if form == "text":
        _show(found, everything=everything)
        return
    made = words.table(found, {"course": course.plan.id, "course_revision": course.revision})
    content = tables.as_csv(made) if form == "csv" else tables.as_json(made, {}, "question") + "\n"
    if out is None:
        click.echo(content, nl=False)
    else:
        write([(out, content.encode())])


def _show(found: "list[Behaved]", *, everything: bool) -> None:
    from stickback.cli.terminal import show
    from stickback.services import questions as service
    from stickback.words import questions as words

    shown = found if everything else service.notable(found)
    for one in shown:
        show.heading(f"{one.question.file}:{one.question.line}  {one.question.id}")
        show.say(words.figures(one))
        if taken := words.options(one):
            show.say(f"taken: {taken}")
        show.say(*(one.item.advice if one.item else ()), style="bold")
        show.say(*(f"note: {note}" for note in one.notes))
    if shown:
        show.console().print()
    show.say(words.summary(found, shown), indent=0)
    if len(shown) < len(found):
        show.say("--all shows every question that was answered.", indent=0)
