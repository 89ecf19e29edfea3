"""A course checked on disk: whose folder a path belongs to, the line of a problem, and missing ids written."""

import re
from collections.abc import Iterator
from pathlib import Path

from stickback.course.course import PLAN, Course
from stickback.course.front import slug
from stickback.reading.problem import Problem
from stickback.refused import Refused
from stickback.services import folder as folders

_ID = re.compile(rb"\{[ \t]*#([a-z0-9-]+)")
_BRACES = re.compile(r"(?<!\{)\{[^{}]*\}(?!\})")
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


def source_line(folder: Path, problem: Problem) -> str | None:
    """The line of the file that a problem stands on; None where there is none to show."""
    try:
        text = (folder / problem.file).read_bytes().decode("utf-8-sig", errors="replace")
        return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")[problem.line - 1]
    except (OSError, IndexError):
        return None


def write_ids(folder: Path, found: Course) -> list[tuple[str, int, str]]:
    """Adds the ids that questions, lessons and topics lack, and changes nothing else.

    Returns: (file, line, id) of each.
    """
    missing: dict[str, list[int]] = {}
    for problem in found.problems:
        if problem.code == "id-missing":
            missing.setdefault(problem.file, []).append(problem.line)
    taken = set(_ids(folder))
    return [written for name, lines in missing.items() for written in _write_ids(folder / name, name, lines, taken)]


def _ids(folder: Path) -> Iterator[str]:
    """Everything in the course that looks like an id, also in questions that a problem keeps out."""
    for path in folders.texts(folder):
        for match in _ID.findall(path.read_bytes()):
            yield match.decode()


def _write_ids(path: Path, name: str, numbers: list[int], taken: set[str]) -> Iterator[tuple[str, int, str]]:
    """Works on bytes, so that line ends, marks and everything else stay as they are."""
    rows = path.read_bytes().splitlines(keepends=True)
    for number in numbers:
        last = _last_row(rows, number)
        text = rows[last - 1].rstrip(b"\r\n")
        title = b" ".join(rows[number - 1 : last]).decode("utf-8-sig", errors="replace")
        made = _free(slug(_BRACES.sub("", title)), taken)
        taken.add(made)
        rows[last - 1] = _with_id(text, made) + rows[last - 1][len(text) :]
        yield name, last, made
    try:
        path.write_bytes(b"".join(rows))
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


def _free(wanted: str, taken: set[str]) -> str:
    made, number = wanted, 2
    while made in taken:
        made, number = f"{wanted}-{number}", number + 1
    return made
