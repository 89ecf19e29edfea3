"""Folders on disk: that of the user's data, and a course, begun, found, and read, or taken as it was kept last."""

import gc
import os
from collections.abc import Container, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import platformdirs

from stickback.course.course import PLAN, SHEETS, Course
from stickback.refused import Refused
from stickback.services import cache
from stickback.services.cache import Contents

_STARTER = Path(__file__).resolve().parents[1] / "starter"


def database(named: str | None) -> str:
    """The URL or path of the database: the one named, else a file in the user's data folder.

    Errors: Refused when that folder cannot be made.
    """
    return str(data("stickback.db")) if named is None else named


def data(name: str) -> Path:
    """A file in the user's data folder, which is made.

    Errors: Refused when it cannot be made.
    """
    folder = platformdirs.user_data_path("stickback")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"The folder {folder} cannot be made: {error.strerror}; name a database with --db.") from None
    return folder / name


def shipped() -> Path:
    """The course that ships: inside the installed package, or beside its source."""
    package = Path(__file__).resolve().parents[1]
    inside, beside = package / "decks", package.parents[1] / "decks"
    return inside if (inside / PLAN).is_file() else beside


def load(folder: Path, times: int | None = None, changed: Container[str] | None = None) -> Course:
    """The course in a folder, with its problems; as it was kept where nothing changed since.

    Args:
        times: how often each question that draws its values is tried, and then the course is read anew; where it is
            None a few times, and never of the course that ships: it is proven before it ships, and the day's first
            screen need not wait for it.
        changed: names of the files whose questions and aeroplanes alone are tried; None for all.

    Errors: Refused when there is no such folder or a file in it cannot be opened.
    """
    try:
        if not folder.is_dir():
            raise Refused(f"There is no course folder {folder}.")
        files = {path.relative_to(folder).as_posix(): content(path) for path in paths(folder)}
        others = [name for path in folder.rglob("*") if (name := path.relative_to(folder).as_posix()) not in files]
    except (OSError, ValueError) as error:
        raise Refused(f"The course folder {folder} cannot be read: {reason(error)}.") from None
    contents = list(files.items())
    with _nothing_collected():
        if times is not None:
            return _read(contents, others, times, changed)
        key = cache.key(contents, others)
        if (course := cache.taken(folder, key, contents)) is None:
            course = _read(contents, others, 0 if folder == shipped() else None)
            cache.keep(folder, key, course)
        return course


def _read(
    contents: Contents, others: Iterable[str], times: int | None, changed: Container[str] | None = None
) -> Course:
    from stickback.course import prove, read  # a course that was kept needs neither

    return read.read(contents, others, prove.FEW if times is None else times, changed)


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Of a course that is being read nothing is garbage, and looking for it takes its time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def paths(folder: Path) -> Iterator[Path]:
    """What has the name and place of a file of the course, in a course folder."""
    for place in ("", SHEETS):
        with suppress(FileNotFoundError, NotADirectoryError, PermissionError), os.scandir(folder / place) as inside:
            names = sorted(each.name for each in inside if is_read(f"{place}{each.name}"))
            yield from (folder / place / name for name in names)


def is_read(name: str) -> bool:
    """Whether a path inside a course folder is that of a file that is read."""
    place, _, file = name.rpartition("/")
    return place in {"", SHEETS.rstrip("/")} and file.endswith(".md") and file.casefold() != "readme.md"


def content(path: Path) -> bytes | None:
    """What a file holds; None of a folder, a pipe or a link to nowhere that has the name of one."""
    return path.read_bytes() if path.is_file() else None


def reason(error: Exception) -> str:
    """Why a file could not be opened or written, in the system's words."""
    return getattr(error, "strerror", None) or str(error)


def stamp(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """What tells whether a file of a course has changed since: names, sizes and times.

    Errors: Refused as for `load`.
    """
    try:
        found = [(str(path), path.stat()) for path in paths(folder)]
    except OSError as error:
        raise Refused(f"The course folder {folder} cannot be read: {reason(error)}.") from None
    return tuple((name, each.st_size, each.st_mtime_ns) for name, each in found)


def begin(folder: Path) -> list[str]:
    """Writes the course that instructors begin with, into a folder that is not there yet or empty.

    Returns: the names of its files.

    Errors: Refused when something is there already, or the folder cannot be written.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise Refused(f"{folder} is there already; name a new folder.")
        names = [path.relative_to(_STARTER).as_posix() for path in sorted(_STARTER.rglob("*.md"))]
        for name in names:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes((_STARTER / name).read_bytes())
    except OSError as error:
        raise Refused(f"{folder} cannot be written: {reason(error)}.") from None
    return names
