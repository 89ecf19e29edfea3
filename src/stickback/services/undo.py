"""What was done last, taken back: it stays in the log and counts for nothing."""

from stickback.memory.past import Row
from stickback.refused import Refused
from stickback.services.desk import Desk


def undo(desk: Desk) -> tuple[Desk, Row]:
    """Voids the last answer or flown lesson that is not voided yet.

    Returns: the desk after it, and what was voided.
    Errors: Refused when there is none.
    """
    last = newest(desk)
    if last is None:
        raise Refused("There is nothing to take back.")
    return desk.void(last.id), last


def newest(desk: Desk) -> Row | None:
    """The last answer or flown lesson that is not voided yet: what would be taken back."""
    done = [row for row in desk.past.rows if row.what in {"answer", "flown"} and row.id not in desk.past.voided]
    return max(done, key=lambda row: (row.day, row.id), default=None)
