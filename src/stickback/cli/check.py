"""For the instructor: every problem of a course in one run, and how each question was read."""

from typing import TYPE_CHECKING

import click

from stickback.cli.options import File

if TYPE_CHECKING:
    from collections.abc import Mapping, Set
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.course.course import Course
    from stickback.reading.problem import Problem

FOR, RANK = "instructor", 10


@click.command()
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=File())
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--strict", is_flag=True, help="Judge the craft of questions too; warnings count as errors.")
@click.option("--write-ids", is_flag=True, help="Give an id to every heading that lacks one; change nothing else.")
@click.option("--write-notes", is_flag=True, help="Write behind each file the footnotes it uses, for other viewers.")
@click.option("--watch", is_flag=True, help="Check again at every save, until you press Ctrl-C.")
@click.option("--since", metavar="REVISION", help="Only list the questions that changed since a revision of git.")
@click.pass_obj
def check(
    options: "Options",
    paths: "tuple[Path, ...]",
    form: str,
    strict: bool,
    write_ids: bool,
    write_notes: bool,
    watch: bool,
    since: str | None,
) -> None:
    """Find every problem in a course, or in some of its files.

    Says how each question was read. Exit status 1 when there is an error.
    """
    from stickback.services import check as service

    wanted = _wanted(options, paths)
    if since is not None:
        _since(wanted, form, since)
        return
    if not paths and form == "text" and service.unasked(options.folder):
        click.echo("The folder you are in holds a course too: `stickback check .` checks that one.", err=True)
    _write(wanted, form, ids=write_ids, notes=write_notes)
    sound = _run(options, wanted, form, strict=strict)
    if watch:
        for saved in service.saves(wanted):
            click.echo(f"--- {', '.join(sorted(name for names in saved.values() for name in names))}\n", err=True)
            _run(options, saved, form, strict=strict)
    elif not sound:
        click.get_current_context().exit(1)


def _since(wanted: "Mapping[Path, Set[str]]", form: str, revision: str) -> None:
    """Says which questions of the files named, or of all, changed since a revision."""
    import json

    from stickback.services import check as service
    from stickback.words import course as words

    found = [
        one
        for folder, names in wanted.items()
        for one in service.changes(folder, revision)
        if not names or one.question.file in names
    ]
    if form == "json":
        fields = ("file", "line", "id", "title")
        rows = [{"change": one.how} | {field: getattr(one.question, field) for field in fields} for one in found]
        click.echo(json.dumps(rows, indent=2, ensure_ascii=False))
        return
    for one in found:
        click.echo(words.changed(one))
    click.echo(words.changes(found, revision))


def _write(wanted: "Mapping[Path, Set[str]]", form: str, *, ids: bool, notes: bool) -> None:
    """Writes what is missing, and says where."""
    from stickback.services import check as service
    from stickback.services import folder as folders

    for folder in wanted if ids else ():
        for file, line, made in service.write_ids(folder, folders.load(folder)):
            click.echo(f"{file}:{line}: {{#{made}}}", err=form == "json")
    for folder in wanted if notes else ():
        for file, line, key in service.write_notes(folder, folders.load(folder)):
            click.echo(f"{file}:{line}: [^{key}]", err=form == "json")


def _run(options: "Options", wanted: "Mapping[Path, Set[str]]", form: str, *, strict: bool) -> bool:
    """Checks the files named of each folder, or all of them; whether they are sound."""
    from stickback.course import craft, prove
    from stickback.reading import problem as problems
    from stickback.services import folder as folders

    found: list[Problem] = []
    for folder, names in wanted.items():
        course = folders.load(folder, prove.MANY, names or None)
        more = [*_outdated(options, course), *(craft.problems(course) if strict else ())]
        everything = sorted([*course.problems, *more])
        here = [one for one in everything if not names or one.file in names]
        found += here
        if form == "text":
            _report(course, folder, names, here)
    if form == "json":
        click.echo(problems.as_json(found))
    return not (found if strict else problems.errors(found))


def _outdated(options: "Options", course: "Course") -> "list[Problem]":
    """What the answers of a database say of the course; nothing where no database was named and none can be read."""
    from pathlib import Path

    from stickback.refused import Refused
    from stickback.services import folder

    try:
        if options.db is None and not Path(folder.database(None)).is_file():
            return []  # what opens a database takes longer to load than a file to check
        from stickback.services import check as service

        return service.outdated(course, options.database())
    except Refused:
        if options.db is None:
            return []
        raise


def _wanted(options: "Options", paths: "tuple[Path, ...]") -> "dict[Path, set[str]]":
    """Course folders, each with the names of the files to report on; none means all."""
    from stickback.refused import Refused
    from stickback.services import check as service

    wanted: dict[Path, set[str]] = {}
    for path in paths or (options.folder,):
        if not path.exists():
            raise Refused(f"There is no file or folder {path}.")
        folder = service.course_of(path)
        whole = folder in wanted and not wanted[folder]
        names = wanted.setdefault(folder, set())
        if path.is_file() and not whole:
            names.add(path.resolve().relative_to(folder.resolve()).as_posix())
        elif not path.is_file():
            names.clear()
    return wanted


def _report(course: "Course", folder: "Path", names: "Set[str]", found: "list[Problem]") -> None:
    from stickback.reading import problem as problems
    from stickback.services import check as service
    from stickback.words import course as words

    for deck in course.decks:
        if not names or deck.file in names:
            _deck(course, deck.file)
    sources = service.Sources(folder)
    for one in found:
        click.echo(problems.as_text(one, sources.line(one)))
        click.echo()
    click.echo(f"{words.named(course, folder)}: {words.summary(course, names, found)}")


def _deck(course: "Course", file: str) -> None:
    from stickback.words import course as words

    click.echo(file)
    for question in sorted(course.questions.values(), key=lambda one: one.line):
        if question.file == file:
            click.echo(f"  {question.line:>5}  {question.id}: {words.read_as(question)}")
    click.echo()
