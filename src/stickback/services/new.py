"""A course to begin with: copied from the package, and then the author's own."""

from pathlib import Path

from stickback.refused import Refused
from stickback.services import folder as folders

_STARTER = Path(__file__).resolve().parents[1] / "starter"


def write(folder: Path) -> list[str]:
    """Writes the course that instructors begin with, into a folder that is not there yet or empty.

    Returns: the names of its files.

    Errors: Refused when something is there already, or the folder cannot be written.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise Refused(f"{folder} is there already; name a new folder.")
        names = [path.relative_to(_STARTER).as_posix() for path in sorted(_STARTER.rglob("*.md"))]
        for name in names:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes((_STARTER / name).read_bytes())
    except OSError as error:
        raise Refused(f"{folder} cannot be written: {folders.reason(error)}.") from None
    return names
