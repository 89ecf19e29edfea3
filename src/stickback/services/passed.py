"""What a student passed over for the day, kept in the user's cache folder.

It is a wish for one day and no truth about the student: it is in no log and on no other device, and where the file is
lost or cannot be written the question only comes back in the next sitting.
"""

import json
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path

import platformdirs

from stickback.memory.past import History
from stickback.refused import Refused
from stickback.services import files
from stickback.services.desk import Desk

_WRONG = (OSError, ValueError, TypeError, KeyError, RecursionError)  # of a file that was not written here


def over(desk: Desk) -> frozenset[History]:
    """The questions passed over today."""
    with suppress(*_WRONG):
        kept = json.loads(_place(desk).read_bytes())
        if kept["day"] == desk.day.isoformat():
            return frozenset((str(question), str(variant)) for question, variant in kept["passed"])
    return frozenset()


def remember(desk: Desk, passed: frozenset[History]) -> None:
    """Keeps what was passed over today."""
    place = _place(desk)
    with suppress(OSError, Refused):
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        kept = {"day": desk.day.isoformat(), "passed": sorted(passed)}
        files.write([(place, json.dumps(kept).encode())])


def _place(desk: Desk) -> Path:
    """A file for each student of each school of each database."""
    of = [desk.database.name, desk.database.school, desk.student.name]
    name = blake2b(json.dumps(of).encode(), digest_size=8).hexdigest()
    return platformdirs.user_cache_path("stickback") / "passed" / f"{name}.json"
