"""The user's cache folder: a course as it was read last, since most is never shown in one run, and its figures drawn.

A file a course folder: JSON, under a digest of everything it was read from and of the
program that read it. It is taken only when it is whole, of today and the user's own; else the course is read, which
costs time and nothing more. What is inside a question is not kept: its deck is read again when it is asked.
"""

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import Field, fields, is_dataclass
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any, Literal, TypeAlias, get_args, get_origin, get_type_hints

import platformdirs

import stickback
from stickback.course.course import Course, Inside, Question
from stickback.reading.text import Figure, Picture

Contents: TypeAlias = Sequence[tuple[str, bytes | None]]  # the files that are read, by their path in the folder

MOST = 8  # courses kept; those not read anew for longest go first
_OTHERS_MAY_WRITE = 0o022
_WRONG = (OSError, ValueError, TypeError, AttributeError, RecursionError)  # of a file that was not written here
_SCALARS = (str, int, float, bool)


def key(contents: Contents, others: Iterable[str]) -> bytes:
    """A digest of all that a course is read from: it is taken where this is the same.

    Args:
        others: the paths of the files that only have to be there.
    """
    digest = blake2b(digest_size=16)
    files = [(name, raw) if raw is not None else (f"{name}/", b"") for name, raw in contents]
    for name, raw in [*files, *((name, b"") for name in sorted(others)), *program()]:
        digest.update(b"%d %d " % (len(name), len(raw)) + os.fsencode(name) + raw)
    return digest.hexdigest().encode()


def program() -> Iterator[tuple[str, bytes]]:
    """The modules of the program, each with its size and when it was changed: someone may be writing on them."""
    for package in sorted(Path(stickback.__file__).parent.glob("*/")):
        for module in sorted(package.glob("*.py")):
            about = module.stat()
            yield str(module), b"%d %d" % (about.st_size, about.st_mtime_ns)


def taken(folder: Path, key: bytes, contents: Contents) -> Course | None:
    """The course of a folder as it was kept; None where it was not, or of something else, or by another."""
    with suppress(*_WRONG):
        return _unpacked(_body(_place(folder), key), contents)
    return None


def keep(folder: Path, key: bytes, found: Course) -> None:
    """Keeps a course that was read; where that cannot be, it is read again the next time."""
    from stickback.store import files  # a course that was kept needs it not

    place, body = _place(folder), json.dumps(packed(found), separators=(",", ":")).encode()
    if files.keep(place, _head(key, body) + b"\n" + body):
        with suppress(OSError):
            for path in sorted(place.parent.iterdir(), key=lambda path: path.stat().st_mtime)[:-MOST]:
                path.unlink(missing_ok=True)


def _place(folder: Path) -> Path:
    name = blake2b(os.fsencode(folder.resolve()), digest_size=8).hexdigest()
    return platformdirs.user_cache_path("stickback") / "courses" / f"{name}.json"


def _body(place: Path, key: bytes) -> bytes:
    """Errors: one of `_WRONG` where there is no file that this user wrote, whole and under this key."""
    with place.open("rb") as file:
        about = os.fstat(file.fileno())
        raw = file.read()
    head, _, body = raw.partition(b"\n")
    if head != _head(key, body) or about.st_mode & _OTHERS_MAY_WRITE or about.st_uid != _user(about.st_uid):
        raise ValueError("kept of something else, torn, or written by another")
    return body


def _user(owner: int) -> int:
    """Who runs the program; where the system does not say, whoever owns the file."""
    return os.geteuid() if hasattr(os, "geteuid") else owner


def _head(key: bytes, body: bytes) -> bytes:
    return key + b" " + blake2b(body, digest_size=16).hexdigest().encode()


def _unpacked(body: bytes, contents: Contents) -> Course:
    @cache
    def reader() -> Callable[[Question], Inside]:
        from stickback.course import read

        return read.inside_reader(contents)

    course = unpacked(Course, json.loads(body), {"read_inside": lambda question: reader()(question)})
    assert isinstance(course, Course)  # noqa: S101 - what it was told to make
    return course


