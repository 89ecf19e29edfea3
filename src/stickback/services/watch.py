"""The files of a course as they are saved: what changed since the last look."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from threading import Event

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
