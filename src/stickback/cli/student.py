"""For the school: who studies, with which settings."""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

import click

from stickback.cli.options import Day, File

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.services.student import Settings

FOR, RANK = "school", 10

_CLEARED = {
    "aircraft": "aircraft",
    **dict.fromkeys(("checkride", "sign-off"), "checkride"),
    "next": "next_lesson",
    "on": "next_on",
    "zone": "zone",
}


@click.group()
def student() -> None:
    """Add, set, list and remove students."""


def _settings(command: Callable[..., None]) -> Callable[..., None]:
    """The options that both `add` and `set` take."""
    for option in reversed(
        [
            click.option("--aircraft", metavar="SHEET", help="The aircraft sheet flown."),
            click.option("--phraseology", metavar="P", help="Radio rules: icao, uk or faa."),
            click.option(
                *("--checkride", "--sign-off", "checkride"),
                type=Day(),
                metavar="DATE",
                help="Date of the test or sign-off at the end; both words say the same.",
            ),
            click.option("--next", "next_lesson", metavar="LESSON", help="The next flying lesson."),
            click.option("--on", "next_on", type=Day(), metavar="DATE", help="Its date."),
            click.option("--minutes", type=int, metavar="N", help="Minutes of review a day."),
            click.option(
                "--target", type=float, metavar="R", help="Below this chance of knowing, a question is rusty."
            ),
            click.option("--zone", metavar="ZONE", help="Time zone, such as Europe/London."),
            click.option("--abroad", type=bool, metavar="yes|no", help="Ask the rules of other states too."),
            click.option(
                "--listen", metavar="HOW", help='Hear the radio: off, on, or how: "pace 120, noise heavy, clipped".'
            ),
        ]
    ):
        command = option(command)
    return command


def _given(settings: dict[str, Any]) -> "Settings":
    return {name: value for name, value in settings.items() if value is not None}


@student.command()
@click.argument("name", required=False)
@click.option("--from", "roster", type=File(), metavar="ROSTER.csv", help="Add everyone on a roster, or no one.")
@_settings
@click.pass_obj
def add(options: "Options", /, name: str | None, roster: "Path | None", **settings: Any) -> None:
    """Add a student, or bring back one who was removed.

    A roster is a CSV file whose first line names its columns: name, and any of aircraft, phraseology, checkride,
    next_lesson, next_on, minutes, target, zone, abroad, listen.
    """
    if (name is None) == (roster is None):
        raise click.UsageError("Say a name, or --from ROSTER.csv.")
    if roster is not None:
        _enrol(options, roster)
        return
    from stickback.cli.terminal import show
    from stickback.services import student as service
    from stickback.words import student as words

    course = options.load()
    added, back = service.add(options.database(), course, name or "", _given(settings), options.day)
    show.tell(f"{'Back again' if back else 'Added'}: {words.settings(course, added)}")


def _enrol(options: "Options", roster: "Path") -> None:
    from stickback.refused import Refused
    from stickback.services import student as service

    try:
        text = roster.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise Refused(f"{roster} is not UTF-8 text.") from None
    except OSError as error:
        raise Refused(f"{roster} cannot be read: {error.strerror}.") from None
    for added in service.add_roster(options.database(), options.load(), text, options.day):
        click.echo(f"Added: {added.name}")


@student.command("set")
@click.argument("name")
@_settings
@click.option("--clear", multiple=True, type=click.Choice(list(_CLEARED)), help="Take a setting away.")
@click.pass_obj
def set_(options: "Options", /, name: str, clear: tuple[str, ...], **settings: Any) -> None:
    """Change a student's settings; `set me …` works on a new machine."""
    from stickback.cli.terminal import show
    from stickback.services import student as service
    from stickback.words import student as words

    cleared: dict[str, str | int | float | date | None] = {_CLEARED[each]: None for each in clear}
    if "next" in clear:
        cleared["next_on"] = None
    course = options.load()
    given = {**cleared, **_given(settings)}
    changed = service.set_(options.database(), course, name, given, options.day)
    show.tell(words.settings(course, changed))
    if settings["listen"] and changed.listen != "off":
        _hears()
    if "next_lesson" in settings and settings["next_lesson"] and changed.next_on is None:
        show.tell(words.NO_DATE)


def _hears() -> None:
    """Says what this machine lacks, if it cannot speak."""
    from stickback.cli.terminal import show
    from stickback.services import listen

    if lacking := listen.missing():
        show.tell(f"{lacking} Until then transmissions are shown.")


@student.command("list")
@click.pass_obj
def list_(options: "Options") -> None:
    """List everyone who studies."""
    from stickback.cli.terminal import show
    from stickback.refused import Refused
    from stickback.services import student as service
    from stickback.words import student as words

    found = service.listed(options.database())
    if not found:
        show.tell("No one studies here yet; `stickback review` begins as `me`, `stickback student add` adds others.")
        return
    try:
        course = options.load()
    except Refused:  # who studies is known all the same, only not by the titles of a course that is not there
        course = None
    show.columns([words.HEAD, *(words.row(course, each) for each in found)], 0)


@student.command()
@click.argument("name")
@click.option("--erase", is_flag=True, help="Delete the student and every entry, for good.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.pass_obj
def remove(options: "Options", name: str, erase: bool, yes: bool) -> None:
    """Take a student off every list; the entries stay unless --erase is given."""
    from stickback.cli.terminal import show
    from stickback.services import student as service
    from stickback.words import log as words

    if erase and not yes:
        click.confirm(f"Delete {name} and every answer, for good?", abort=True)
    number = service.remove(options.database(), name, erase=erase)
    show.tell(words.removed(name, number, erased=erase))
