"""Sure but wrong: what a student believed with confidence, open until it was put right on two different days."""

from dataclasses import dataclass

from stickback.memory.past import History, Past, Row


@dataclass(frozen=True)
class Misbelief:
    """A wrong answer given as `sure`.

    Args:
        day: day number of the latest such answer.
        mended: on how many different days since it was right and not guessed; two close it.
    """

    history: History
    day: int
    mended: int


def still_open(past: Past) -> dict[History, Misbelief]:
    """The misbeliefs still open, oldest first. Practice opens them as any answer does, and never closes one."""
    graded = {row.id for row in past.graded}
    found: dict[History, Misbelief] = {}
    for row in past.answers:
        history = (row.question or "", row.variant or "")
        if row.id in past.voided:
            continue
        if not row.right and row.confidence == "sure":
            found.pop(history, None)
            found[history] = Misbelief(history, row.day, 0)
        elif (one := found.get(history)) and row.id in graded and _mends(row) and row.day > one.day:
            found[history] = Misbelief(history, one.day, one.mended + 1)
    return {history: one for history, one in found.items() if one.mended < 2}


def _mends(row: Row) -> bool:
    return bool(row.right) and row.confidence != "guess" and not row.hinted
