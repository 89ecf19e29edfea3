"""What changed in a course since a revision of the git work tree that it stands in."""

import io
import subprocess
import tarfile
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from stickback.course import read
from stickback.course.course import Course, Question
from stickback.refused import Refused
from stickback.services import folder as folders

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
        texts = [name for name in files if folders.is_text(name)]
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
