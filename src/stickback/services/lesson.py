"""The lesson plan to read: the sources of a text, and the files of its pictures."""

import json
from hashlib import blake2b
from pathlib import Path

import platformdirs

from stickback.course.course import Course
from stickback.reading import text as texts
from stickback.reading.markup import Block
from stickback.reading.text import Figure, Picture
from stickback.store import files


def sources(course: Course, keys: list[str]) -> list[str]:
    """The footnotes of these keys."""
    return [course.sources[key] for key in keys if key in course.sources]


def notes(course: Course, blocks: tuple[Block, ...]) -> dict[str, str]:
    """The footnotes that a text refers to, by key, in the order in which they come."""
    return {key: course.sources[key] for key in texts.notes(blocks) if key in course.sources}


def picture(course: Path, shown: Figure | Picture) -> Path | None:
    """Where a picture can be opened; None where it is missing or cannot be written.

    Args:
        course: the course folder.
    """
    if isinstance(shown, Picture):
        path = course / shown.path
        return path if path.is_file() else None
    from stickback.pictures import figure  # only some texts need it

    digest = blake2b(json.dumps(sorted(shown.words.items())).encode(), digest_size=8).hexdigest()
    path = platformdirs.user_cache_path("stickback") / "figures" / f"{digest}.svg"
    drawn = figure.draw(shown.words).encode()  # anew: an older version may have drawn it otherwise
    return path if files.keep(path, drawn) else None  # its sentence says the same
