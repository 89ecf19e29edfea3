"""The command itself: its options, its commands by name, and what happens to a refusal.

Nothing but click is imported here and at the top of the command modules, so that `--help` and completion are quick.
"""

import importlib
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import click

from stickback.cli.options import Day, Options
from stickback.refused import Refused

# In the order in which people meet them; each is a function of that name in its module.
COMMANDS = {
    "review": "study",
    "lesson": "reading",
    "brief": "reading",
    "debrief": "reading",
    "outlook": "outlook",
    "aircraft": "aircraft",
    "undo": "study",
    "flown": "study",
    "student": "people",
    "readiness": "report",
    "tune": "tune",
    "check": "check",
    "coverage": "check",
    "log": "log",
    "demo": "demo",
}


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
