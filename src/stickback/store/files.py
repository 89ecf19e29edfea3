"""Database files on disk: private to their owner, and in their place only when they are whole."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

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
