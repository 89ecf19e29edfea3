"""A course checked on disk: whose folder a path belongs to, the line of a problem, and missing ids written.

And what changed in it: since a revision of the git work tree that it stands in, as its files are saved, and under the
answers that students gave before.
"""

import io
import re
import subprocess
import tarfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Event
from typing import Literal

from stickback import amount
from stickback.course import link, read
from stickback.course.course import PLAN, SOURCES, Course, Question
from stickback.course.question import AGAIN
from stickback.reading import clean
from stickback.reading import document as documents
from stickback.reading.problem import At, Problem
from stickback.refused import Refused
from stickback.services import folder as folders
from stickback.store import log
from stickback.store.engine import Database

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


def unasked(folder: Path) -> bool:
    """Whether another course lies in the folder that the program was started in."""
    return Path(PLAN).is_file() and not folder.resolve().samefile(Path.cwd())


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
    paths = [path for path in folders.paths(folder) if path.name != SOURCES]
    return [written for path in paths for written in _write_notes(path, path.relative_to(folder).as_posix(), found)]


def _write_notes(path: Path, name: str, found: Course) -> Iterator[tuple[str, int, str]]:
    raw = folders.content(path) or b""
    document, _ = documents.of_bytes(raw, name)
    wanted = [key for key in link.missing(document) if key in found.sources] if document else []
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


How = Literal["answer changed", "reworded", "new", "removed"]

HOWS: tuple[How, ...] = ("answer changed", "removed", "reworded", "new")


@dataclass(frozen=True)
class Change:
    """A question that is not what it was; of one that is removed what it was."""

    how: How
    question: Question


def changes(folder: Path, revision: str) -> list[Change]:
    """The questions of a course folder that changed, the gravest first, then as they stand.

    A question that moved to another place or deck with the same words has not changed.

    Errors: Refused where the folder is in no git work tree, git is missing, or the revision is not known.
    """
    was, now = _at(folder, revision).questions, folders.load(folder, 0).questions
    found = [Change("removed", was[name]) for name in was.keys() - now.keys()]
    for name, question in now.items():
        if name not in was:
            found.append(Change("new", question))
        elif was[name].key != question.key:
            found.append(Change("answer changed", question))
        elif was[name].revision != question.revision:
            found.append(Change("reworded", question))
    return sorted(found, key=lambda one: (HOWS.index(one.how), one.question.file, one.question.line))


def _at(folder: Path, revision: str) -> Course:
    """The course as it was."""
    with tarfile.open(fileobj=io.BytesIO(_archive(folder, revision))) as archive:
        files = {entry.name: entry for entry in archive if entry.isfile()}
        texts = [name for name in files if folders.is_read(name)]
        contents = [(name, _content(archive, files[name])) for name in texts]
    return read.read(contents, files.keys() - set(texts), 0)


def _archive(folder: Path, revision: str) -> bytes:
    """The files of the folder at a revision, as git packs them."""
    if revision.startswith("-"):  # git would take it for an option
        raise Refused(f"'{revision}' is no revision.")
    command = ["git", "-C", str(folder), "archive", "--format=tar", revision, "."]
    try:
        done = subprocess.run(command, capture_output=True, check=False)  # noqa: S603 - git, asked for a copy
    except OSError:
        raise Refused("`--since` needs git, which is not installed.") from None
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().removeprefix("fatal: ").split("\n")[0]
        raise Refused(f"git does not know {folder} at '{revision}': {said}.")
    return done.stdout


def _content(archive: tarfile.TarFile, entry: tarfile.TarInfo) -> bytes:
    file = archive.extractfile(entry)
    return file.read() if file else b""


QUIET = 200  # milliseconds in which nothing more is saved: an editor may write a file in several goes


def saves(folders: Iterable[Path], stop: Event | None = None) -> Iterator[dict[Path, set[str]]]:
    """The names of the files that were saved, by course folder, each time some were; for ever, or until told."""
    from watchfiles import DefaultFilter, watch

    class OfCourses(DefaultFilter):
        """All that a course is read from, and what it shows."""

        def __call__(self, change: object, path: str) -> bool:
            return super().__call__(change, path) and Path(path).suffix in {".md", ".svg", ".png", ".jpg", ".jpeg"}  # type: ignore[arg-type]

    places = {folder.resolve(): folder for folder in folders}
    for changes in watch(*places, watch_filter=OfCourses(), step=QUIET, stop_event=stop, raise_interrupt=False):
        saved: dict[Path, set[str]] = {}
        for _, name in changes:
            for place, folder in places.items():
                if (path := Path(name)).is_relative_to(place):
                    saved.setdefault(folder, set()).add(path.relative_to(place).as_posix())
        if saved:
            yield saved


def outdated(course: Course, database: Database) -> list[Problem]:
    """A warning for each question that students last answered under another key, sorted by place.

    Who has answered since is no longer concerned, nor is anyone where the question asks again.
    """
    questions = {course.log_name(each): each for each in course.questions.values() if not each.asks_again}
    concerned = Counter(
        name for name, key in log.last_keys(database) if name in questions and questions[name].key != key
    )
    return sorted(_outdated(questions[name], students) for name, students in concerned.items())


def _outdated(question: Question, students: int) -> Problem:
    message = f"The right answer is not what it was when {amount.many(students, 'student')} last answered this."
    hint = f"put asks={AGAIN} into the braces of the heading to count it as unseen; where only words changed, leave it"
    return Problem(At(question.file, question.line, 1), "key-changed", message, hint, "warning")
