"""A course folder on disk: found, read, and its questions given their missing ids."""

from collections.abc import Iterator
from pathlib import Path

from stickback.course import course
from stickback.course.course import Course
from stickback.course.front import slug
from stickback.problem import Problem
from stickback.refused import Refused


def shipped() -> Path:
    """The course that ships: inside the installed package, or beside its source."""
    package = Path(__file__).resolve().parents[1]
    inside, beside = package / "decks", package.parents[1] / "decks"
    return inside if (inside / course.PLAN).is_file() else beside


def load(folder: Path) -> Course:
    """The course in a folder, with its problems.

    Errors: Refused when there is no such folder or a file in it cannot be opened.
    """
    try:
        if not folder.is_dir():
            raise Refused(f"There is no course folder {folder}.")
        files = [(path.relative_to(folder).as_posix(), path.read_bytes()) for path in _texts(folder)]
        others = [path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.suffix != ".md"]
    except (OSError, ValueError) as error:
        raise Refused(f"The course folder {folder} cannot be read: {_reason(error)}.") from None
    return course.read(files, others)


def _texts(folder: Path) -> Iterator[Path]:
    for place in (folder, folder / course.SHEETS):
        for path in sorted(place.glob("*.md")):
            if path.is_file() and path.name.casefold() != "readme.md":
                yield path


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)


def course_of(path: Path) -> Path:
    """The course folder that a file or folder named on the command line belongs to."""
    place = path if path.is_dir() else path.parent
    if not (place / course.PLAN).is_file() and (place.parent / course.PLAN).is_file():
        return place.parent
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
    taken = {*found.questions, *found.plan.topics, *(lesson.id for lesson in found.plan.lessons)}
    taken |= {each.id for deck in found.decks for each in deck.questions}
    written: list[tuple[str, int, str]] = []
    for name in dict.fromkeys(problem.file for problem in found.problems if problem.code == "id-missing"):
        lines = [one.line for one in found.problems if one.code == "id-missing" and one.file == name]
        written += _write_ids(folder / name, name, lines, taken)
    return written


def _write_ids(path: Path, name: str, numbers: list[int], taken: set[str]) -> list[tuple[str, int, str]]:
    """Works on bytes, so that line ends, marks and everything else stay as they are."""
    rows = path.read_bytes().splitlines(keepends=True)
    if b"\r" in b"".join(row.rstrip(b"\r\n") for row in rows):
        raise Refused(f"{path} has line ends that no editor writes; save it again first.")
    written = []
    for number in numbers:
        row = rows[number - 1]
        text = row.rstrip(b"\r\n")
        made = _free(slug(text.decode(errors="replace")), taken)
        taken.add(made)
        rows[number - 1] = _with_id(text, made) + row[len(text) :]
        written.append((name, number, made))
    try:
        path.write_bytes(b"".join(rows))
    except OSError as error:
        raise Refused(f"{path} cannot be written: {_reason(error)}.") from None
    return written


def _with_id(text: bytes, made: str) -> bytes:
    """The heading with an id: inside its braces when it has some, else behind it."""
    bare = text.rstrip()
    begin = bare.rfind(b"{")
    has_braces = bare.endswith(b"}") and not bare.endswith(b"}}") and begin >= 0
    if has_braces:
        return bare[: begin + 1] + f"#{made} ".encode() + bare[begin + 1 :].lstrip()
    return bare + f" {{#{made}}}".encode()


def _free(wanted: str, taken: set[str]) -> str:
    made, number = wanted, 2
    while made in taken:
        made, number = f"{wanted}-{number}", number + 1
    return made
