"""A course checked on disk: whose folder a path belongs to, the line of a problem, and missing ids written."""

import re
from collections.abc import Iterator
from pathlib import Path

from stickback.course import notes
from stickback.course.course import PLAN, SOURCES, Course
from stickback.reading import clean
from stickback.reading import document as documents
from stickback.reading.problem import Problem
from stickback.refused import Refused
from stickback.services import folder as folders

_SUGGESTED = re.compile(r"\{#(.*)\}")
_UNDERLINE = re.compile(rb" {0,3}(?:-+|=+)[ \t]*$", re.MULTILINE)
_OPENING = re.compile(rb"(?<!\{)\{(?=[^{}]*\}[ \t]*$)")  # of the braces at the end, not of a value's
_CLOSING = re.compile(rb"[ \t]+#+[ \t]*$")  # signs that close a heading are no part of its title


def course_of(path: Path) -> Path:
    """The course folder that a file or folder named on the command line belongs to."""
    place = path if path.is_dir() else path.parent
    above = place.resolve().parent
    if not (place / PLAN).is_file() and (above / PLAN).is_file():
        return above
    return place


class Sources:
    """The lines of the files that problems stand in, each file read once."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._files: dict[str, list[str]] = {}

    def line(self, problem: Problem) -> str | None:
        """The line a problem stands on; None where there is none to show."""
        if problem.file not in self._files:
            raw = folders.content(self._folder / problem.file)
            self._files[problem.file] = [] if raw is None else clean.lines(raw.decode(errors="replace"))
        lines = self._files[problem.file]
        return lines[problem.line - 1] if problem.line <= len(lines) else None


def write_ids(folder: Path, found: Course) -> list[tuple[str, int, str]]:
    """Adds the ids that questions, lessons and topics lack, and changes nothing else.

    Returns: (file, line, id) of each.
    """
    missing: dict[str, list[tuple[int, str]]] = {}
    for problem in found.problems:
        if problem.code == "id-missing" and (made := _SUGGESTED.search(problem.hint)):
            missing.setdefault(problem.file, []).append((problem.line, made[1]))
    return [written for name, lines in missing.items() for written in _write_ids(folder / name, name, lines)]


def _write_ids(path: Path, name: str, wanted: list[tuple[int, str]]) -> Iterator[tuple[str, int, str]]:
    """Works on bytes, so that line ends, marks and everything else stay as they are."""
    rows = path.read_bytes().splitlines(keepends=True)
    for number, made in wanted:
        last = _last_row(rows, number)
        text = rows[last - 1].rstrip(b"\r\n")
        rows[last - 1] = _with_id(text, made) + rows[last - 1][len(text) :]
        yield name, last, made
    _write(path, b"".join(rows))


def write_notes(folder: Path, found: Course) -> list[tuple[str, int, str]]:
    """Writes behind each file the footnotes that it uses and only the list of sources defines; changes nothing else.

    Returns: (file, line, key) of each.
    """
    paths = [path for path in folders.texts(folder) if path.name != SOURCES]
    return [written for path in paths for written in _write_notes(path, path.relative_to(folder).as_posix(), found)]


def _write_notes(path: Path, name: str, found: Course) -> Iterator[tuple[str, int, str]]:
    raw = folders.content(path) or b""
    document, _ = documents.load(raw, name)
    wanted = [key for key in notes.missing(document) if key in found.sources] if document else []
    if not wanted:
        return
    end = b"\r\n" if b"\r\n" in raw else b"\n"
    lines = [f"[^{key}]: {found.sources[key]}".encode() for key in wanted]
    defined = b"[^" in raw.rstrip().rpartition(b"\n")[2][:2]  # then these go on with those that stand there
    text = raw.rstrip() + end * (1 if defined else 2) + end.join(lines) + end
    _write(path, text)
    first = len(clean.lines(text.decode())) - len(lines)
    yield from ((name, first + at, key) for at, key in enumerate(wanted))


def _write(path: Path, raw: bytes) -> None:
    try:
        path.write_bytes(raw)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {folders.reason(error)}.") from None


def _last_row(rows: list[bytes], number: int) -> int:
    """The last line of a heading's title: its own, or the one above the signs that underline it."""
    if rows[number - 1].lstrip().startswith(b"#"):
        return number
    ends = (at for at in range(number, len(rows)) if _UNDERLINE.match(rows[at]))
    return next(ends, number)


def _with_id(text: bytes, made: str) -> bytes:
    """The heading with an id: inside its braces when it has some, else behind its title."""
    found = f"{{#{made}}}".encode()
    if match := _OPENING.search(text):
        return text[: match.end()] + f"#{made} ".encode() + text[match.end() :].lstrip()
    closing = _CLOSING.search(text)
    at = closing.start() if closing else len(text.rstrip())
    return text[:at] + b" " + found + (b"" if closing else text[at:])
