"""Files written whole or not at all."""

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from stickback.refused import Refused


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
