"""The aircraft sheets: listed, shown, and two of them compared."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.course.course import Course, Sheet

FOR, RANK = "everyone", 10


@click.command()
@click.argument("words", nargs=-1, metavar="[SHEET | compare SHEET SHEET]")
@click.pass_obj
def aircraft(options: "Options", words: tuple[str, ...]) -> None:
    """List the aircraft sheets, show one, or compare two.

    `aircraft compare A B` says what differs for a student who changes from A to B, and which questions have another
    answer there.
    """
    from stickback.course import named

    course = options.load()
    if not words:
        _list(course)
    elif len(words) == 1:
        _show(named.sheet(course, words[0]))
    elif len(words) == 3 and words[0] == "compare":
        _compare(course, named.sheet(course, words[1]), named.sheet(course, words[2]))
    else:
        raise click.UsageError("Write `aircraft`, `aircraft SHEET` or `aircraft compare SHEET SHEET`.")


def _list(course: "Course") -> None:
    from stickback.cli.terminal import show
    from stickback.words import course as words

    show.heading("Aircraft sheets")
    show.columns(map(words.row, course.sheets.values()))


def _show(sheet: "Sheet") -> None:
    from stickback.cli.terminal import show
    from stickback.services import aircraft as service

    show.console().print()
    show.flow(sheet.blocks, sheet.values, 0)
    show.heading("Values")
    show.columns((service.readable(key), value) for key, value in sheet.values.items() if key not in sheet.derived)
    show.heading("From the propeller's direction")
    show.columns((service.readable(key), value) for key, value in sheet.values.items() if key in sheet.derived)


def _compare(course: "Course", one: "Sheet", other: "Sheet") -> None:
    from stickback.cli.terminal import show
    from stickback.course.asking import titled
    from stickback.course.course import PHRASEOLOGIES
    from stickback.services import aircraft as service
    from stickback.words import course as words

    found = service.compare(course, one, other, PHRASEOLOGIES[1])
    if not found.values and not found.derived:
        show.say(words.same(one, other), indent=0)
        return
    for title, rows in (("What differs", found.values), ("What follows from the propeller", found.derived)):
        if rows:
            show.heading(title)
            show.columns([("", one.name, other.name), *((service.readable(key), a, b) for key, a, b in rows)])
    show.heading(words.anew(found, other))
    for each in found.changed:
        show.say(titled(each.question, other))
        show.say(*words.answers(one, other, each), style="dim", indent=4)
    for title, asked in words.only(one, other, found):
        show.heading(title)
        show.say(*asked)
