"""A course folder on disk: found and read."""

import gc
from collections.abc import Container, Iterator
from contextlib import contextmanager
from pathlib import Path

from stickback.course.course import PLAN, SHEETS, Course
from stickback.refused import Refused
from stickback.services import kept


def shipped() -> Path:
    """The course that ships: inside the installed package, or beside its source."""
    package = Path(__file__).resolve().parents[1]
    inside, beside = package / "decks", package.parents[1] / "decks"
    return inside if (inside / PLAN).is_file() else beside


def load(folder: Path, draws: int | None = None, changed: Container[str] | None = None) -> Course:
    """The course in a folder, with its problems; as it was kept where nothing changed since.

    Args:
        draws: as in `course.read`, and then the course is read anew; where it is None a few are tried, and none of the
            course that ships: it is proven before it ships, and the day's first screen need not wait for it.
        changed: as in `course.read`.

    Errors: Refused when there is no such folder or a file in it cannot be opened.
    """
    try:
        if not folder.is_dir():
            raise Refused(f"There is no course folder {folder}.")
        files = {path.relative_to(folder).as_posix(): content(path) for path in texts(folder)}
        others = [name for path in folder.rglob("*") if (name := path.relative_to(folder).as_posix()) not in files]
    except (OSError, ValueError) as error:
        raise Refused(f"The course folder {folder} cannot be read: {reason(error)}.") from None

    def fresh() -> Course:
        from stickback.course import prove, read

        few = 0 if folder == shipped() else prove.FEW
        return read.read(files.items(), others, few if draws is None else draws, changed)

    with _nothing_collected():
        return kept.course(folder, list(files.items()), others, fresh) if draws is None else fresh()


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


def texts(folder: Path) -> Iterator[Path]:
    """What has the name and place of a file of the course, in a course folder."""
    for place in (folder, folder / SHEETS):
        for path in sorted(place.glob("*.md")):
            if is_text(path.relative_to(folder).as_posix()):
                yield path


def is_text(name: str) -> bool:
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
        found = [(str(path), path.stat()) for path in texts(folder)]
    except OSError as error:
        raise Refused(f"The course folder {folder} cannot be read: {reason(error)}.") from None
    return tuple((name, each.st_size, each.st_mtime_ns) for name, each in found)
