"""A course folder on disk: begun, found, and read, or taken as it was kept when it was read last.

What was read is kept in the user's cache folder, since most of a course is never shown in one run: a file a course
folder, in JSON, under a digest of everything it was read from and of the program that read it. It is taken only when it
is whole, of today and the user's own; else the course is read, which costs time and nothing more.
"""

import gc
import json
import os
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path

import platformdirs

import stickback
from stickback.course.course import PLAN, SHEETS, Course, Inside, Question
from stickback.refused import Refused
from stickback.services import plain

MOST = 8  # courses kept; those not read anew for longest go first
_OTHERS_MAY_WRITE = 0o022
_WRONG = (OSError, ValueError, TypeError, AttributeError, RecursionError)  # of a file that was not written here

Contents = Sequence[tuple[str, bytes | None]]


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
        return _as_kept(folder, list(files.items()), others, fresh) if draws is None else fresh()


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
    for place in ("", SHEETS):
        with suppress(FileNotFoundError, NotADirectoryError, PermissionError), os.scandir(folder / place) as inside:
            names = sorted(each.name for each in inside if is_text(f"{place}{each.name}"))
            yield from (folder / place / name for name in names)


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


# As it was kept


def _as_kept(folder: Path, contents: Contents, others: Iterable[str], read: Callable[[], Course]) -> Course:
    """The course of a folder: as it was kept, else read and kept.

    Args:
        contents: the files that are read, by their path in the folder.
        others: the paths of those that only have to be there.
    """
    key = _key(contents, others)
    place = _place(folder)
    with suppress(*_WRONG):
        return _taken(place, key, contents)
    found = read()
    with suppress(OSError, Refused):
        _keep(place, key, found)
    return found


def _place(folder: Path) -> Path:
    name = blake2b(os.fsencode(folder.resolve()), digest_size=8).hexdigest()
    return platformdirs.user_cache_path("stickback") / "courses" / f"{name}.json"


def _key(contents: Contents, others: Iterable[str]) -> bytes:
    digest = blake2b(digest_size=16)
    files = [(name, raw) if raw is not None else (f"{name}/", b"") for name, raw in contents]
    for name, raw in [*files, *((name, b"") for name in sorted(others)), *_program()]:
        digest.update(b"%d %d " % (len(name), len(raw)) + os.fsencode(name) + raw)
    return digest.hexdigest().encode()


def _program() -> Iterator[tuple[str, bytes]]:
    """The modules of the program, each with its size and when it was changed: someone may be writing on them."""
    for package in sorted(Path(stickback.__file__).parent.glob("*/")):
        for module in sorted(package.glob("*.py")):
            about = module.stat()
            yield str(module), b"%d %d" % (about.st_size, about.st_mtime_ns)


def _taken(place: Path, key: bytes, contents: Contents) -> Course:
    """Errors: one of `_WRONG` where there is no file that this user wrote, whole and of these contents."""
    with place.open("rb") as file:
        about = os.fstat(file.fileno())
        raw = file.read()
    head, _, body = raw.partition(b"\n")
    if head != _head(key, body) or about.st_mode & _OTHERS_MAY_WRITE or about.st_uid != _user(about.st_uid):
        raise ValueError("kept of something else, torn, or written by another")

    @cache
    def opener() -> Callable[[Question], Inside]:
        from stickback.course import read

        return read.opener(contents)

    taken = plain.unpacked(Course, json.loads(body), {"opened": lambda question: opener()(question)})
    assert isinstance(taken, Course)  # noqa: S101 - what it was told to make
    return taken


def _user(owner: int) -> int:
    """Who runs the program; where the system does not say, whoever owns the file."""
    return os.geteuid() if hasattr(os, "geteuid") else owner


def _head(key: bytes, body: bytes) -> bytes:
    return key + b" " + blake2b(body, digest_size=16).hexdigest().encode()


def _keep(place: Path, key: bytes, found: Course) -> None:
    from stickback.services import files

    body = json.dumps(plain.packed(found), separators=(",", ":")).encode()
    place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    files.write([(place, _head(key, body) + b"\n" + body)])
    oldest = sorted(place.parent.iterdir(), key=lambda path: path.stat().st_mtime)
    for path in oldest[:-MOST]:
        path.unlink(missing_ok=True)


_STARTER = Path(__file__).resolve().parents[1] / "starter"


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
