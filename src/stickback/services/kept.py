"""Courses kept as they were read, in the user's cache folder: most of one is never shown in one run.

A file a course folder, in JSON, under a digest of everything it was read from and of the program that read it. It is
taken only when it is whole, of today and the user's own; else the course is read, which costs time and nothing more.
"""

import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path

import platformdirs

import stickback
from stickback.course import plain
from stickback.course.course import Course, Inside, Question
from stickback.refused import Refused

MOST = 8  # courses kept; those not read anew for longest go first
_OTHERS_MAY_WRITE = 0o022
_WRONG = (OSError, ValueError, TypeError, AttributeError, RecursionError)  # of a file that was not written here

Contents = Sequence[tuple[str, bytes | None]]


def course(folder: Path, contents: Contents, others: Iterable[str], read: Callable[[], Course]) -> Course:
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
