"""A log taken in: one law at the door, the same that the check of a log holds every entry to."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from difflib import SequenceMatcher

from stickback.clock import Clock
from stickback.course import asking
from stickback.course.course import Course, variant
from stickback.memory import entry as entries
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import student as students
from stickback.store import people, union
from stickback.store.engine import Database
from stickback.store.union import Conflict, Keep, Merged
from stickback.study.student import ME, with_settings

CLOSE = 1e-9  # relative; what two ways of working a score out may differ by
_NEAR = 0.8  # how alike two names are that may be meant for one


@dataclass(frozen=True)
class Line:
    """A line of a file that was read."""

    number: int
    student: str
    entry: Entry


@dataclass(frozen=True)
class Taken:
    """What came of a file.

    Args:
        created: students who were not here before.
        conflicts: of one id with two contents, both sides in words; neither was taken.
    """

    merged: Merged
    created: tuple[str, ...] = ()
    conflicts: tuple[str, ...] = ()


def law(course: Course) -> Callable[[Entry], str]:
    """Says of an entry what is wrong with it, beyond its form; empty when nothing is."""
    questions = {course.log_name(question): question for question in course.questions.values()}

    def wrong(entry: Entry) -> str:
        if said := entries.unlawful(entry):
            return said
        if entry.what == "settings":
            try:
                with_settings(ME, entry.given or "")
            except ValueError as error:
                return str(error)
        question, sheet = questions.get(entry.question or ""), course.sheets.get(entry.aircraft or "")
        if entry.what != "answer" or question is None or sheet is None or question.revision != entry.revision:
            return ""
        if variant(question, sheet) != entry.variant:  # the sheet has other values now
            return ""
        values = asking.values(question, entry.seed or 0, sheet)
        mark, _ = question.body.judge(entry.seed or 0, entry.given or "", values)
        if mark.right == entry.right and abs(mark.score - (entry.score or 0)) <= CLOSE:
            return ""
        return f"it is stored as {'right' if entry.right else 'wrong'} and marks otherwise"

    return wrong


def read(course: Course, now: Clock, raw: Iterable[bytes], owner: str | None = None) -> list[Line]:
    """The entries of an exported file.

    Args:
        raw: its lines.
        owner: whose entries they are, for a file of one student.
    Errors: Refused for a line that is no entry or breaks the law, named by its number; for a day after tomorrow that
        the file does not take back; and for a file of several students under one name.
    """
    wrong = law(course)
    found = list(_parsed(raw, wrong))
    names = {line.student for line in found}
    if owner is not None and len(names) > 1:
        raise Refused(f"The file holds {len(names)} students, so it cannot all be {owner}'s.", "leave out --as")
    if owner is not None:
        students.check_name(owner)
    tomorrow, voided = now.today + timedelta(days=1), {line.entry.voids for line in found}
    for line in found:
        if line.entry.day > tomorrow and line.entry.id not in voided:
            raise Refused(f"Line {line.number} is dated {line.entry.day}, after tomorrow. Nothing was taken.")
    return [Line(line.number, owner or line.student, line.entry) for line in found]


def _parsed(raw: Iterable[bytes], wrong: Callable[[Entry], str]) -> Iterator[Line]:
    for number, each in enumerate(raw, 1):
        try:
            text = each.decode()
            if not text.strip():
                continue
            student, entry = entries.from_line(text)
            reason = wrong(entry)
        except ValueError as error:
            reason = "it is not UTF-8 text" if isinstance(error, UnicodeDecodeError) else str(error)
        if reason:
            raise Refused(f"Line {number} is no entry of a log: {reason}. Nothing was taken.")
        yield Line(number, student, entry)


def near(store: Database, names: Iterable[str]) -> dict[str, str]:
    """New names that are nearly those of someone here, with theirs: to be asked about.

    Errors: Refused for a name that differs from another's only in case or in how Unicode writes it.
    """
    here = [*people.everyone(store), *people.everyone(store, hidden=True)]
    found = {}
    for name in sorted(set(names) - {*here, ME}):
        students.check_free(store, name)
        alike = people.alike(name)
        likeness = {other: SequenceMatcher(None, alike, people.alike(other)).ratio() for other in here if other != ME}
        closest = max(likeness, key=lambda other: likeness[other], default=None)
        if closest is not None and likeness[closest] >= _NEAR:
            found[name] = closest
    return found


class Alike(Refused):
    """New names that are nearly those of someone here, with theirs: a person is to say who is meant."""

    def __init__(self, names: dict[str, str]) -> None:
        super().__init__(" ".join(f"'{new}' is not here, and '{other}' is." for new, other in names.items()))
        self.names = names


@dataclass(frozen=True)
class Answers:
    """What a person said of a file that is handed in.

    Args:
        owner: whose entries it holds, for a file of one student.
        keep: which content to keep where one id has two.
        new: whether a name that is nearly another's is a new student's.
        back: whether students who were erased here are taken in again.
    """

    owner: str | None = None
    keep: Keep | None = None
    new: bool = False
    back: bool = False


def hand_in(store: Database, course: Course, now: Clock, raw: bytes, said: Answers, *, dry: bool = False) -> Taken:
    """Takes in an exported file, or with `dry` says what would come of it.

    Errors: Alike for a new name that is nearly another's, unless it was said to be new; Refused as `read` and `merge`
        say. Nothing was taken then.
    """
    found = read(course, now, raw.split(b"\n"), said.owner)
    alike = near(store, (line.student for line in found if line.student != said.owner))
    if alike and not said.new:
        raise Alike(alike)
    return merge(store, found, said.keep, named=said.owner is not None, dry=dry, back=said.back)


def merge(
    store: Database,
    found: list[Line],
    keep: Keep | None = None,
    *,
    named: bool = False,
    dry: bool = False,
    back: bool = False,
) -> Taken:
    """Adds what is new of a file that was read, all or none.

    Args:
        keep: which content to keep where one id has two.
        named: whether it was said whose the file is.
        dry: only finds out what would happen.
        back: brings back students who were erased here.
    Errors: Refused for a file of `me` where others study, since it does not say who that is; for a student who was
        erased here; and for what no log can hold.
    """
    names = {line.student for line in found}
    before = {*people.everyone(store), *people.everyone(store, hidden=True)}
    if names == {ME} and before - {ME} and not named:
        raise Refused("The file says `me`, and others study here.", "say whose it is with --as NAME")
    merged = union.merge(store, [(line.student, line.entry) for line in found], keep, dry=dry, back=back)
    at = {(line.student, line.entry): line.number for line in found}
    return Taken(merged, tuple(sorted(names - before)), tuple(_said(one, at) for one in merged.conflicts))


def _said(one: Conflict, at: dict[tuple[str, Entry], int]) -> str:
    sides = [f"here: {entries.canonical(one.here, one.student)}"] if one.here else []
    sides += [f"line {at[one.student, each]}: {entries.canonical(each, one.student)}" for each in one.there]
    return "\n".join(sides)
