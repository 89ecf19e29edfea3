"""Every promise of the log, tried: what `log verify` says."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from fsrs import Card, Rating, Scheduler

from stickback.course.course import Course
from stickback.memory import curve, fold, seal
from stickback.memory import entry as entries
from stickback.memory.entry import Entry
from stickback.memory.past import Past
from stickback.memory.seal import Place
from stickback.services import check as checks
from stickback.services import desk
from stickback.services.log import CLOSE, law
from stickback.store import damage, log, people
from stickback.store.engine import Database

PIECE = 97  # answers: no divisor of anything, so pieces end in the middle of days
COVERS = """\
covered      what was changed, put in, copied, or taken out of the middle of what an
             installation sealed; and the end of what this one sealed
not covered  a new history sealed by who owns the database; names, parameters, and
             the end of what others sealed: log verify --against FINGERPRINT --until
             DAY holds the log to a fingerprint on paper"""


@dataclass(frozen=True)
class Check:
    """One thing that was looked at.

    Args:
        wrong: what does not hold; `notes` what a person should know, and is no fault.
    """

    name: str
    holds: str
    wrong: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def verify(store: Database, course: Course) -> list[Check]:
    """Every promise of the log, tried.

    Errors: Refused when the database cannot be read at all.
    """
    by_student: dict[str, list[Entry]] = {}
    for student, each in log.entries_of(store):
        by_student.setdefault(student, []).append(each)
    total = sum(map(len, by_student.values()))
    voids, pending = _voids(by_student)
    broken, notes = _seals(store, by_student)
    return [
        Check("guards", "entries cannot be changed or deleted", tuple(store.unguarded())),
        Check("counts", f"{total} entries", tuple(_counts(store, by_student))),
        Check("entries", "every entry is one that import would take", tuple(_entries(course, by_student))),
        Check("voids", "every void names an entry that can be voided", voids, pending),
        Check("seals", "every entry stands as it was sealed", broken, notes),
        Check("rows", "every row has its student, and settings follow the log", tuple(damage.rows(store))),
        Check("keys", "answers were marked by the keys that stand", (), tuple(_keys(store, course))),
        Check("memory", "folded in pieces, at once and by the library: the same", tuple(_memory(store, by_student))),
    ]


def against(store: Database, fingerprint: str, until: date) -> Check:
    """The log up to a day, or that of one student, held to a fingerprint that was printed then."""
    found = log.fingerprints(log.entries_of(store), until)
    of = [name for name, each in found.items() if each == fingerprint.strip().lower()]
    wrong = (f"the fingerprint of all that is dated up to {until} is {found[None]}, not {fingerprint}",)
    log_of = f"the log of {of[0]}" if of and None not in of else "the log"
    return Check("against", f"{log_of} up to {until} is the one that was printed", () if of else wrong)


def _counts(store: Database, by_student: dict[str, list[Entry]]) -> Iterator[str]:
    for name, number in people.counts(store).items():
        there = len(by_student.get(name, []))
        if number != there:
            yield f"{name}: {there} entries, {number} counted"


def _entries(course: Course, by_student: dict[str, list[Entry]]) -> Iterator[str]:
    wrong = law(course)
    for student, found in by_student.items():
        for each in found:
            try:
                said = wrong(entries.from_line(entries.as_line(student, each))[1])
            except (ValueError, TypeError) as error:
                said = str(error)
            if said:
                yield f"{student} {each.id}: {said}"


def _voids(by_student: dict[str, list[Entry]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    wrong, pending = [], []
    for student, found in by_student.items():
        what = {each.id: each.what for each in found}
        for each in found:
            if each.voids is not None and each.voids not in what:
                pending.append(f"{student} {each.id}: voids {each.voids}, which has not come yet")
            elif each.voids is not None and what[each.voids] == "void":
                wrong.append(f"{student} {each.id}: voids {each.voids}, which is a void")
    return tuple(wrong), tuple(pending)


def _seals(store: Database, by_student: dict[str, list[Entry]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    wrong, notes = list(damage.heads(store, by_student)), list[str]()
    own, spare = damage.own(store), damage.seals(store)
    for student, found in by_student.items():
        chain = seal.walk(found, spare.get(student, ()))
        wrong += [f"{student} {each.id}: changed after it was sealed{_beside(each, found)}" for each in chain.changed]
        for (device, number), each in chain.missing:
            said = f"{student} {each.id}: number {number} before it is missing, of installation {device}"
            (wrong if device == own else notes).append(said)
        for (device, number), there in chain.twice:
            ids = " and ".join(each.id for each in there)
            of = f"both number {number} of installation {device}"
            notes.append(
                f"{student} {ids}: {of}, as of a copied database, or of a student who was erased and came back"
            )
    return tuple(wrong), (*notes, *_copied(by_student))


def _copied(by_student: dict[str, list[Entry]]) -> Iterator[str]:
    owners: dict[str, str] = {}
    for student, found in by_student.items():
        for each in found:
            if owners.setdefault(each.id, student) != student:
                yield f"{student} {each.id}: also an entry of {owners[each.id]}"


def _beside(entry: Entry, found: list[Entry]) -> str:
    """The neighbours of an entry in its chain."""
    device, number = seal.place(entry)
    at: dict[Place, str] = {seal.place(each): each.id for each in found}
    beside = {"after": at.get((device, number - 1)), "before": at.get((device, number + 1))}
    return "".join(f", {word} {name}" for word, name in beside.items() if name)


def _keys(store: Database, course: Course) -> Iterator[str]:
    """No fault of the log: what happened stands, and the course has gone on."""
    for each in checks.outdated(course, store):
        yield f"{each.file}:{each.line}: {each.message} To count it as unseen: `asks=again` on its heading."


def _memory(store: Database, by_student: dict[str, list[Entry]]) -> Iterator[str]:
    for student in by_student:
        past = desk.remembered(store, student)
        whole, pieces, library = _at_once(past), _in_pieces(past), _by_library(past)
        for name, other in (("in pieces", pieces), ("by the library", library)):
            for mine, theirs in ((whole.stability, other.stability), (whole.difficulty, other.difficulty)):
                if not np.allclose(mine, theirs, rtol=CLOSE, atol=0, equal_nan=True):
                    yield f"{student}: folded {name} it differs"


def _at_once(past: Past) -> fold.State:
    memory = past.columns.memory
    return fold.State(memory.stability[0], memory.difficulty[0], memory.moved_on[0], memory.answered_on[0])


def _in_pieces(past: Past) -> fold.State:
    columns = past.columns
    state = fold.nothing(len(columns.histories))
    for begin in range(0, len(columns.day), PIECE):
        history, day, grade = (each[begin : begin + PIECE] for each in (columns.history, columns.day, columns.grade))
        state = fold.fold(history, day, grade, state, past.own)
    return state


def _by_library(past: Past) -> fold.State:
    """One answer after the other through the memory library."""
    scheduler = Scheduler(past.own, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    columns, cards = past.columns, dict[int, Card]()
    for at in sorted(columns.moving.tolist()):
        history, when = int(columns.history[at]), curve.NOON + timedelta(days=int(columns.day[at]))
        card = cards.get(history, Card(card_id=1))
        cards[history], _ = scheduler.review_card(card, Rating(int(columns.grade[at])), when)
    state = fold.nothing(len(columns.histories))
    for history, card in cards.items():
        state.stability[history], state.difficulty[history] = card.stability, card.difficulty
    return state
