"""What stands before the command, and what it opens or writes when a command asks for it."""

import os
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from stickback.refused import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from stickback.course.course import Course
    from stickback.services.desk import Desk
    from stickback.store.engine import Database
    from stickback.study.student import Student


def write(files: "Sequence[tuple[Path, bytes]]") -> None:
    """Writes all of them or none, and says so on standard error.

    Errors: Refused, naming the first, when one cannot be written.
    """
    from stickback.store import files as store

    store.write(files)
    for path, _ in files:
        click.echo(f"Written: {path}", err=True)


_PAPER = {"txt": "text", "html": "html", "htm": "html", "pdf": "pdf"}


def paper(out: "Path | None") -> str:
    """The form of a document that a file's ending names; see `by_ending`."""
    return by_ending(out, _PAPER)


def by_ending(out: "Path | None", forms: Mapping[str, str], otherwise: str = "") -> str:
    """The form that a file's ending names; text where there is no file.

    Args:
        forms: by their endings.
        otherwise: what else may be written.
    Errors: wrong use where it names none.
    """
    if out is None:
        return "text"
    form = forms.get(out.suffix.removeprefix(".").casefold())
    if form is None:
        *first, last = [f".{name}" for name in forms if name != "htm"]
        known = f"{', '.join(first)} or {last}" if first else last
        raise click.UsageError(f"'{out.name}' ends in nothing that is known; write {known}{otherwise}.")
    return form


def give(content: bytes, out: "Path | None") -> None:
    """What was made, in its file, or as text on standard output."""
    if out is None:
        click.echo(content.decode(), nl=False)
    else:
        write([(out, content)])


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


class File(click.Path):
    """A file or folder; what paths need is imported when one is named."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> "Path":
        """The path, or wrong use."""
        from pathlib import Path

        return Path(os.fsdecode(super().convert(value, param, ctx)))


class Options(NamedTuple):  # a dataclass takes a twentieth of the time of `--help`
    """What stands before the command, opened when a command asks for it."""

    db: str | None
    course: "Path | None"
    student: str
    today: date | None

    def desk(self) -> "Desk":
        """The student's desk."""
        from stickback.services import desk

        return desk.desk(self.load(), self.database(), self.student, self.today)

    @property
    def day(self) -> date:
        """Today, in the machine's zone where no day was given."""
        from stickback import clock

        return clock.clock_for(clock.machine_zone(), self.today).today

    def load(self) -> "Course":
        """The course alone."""
        from stickback.services import folder

        return folder.load(self.folder)

    @property
    def folder(self) -> "Path":
        """The course folder."""
        from stickback.services import folder

        return self.course or folder.shipped()

    def database(self) -> "Database":
        """The database alone."""
        from stickback.services import folder
        from stickback.store import engine

        return engine.locate(folder.database(self.db))

    def damaged(self) -> str | None:
        """What may lie behind a failure: the first row of the database that cannot be read, in a sentence."""
        from stickback.store import damage

        try:
            return damage.behind(self.database())
        except Refused as refused:
            return refused.message

    @property
    def everyone(self) -> bool:
        """Whether no student was named before the command."""
        source = click.get_current_context().find_root().get_parameter_source("student")
        return source in {None, click.core.ParameterSource.DEFAULT}

    def students(self, database: "Database") -> "list[Student]":
        """Everyone who studies, or the one student named before the command.

        Errors: Refused when there is no such student.
        """
        from stickback.store import people

        if self.everyone:
            return list(people.everyone(database).values())
        return [people.find(database, self.student)]
