"""The command itself: its options, its commands by name, and what happens to a refusal.

Nothing but click is imported here and at the top of the command modules, so that `--help` and completion are quick.
"""

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stickback.refused import Refused

if TYPE_CHECKING:
    from stickback.course.course import Course
    from stickback.services.desk import Desk
    from stickback.store.database import Database

# In the order in which people meet them; each is a function of that name in its module.
COMMANDS = {
    "review": "study",
    "lesson": "reading",
    "brief": "reading",
    "debrief": "reading",
    "aircraft": "reading",
    "undo": "study",
    "flown": "study",
    "student": "people",
    "check": "check",
    "log": "log",
}


class Day(click.ParamType[date]):
    """An ISO date in the years that the program can count."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The date, or wrong use."""
        if isinstance(value, date):
            return value
        try:
            day = date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date; write one such as 2026-03-01.", param, ctx)
        if not 1970 < day.year < 2200:
            self.fail(f"{value} is not in the years 1971 to 2199.", param, ctx)
        return day


@dataclass(frozen=True)
class Options:
    """What stands before the command, opened when a command asks for it."""

    db: str | None
    course: Path | None
    student: str
    today: date | None

    @property
    def url(self) -> str:
        """The database: the one named, else a file in the user's data folder."""
        if self.db is not None:
            return self.db
        import platformdirs

        folder = platformdirs.user_data_path("stickback")
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Refused(f"The folder {folder} cannot be made: {error.strerror}; name a database with --db.") from None
        return str(folder / "stickback.db")

    def desk(self) -> "Desk":
        """The student's desk."""
        from stickback.services import desk

        return desk.open_desk(self.course, self.url, self.student, self.today)

    def load(self) -> "Course":
        """The course alone."""
        from stickback.services import folder

        return folder.load(self.folder)

    @property
    def folder(self) -> Path:
        """The course folder."""
        from stickback.services import folder

        return self.course or folder.shipped()

    def database(self) -> "Database":
        """The database alone."""
        from stickback.store import database

        return database.locate(self.url)


class Commands(click.Group):
    """A group whose commands are imported when they are named, and whose refusals are one sentence."""

    def list_commands(self, _: click.Context) -> list[str]:
        """All of them, in the order people meet them."""
        return list(COMMANDS)

    def get_command(self, _: click.Context, name: str) -> click.Command | None:
        """The command of a name."""
        if name not in COMMANDS:
            return None
        found = getattr(importlib.import_module(f"stickback.cli.{COMMANDS[name]}"), name)
        assert isinstance(found, click.Command)  # noqa: S101 - the table above names commands
        return found

    def invoke(self, ctx: click.Context) -> Any:
        """Runs a command; a refusal becomes its one sentence and exit status 1."""
        try:
            return super().invoke(ctx)
        except Refused as refused:
            raise click.ClickException(refused.message) from refused


def _readable_streams() -> None:
    """Bytes that are no text, and characters that a terminal lacks, are shown as a mark instead of ending the run."""
    import sys

    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure: Callable[..., None] | None = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


@click.group(cls=Commands, invoke_without_command=True, context_settings={"auto_envvar_prefix": "STICKBACK"})
@click.option("--db", metavar="URL", help="Database file, as a path or sqlite:///path. [default: in your data folder]")
@click.option(
    "--course", type=click.Path(path_type=Path), metavar="DIR", help="Course folder. [default: the shipped one]"
)
@click.option("--student", default="me", show_default=True, metavar="NAME", help="Who studies.")
@click.option("--today", type=Day(), metavar="DATE", help="Act as if today were this day.")
@click.version_option(package_name="stickback")
@click.pass_context
def cli(ctx: click.Context, db: str | None, course: Path | None, student: str, today: date | None) -> None:
    """Ground-school memory for pilots learning to fly taildraggers.

    Without a command: today at a glance. Ten minutes a day: `stickback review`. Study material only: the flight manual,
    local rules and your instructor always win.
    """
    _readable_streams()
    ctx.obj = Options(db, course, student, today)
    if ctx.invoked_subcommand is None:
        from stickback.cli import study

        study.glance(ctx.obj)


def main() -> None:
    """The console script."""
    cli(prog_name="stickback")
