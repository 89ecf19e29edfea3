"""The command itself: its options, its commands found by their modules, and what happens to a refusal.

A command is a module of this package that says `FOR` whom it is and its `RANK` among theirs, and has a click command of
the module's name; the module of a command named like a Python keyword has a line behind its name. Nothing but click is
imported here and at the top of these modules, so that `--help` and completion are quick.
"""

import atexit
import gc
import importlib
import os
from datetime import date
from functools import cache
from types import ModuleType
from typing import TYPE_CHECKING, Any

import click

from stickback import cli as package
from stickback.cli.options import Day, File, Options
from stickback.cli.terminal import streams
from stickback.refused import Refused

if TYPE_CHECKING:
    from pathlib import Path

# Objects made before garbage is looked for: most commands end before, and looking took a tenth of their time.
_GARBAGE = 500_000
GROUPS = {"student": "Students", "instructor": "Instructors", "school": "The school", "everyone": "Everyone"}


@cache
def modules() -> dict[str, ModuleType]:
    """The module of every command, by the command's name, as `--help` lists them: by whose they are, then by rank."""
    found = [(name, module) for name in _files() if (module := _module(name))]
    places = list(GROUPS)
    return dict(sorted(found, key=lambda each: (places.index(each[1].FOR), each[1].RANK)))


@cache
def _files() -> dict[str, str]:
    """The modules beside this one, by what is typed for them."""
    stems = (each.name.removesuffix(".py") for each in os.scandir(*package.__path__) if each.name.endswith(".py"))
    return {stem.rstrip("_"): stem for stem in stems if not stem.startswith("_")}


def _module(name: str) -> ModuleType | None:
    """The module of a command, imported; None where there is no such command."""
    if name not in _files():
        return None
    module = importlib.import_module(f"stickback.cli.{_files()[name]}")
    return module if hasattr(module, "FOR") else None


class Commands(click.Group):
    """A group whose commands are imported when they are named, and whose refusals are one sentence."""

    def list_commands(self, _: click.Context) -> list[str]:
        """All of them, in the order in which `--help` lists them."""
        return list(modules())

    def get_command(self, _: click.Context, name: str) -> click.Command | None:
        """The command of a name."""
        module = _module(name)
        if module is None:
            return None
        command = getattr(module, _files()[name])
        assert isinstance(command, click.Command)  # noqa: S101 - a test tries every module
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The commands by who uses them, those of every day first."""
        widest = max(map(len, modules()))
        for group, title in GROUPS.items():
            rows = [
                (name.ljust(widest), command.get_short_help_str(formatter.width - widest - 6))
                for name, module in modules().items()
                if group == module.FOR and (command := self.get_command(ctx, name))
            ]
            with formatter.section(title):
                formatter.write_dl(rows)

    def main(self, *args: Any, **more: Any) -> Any:
        """Runs what was typed, on streams that can say it."""
        streams.readable()
        return super().main(*args, **more)

    def invoke(self, ctx: click.Context) -> Any:
        """Runs a command; a refusal becomes its one sentence and exit status 1.

        What fails otherwise may fail for a row that the program never wrote: that is then named.
        """
        try:
            return super().invoke(ctx)
        except Refused as refused:
            from stickback.store.engine import Damaged

            said = ctx.obj.damaged() if isinstance(refused, Damaged) else None
            raise click.ClickException(said or str(refused)) from refused
        except (click.ClickException, click.exceptions.Exit, click.Abort, OSError):
            raise
        except Exception as error:
            said = ctx.obj.damaged() if isinstance(ctx.obj, Options) else None
            if said is None:
                raise
            raise click.ClickException(said) from error


@click.group(cls=Commands, invoke_without_command=True, context_settings={"auto_envvar_prefix": "STICKBACK"})
@click.option("--db", metavar="URL", help="Database file, or postgresql://host/name. [default: in your data folder]")
@click.option("--course", type=File(), metavar="DIR", help="Course folder. [default: the shipped one]")
@click.option("--student", default="me", show_default=True, metavar="NAME", help="Who studies.")
@click.option("--today", type=Day(), metavar="DATE", help="Act as if today were this day.")
@click.version_option(package_name="stickback")
@click.pass_context
def cli(ctx: click.Context, db: str | None, course: "Path | None", student: str, today: date | None) -> None:
    """Ground-school memory for pilots learning to fly taildraggers.

    Without a command: today at a glance. Ten minutes a day: `stickback review`. Study material only: the flight manual,
    local rules and your instructor always win.
    """
    ctx.obj = Options(db, course, student, today)
    if ctx.invoked_subcommand is None:
        from stickback.cli import today as todays

        todays.glance(ctx.obj)


def main() -> None:
    """The console script."""
    gc.set_threshold(_GARBAGE)
    atexit.register(gc.freeze)  # the system takes everything back at the end; looking through it took a tenth too
    with streams.whole():
        cli(prog_name="stickback")
