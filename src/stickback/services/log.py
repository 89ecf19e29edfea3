"""The answer log as a file: exported, merged in, and checked against itself and the memory library."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from fsrs import Card, Rating, Scheduler

from stickback import clock
from stickback.clock import Clock
from stickback.course.asked import asked_with
from stickback.course.course import Course, variant
from stickback.memory import curve, entry, fold
from stickback.memory.entry import Entry
from stickback.memory.past import Past
from stickback.refused import Refused
from stickback.services import desk
from stickback.services import student as students
from stickback.store import log, parameters, people
from stickback.store.engine import Database
from stickback.store.log import Merged
from stickback.study.student import ME

CLOSE = 1e-9  # relative; what two ways of folding may differ by
PIECE = 97  # answers: no divisor of anything, so pieces end in the middle of days


def merge(store: Database, now: Clock, lines: Iterable[bytes], owner: str | None) -> Merged:
    """Adds the entries of an exported file, all or none.

    Args:
        lines: of the file, as bytes.
        owner: whose entries they are, for a file of one student.
    Errors: Refused for a line that is no entry, named by its number; for a day after tomorrow; for a file of several
        students under one name; and for a file of `me` where others study, since it does not say who that is.
    """
    found = list(_parsed(now, lines))
    names = {student for student, _ in found}
    if owner is not None and len(names) > 1:
        raise Refused(f"The file holds {len(names)} students, so it cannot all be {owner}'s; leave out --as.")
    others = set(people.everyone(store)) - {ME}
    if owner is not None:
        students.check_name(owner)
    if owner is None and names == {ME} and others:
        raise Refused("The file says `me`, and others study here; say whose it is with --as NAME.")
    return log.merge(store, [(owner or student, each) for student, each in found])


def _parsed(now: Clock, lines: Iterable[bytes]) -> Iterator[tuple[str, Entry]]:
    tomorrow = now.today + timedelta(days=1)
    for number, raw in enumerate(lines, 1):
        try:
            text = raw.decode()
            if not text.strip():
                continue
            student, each = entry.from_line(text)
        except ValueError as error:
            reason = "it is not UTF-8 text" if isinstance(error, UnicodeDecodeError) else str(error)
            raise Refused(f"Line {number} is no entry of a log: {reason}. Nothing was taken.") from None
        if each.day > tomorrow:
            raise Refused(f"Line {number} is dated {each.day}, after tomorrow. Nothing was taken.")
        yield student, each


@dataclass(frozen=True)
class Check:
    """One thing that `log verify` looked at; `wrong` is empty where it holds."""

    name: str
    holds: str
    wrong: tuple[str, ...] = ()


def verify(store: Database, course: Course) -> list[Check]:
    """Every promise of the log, tried."""
    by_student: dict[str, list[Entry]] = {}
    for student, each in log.entries_of(store):
        by_student.setdefault(student, []).append(each)
    total = sum(map(len, by_student.values()))
    everything = [(student, each) for student, found in by_student.items() for each in found]
    return [
        Check("guards", "entries cannot be changed or deleted", tuple(store.unguarded())),
        Check("counts", f"{total} entries", tuple(_counts(store, by_student))),
        Check("days", "every day agrees with its moment and zone", tuple(_days(everything))),
        Check("voids", "every void names an entry that can be voided", tuple(_voids(by_student))),
        Check("marks", "every answer to an unchanged question marks as it did", tuple(_marks(course, everything))),
        Check("memory", "folded in pieces, at once and by the library: the same", tuple(_memory(store, by_student))),
    ]


def _counts(store: Database, by_student: dict[str, list[Entry]]) -> Iterator[str]:
    for name, number in people.counts(store).items():
        there = len(by_student.get(name, []))
        if number != there:
            yield f"{name}: {there} entries, {number} counted"


def _days(found: Iterable[tuple[str, Entry]]) -> Iterator[str]:
    for student, each in found:
        try:
            by_clock = clock.study_day(datetime.fromtimestamp(each.at / 1000, UTC), clock.zone(each.zone))
        except (Refused, OverflowError) as error:
            yield f"{student} {each.id}: {error}"
            continue
        # A flight may be recorded long after its day.
        if (each.day - by_clock).days > 1 or (each.what == "answer" and (by_clock - each.day).days > 1):
            yield f"{student} {each.id}: dated {each.day}, at a moment of {by_clock}"


def _voids(by_student: dict[str, list[Entry]]) -> Iterator[str]:
    for student, found in by_student.items():
        what = {each.id: each.what for each in found}
        for each in found:
            if each.voids is not None and what.get(each.voids, "void") == "void":
                target = "a void" if each.voids in what else "not here"
                yield f"{student} {each.id}: voids {each.voids}, which is {target}"


def _marks(course: Course, found: Iterable[tuple[str, Entry]]) -> Iterator[str]:
    questions = {course.key(question): question for question in course.questions.values()}
    for student, each in found:
        question, sheet = questions.get(each.question or ""), course.sheets.get(each.aircraft or "")
        if each.what != "answer" or question is None or sheet is None or question.revision != each.revision:
            continue
        if variant(question, sheet) != each.variant:  # the sheet has other values now
            continue
        values = asked_with(question, each.seed or 0, sheet)
        mark, _ = question.body.judge(each.seed or 0, each.given or "", values)
        if mark.right != each.right or abs(mark.score - (each.score or 0)) > CLOSE:
            yield f"{student} {each.id}: stored as {'right' if each.right else 'wrong'}, marks otherwise"


def _memory(store: Database, by_student: dict[str, list[Entry]]) -> Iterator[str]:
    for student in parameters.damaged(store):
        yield f"{student}: an adopted set of parameters cannot be read"
    for student in by_student:
        past = desk.remembered(store, student)
        whole, pieces, library = _at_once(past), _in_pieces(past), _by_library(past)
        for name, other in (("in pieces", pieces), ("by the library", library)):
            for mine, theirs in ((whole.stability, other.stability), (whole.difficulty, other.difficulty)):
                if not np.allclose(mine, theirs, rtol=CLOSE, atol=0, equal_nan=True):
                    yield f"{student}: folded {name} it differs"


def _at_once(past: Past) -> fold.State:
    memory = past.columns.memory
    return fold.State(memory.stability[0], memory.difficulty[0], memory.day[0], memory.last[0])


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