# Values as plain ones and back by their type hints: nothing but values is made, and a value class needs nothing for it.

Plain: TypeAlias = Any  # None, a text, a number, a list of such, or a dict of such by text
Build: TypeAlias = Callable[[Plain], Any]


def packed(value: object) -> Plain:
    """The plain form of a value: of a value class a list of its fields, in their order."""
    if is_dataclass(value):
        return [packed(getattr(value, each.name)) for each in _fields(type(value))]
    if isinstance(value, tuple):
        return [packed(each) for each in value]
    if isinstance(value, frozenset):
        return [packed(each) for each in sorted(value)]
    if isinstance(value, dict):
        return {key: packed(each) for key, each in value.items()}
    return value


def unpacked(hint: Any, plain: Plain, anew: Mapping[str, object]) -> Any:
    """The value of a type from its plain form.

    Args:
        anew: what each field gets, by its name, that is no part of a value.
    Errors: TypeError or ValueError where the plain form is not one of that type.
    """
    return _Builder(anew).build(hint)(plain)


def _fields(of: type) -> list[Field[Any]]:
    """Those of a value class that are part of its value; what is not compared (`Question.read_inside`) is not kept."""
    return [each for each in fields(of) if each.compare]


class _Builder:
    """Makes one function a type, once; those of a value class that holds itself find themselves."""

    def __init__(self, anew: Mapping[str, object]) -> None:
        self._anew = anew
        self._made: dict[Any, Build] = {}

    def build(self, hint: Any) -> Build:
        """The function that makes values of a type."""
        if hint not in self._made:
            self._made[hint] = lambda plain: self._made[hint](plain)  # while it is being made
            self._made[hint] = self._new(hint)
        return self._made[hint]

    def _new(self, hint: Any) -> Build:
        origin, args = get_origin(hint), get_args(hint)
        if hint in _SCALARS:
            return _scalar(hint)
        if origin is Literal:
            return lambda plain: args[args.index(plain)]
        if is_dataclass(hint):
            return self._value_class(hint)
        if origin is dict and args[0] is str:
            key, each = self.build(str), self.build(args[1])
            return lambda plain: {key(name): each(value) for name, value in plain.items()}
        if origin is frozenset or (origin is tuple and args[-1] is ...):
            each, container = self.build(args[0]), origin
            return lambda plain: container(map(each, plain))
        if origin is tuple:
            parts = [self.build(arg) for arg in args]
            return lambda plain: tuple([part(value) for part, value in zip(parts, plain, strict=True)])
        raise NotImplementedError(f"{hint} has no plain form")

    def _value_class(self, of: Any) -> Build:
        hints = get_type_hints(of)
        kept = [(each.name, self.build(hints[each.name])) for each in _fields(of)]
        anew = {each.name: self._anew[each.name] for each in fields(of) if not each.compare}

        def make(plain: Plain) -> Any:
            return of(**{name: build(value) for (name, build), value in zip(kept, plain, strict=True)}, **anew)

        return make


def _scalar(of: type) -> Build:
    def same(plain: Plain) -> Any:
        if type(plain) is of or (of is float and type(plain) is int):
            return plain
        raise TypeError(f"{plain!r:.40} is not {of.__name__}")

    return same


def picture(folder: Path, shown: Figure | Picture) -> Path | None:
    """Where a picture can be opened, a figure once it is drawn; None where it is missing or cannot be written.

    Args:
        folder: of the course.
    """
    if isinstance(shown, Picture):
        path = folder / shown.path
        return path if path.is_file() else None
    from stickback.pictures import figure  # only some texts need it
    from stickback.store import files

    digest = blake2b(json.dumps(sorted(shown.words.items())).encode(), digest_size=8).hexdigest()
    path = platformdirs.user_cache_path("stickback") / "figures" / f"{digest}.svg"
    drawn = figure.draw(shown.words).encode()  # anew: an older version may have drawn it otherwise
    return path if files.keep(path, drawn) else None  # its sentence says the same
