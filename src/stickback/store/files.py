"""Files on disk, in their place only when they are whole; those of a database private to their owner."""

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from stickback.refused import Refused

PRIVATE = 0o600
AHEAD, SHARED = "-wal", "-shm"  # what SQLite keeps beside a file: what was written ahead, and where to find it


def private(path: Path) -> None:
    """Makes an empty file that its owner alone may read; one that is there stays as it is.

    What SQLite puts beside a database may be read by whoever may read the database.
    """
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, PRIVATE))


def beside(path: Path, end: str) -> Path:
    """The file that SQLite keeps beside a database."""
    return path.with_name(path.name + end)


def written_ahead(path: Path) -> bool:
    """Whether a database is not whole without what lies beside it."""
    ahead = beside(path, AHEAD)
    return ahead.exists() and ahead.stat().st_size > 0


@contextmanager
def whole(path: Path, *, over: bool = False) -> Iterator[Path]:
    """An empty private file that takes its place when all went well, and is gone when not.

    Args:
        over: takes the place of what is there, too.
    Errors: FileExistsError when there is something in its place by then.
    """
    handle, name = tempfile.mkstemp(prefix=f"{path.name}.", suffix=".unfinished", dir=path.parent)
    os.close(handle)
    unfinished = Path(name)
    try:
        yield unfinished
        _place(unfinished, path, over=over)
    finally:
        for end in ("", AHEAD, SHARED):
            beside(unfinished, end).unlink(missing_ok=True)


def _place(unfinished: Path, path: Path, *, over: bool) -> None:
    _synced(unfinished)
    try:
        if over:
            unfinished.replace(path)
        else:
            path.hardlink_to(unfinished)
    except OSError:
        # Some disks know no second name of a file.
        if over or path.exists():
            raise
        unfinished.replace(path)
    if os.name == "posix":
        _synced(path.parent)


def _synced(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY if os.name == "posix" else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def set_aside(path: Path, mark: str) -> Path:
    """Moves a database, with what lies beside it, to another name; gives that."""
    moved = path.with_name(f"{path.name}.{mark}")
    for end in (SHARED, AHEAD, ""):
        with suppress(FileNotFoundError):
            beside(path, end).replace(beside(moved, end))
    return moved


@contextmanager
def copied(path: Path) -> Iterator[Path]:
    """A copy of a database with what was written ahead, where it can be opened; gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="stickback-") as folder:
        copy = Path(folder) / path.name
        for end in ("", AHEAD):
            with suppress(FileNotFoundError):
                shutil.copyfile(beside(path, end), beside(copy, end))
        yield copy


# Files that are no database


def write(files: Sequence[tuple[Path, bytes]]) -> None:
    """Writes files, all of them or none: each beside its place first, then moved there.

    Errors: Refused, naming the first, when one cannot be written; everything is as it was.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        for path, content in files:
            staged.append((_staged(path, content), path))
        _move(staged)
    except OSError as error:
        raise Refused(f"{files[0][0]} cannot be written: {error.strerror or error}.") from None
    finally:
        for new, _ in staged:
            new.unlink(missing_ok=True)


def keep(path: Path, content: bytes) -> bool:
    """Writes a file that may be lost at any time, in a folder of its owner's; says whether it could be written."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write([(path, content)])
    except (OSError, Refused):
        return False
    return True


def _staged(path: Path, content: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        new.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    return new


def _move(staged: Sequence[tuple[Path, Path]]) -> None:
    """Moves each new file to its place; where one cannot be moved, those moved before it are put back."""
    before = [(path, path.read_bytes() if path.exists() else None) for _, path in staged]
    for number, (new, path) in enumerate(staged):
        try:
            new.replace(path)
        except OSError:
            for moved, content in before[:number]:
                moved.unlink() if content is None else moved.write_bytes(content)
            raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
