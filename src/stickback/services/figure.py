"""The file of a picture: of the course as it lies there, or drawn into the user's cache folder when it is asked for."""

import json
from hashlib import blake2b
from pathlib import Path

import platformdirs

from stickback.pictures import figure
from stickback.reading.text import Figure, Picture
from stickback.refused import Refused
from stickback.services import files


def file(course: Path, shown: Figure | Picture) -> Path | None:
    """Where a picture can be opened; None where it is missing or cannot be written.

    Args:
        course: the course folder.
    """
    if isinstance(shown, Picture):
        path = course / shown.path
        return path if path.is_file() else None
    digest = blake2b(json.dumps(sorted(shown.words.items())).encode(), digest_size=8).hexdigest()
    path = platformdirs.user_cache_path("stickback") / "figures" / f"{digest}.svg"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        files.write([(path, figure.draw(shown.words).encode())])  # anew: an older version may have drawn it otherwise
    except (OSError, Refused):
        return None  # its sentence says the same
    return path
