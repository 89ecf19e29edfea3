"""The school's list of students: added, set, listed, removed; every setting checked against the course.

Many are added at once from a roster, a table as a spreadsheet writes it.
"""

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from stickback import clock
from stickback.clock import Clock
from stickback.course import named
from stickback.course.course import PHRASEOLOGIES, Course
from stickback.export import table
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import listen
from stickback.store import log, people
from stickback.store.engine import Database
from stickback.study.student import LEAST_TARGET, ME, MOST_MINUTES, MOST_TARGET, Student, settings_text

Settings = Mapping[str, "str | int | float | date | None"]
NAME_LENGTH = 80


def checked(course: Course, student: Student, settings: Settings, today: date) -> Student:
    """The student with settings, each of them one that the course knows.

    Args:
        settings: by field of `Student`; None clears one.
        today: no date that is set lies before it.
    Errors: Refused, naming the values allowed.
    """
    changed = replace(student, **settings)  # type: ignore[arg-type]
    if changed.aircraft is not None:
        named.sheet(course, changed.aircraft)
    if changed.phraseology not in PHRASEOLOGIES:
        raise Refused(f"'{changed.phraseology}' is no phraseology; use one of {', '.join(PHRASEOLOGIES)}.")
    if changed.next_lesson is not None:
        changed = replace(changed, next_lesson=named.lesson(course, changed.next_lesson).id)
    if changed.next_on is not None and changed.next_lesson is None:
        raise Refused("A date for the next lesson needs the lesson: add --next LESSON.")
    for when in (settings.get("checkride"), settings.get("next_on")):
        if isinstance(when, date) and when < today:
            raise Refused(f"{when} is in the past; today is {today}.")
    if not 1 <= changed.minutes <= MOST_MINUTES:
        raise Refused(f"Minutes a day are 1 to {MOST_MINUTES}, not {changed.minutes}.")
    if not LEAST_TARGET <= changed.target <= MOST_TARGET:
        raise Refused(f"The target is {LEAST_TARGET:.2f} to {MOST_TARGET:.2f}, not {changed.target:g}.")
    if changed.zone is not None:
        clock.zone(changed.zone)
    return replace(changed, listen=listen.written(changed.listen))


def add(store: Database, course: Course, name: str, settings: Settings, today: date) -> tuple[Student, bool]:
    """A new student, or one who was removed and comes back; True for the latter.

    Errors: Refused for a name that is taken or no name, and for settings as in `checked`.
    """
    check_name(name)
    if name in people.everyone(store):
        raise Refused(f"There is a student '{name}' already.", "`stickback student set` changes settings")
    check_free(store, name)
    removed = people.everyone(store, hidden=True).get(name)
    student = checked(course, removed or Student(name=name), settings, today)
    _keep(store, student, today, anew=True)
    return student, removed is not None


def _keep(store: Database, student: Student, today: date, *, anew: bool = False) -> None:
    """Settings go into the log, so that they travel with it."""
    log.append(store, student.name, settings(student, _clock(student, today)), anew=anew)


def _clock(student: Student, today: date) -> Clock:
    return clock.clock_for(student.zone or clock.machine_zone(), today)


def settings(student: Student, now: Clock) -> Entry:
    """The entry that says a student's settings from now on."""
    at = int(now.now.timestamp() * 1000)
    return Entry(
        id=now.new_id(), what="settings", day=now.today, at=at, zone=now.zone_name, given=settings_text(student)
    )


def set_(store: Database, course: Course, name: str, settings: Settings, today: date) -> Student:
    """A student with settings changed; `me` needs no adding.

    Errors: Refused for an unknown student, and for settings as in `checked`.
    """
    student = checked(course, people.find(store, name), settings, today)
    _keep(store, student, today)
    return student


def check_name(name: str) -> None:
    """Refuses what cannot be a student's name."""
    if name != name.strip() or not name.isprintable() or not 0 < len(name) <= NAME_LENGTH:
        raise Refused(f"A name is 1 to {NAME_LENGTH} letters on one line, with no space at its ends.")


def check_free(store: Database, name: str) -> None:
    """Refuses a name that differs from another student's only in case or in how Unicode writes it."""
    others = [*people.everyone(store), *people.everyone(store, hidden=True)]
    if other := next((one for one in others if one != name and people.alike(one) == people.alike(name)), None):
        raise Refused(f"'{name}' differs from '{other}' only in case or in how it is written; say '{other}'.")


@dataclass(frozen=True)
class Listed:
    """A student with the number of answers in the log and the day of the last."""

    student: Student
    entries: int
    last: date | None


def listed(store: Database) -> list[Listed]:
    """Everyone who studies, by name."""
    counts, last = people.answers(store), people.last_days(store)
    return [Listed(one, counts.get(name, 0), last.get(name)) for name, one in people.everyone(store).items()]


def remove(store: Database, name: str, *, erase: bool) -> int:
    """Takes a student off every list, or erases the student with every entry; gives the number of entries.

    Errors: Refused for an unknown student.
    """
    hidden = people.everyone(store, hidden=True) if erase else {}
    if name not in people.everyone(store) and name not in hidden:
        if name != ME:
            people.find(store, name)
        raise Refused("There is nothing stored of `me` yet.")
    return people.erase(store, name) if erase else people.hide(store, name)


ROSTER = (
    *("name", "aircraft", "phraseology", "checkride", "next_lesson", "next_on"),
    *("minutes", "target", "zone", "abroad", "listen"),
)
_YES_OR_NO = {"yes": True, "no": False}


def add_roster(store: Database, course: Course, roster: str, today: date) -> list[Student]:
    """Adds everyone on a roster, or no one: a CSV file with a column `name` and any settings.

    Errors: Refused for a row that cannot be added, named by its line.
    """
    added: list[Student] = []
    for line, row in _rows(roster):
        try:
            name = row.pop("name", "")
            check_name(name)
            taken = [one.name for one in added] + list(people.everyone(store))
            if people.alike(name) in map(people.alike, taken):
                raise Refused(f"There is a student '{name}' already.")
            check_free(store, name)
            added.append(
                checked(course, Student(name=name), {key: _value(key, text) for key, text in row.items()}, today)
            )
        except Refused as refused:
            raise Refused(f"Line {line} of the roster: {refused.message} No one was added.") from None
    log.append_all(store, [(one.name, settings(one, _clock(one, today))) for one in added], anew=True)
    return added


def _rows(roster: str) -> Iterator[tuple[int, dict[str, str]]]:
    lines = csv.reader(io.StringIO(roster.removeprefix("\ufeff"), newline=""))
    try:
        head = [table.plain(cell).strip().lower() for cell in next(lines, [])]
        if "name" not in head or len(set(head)) < len(head) or set(head) - set(ROSTER):
            raise Refused(f"The first line of a roster names its columns: name, and any of {', '.join(ROSTER[1:])}.")
        for cells in lines:
            if len(cells) > len(head):
                raise Refused(
                    f"Line {lines.line_num} of the roster has more cells than its first line. No one was added."
                )
            found = {key: table.plain(cell).strip() for key, cell in zip(head, cells, strict=False)}
            if any(found.values()):
                yield lines.line_num, {key: text for key, text in found.items() if text}
    except csv.Error as error:
        raise Refused(f"Line {lines.line_num} of the roster cannot be read: {error}. No one was added.") from None


def _value(key: str, text: str) -> str | int | float | date:
    try:
        if key in {"checkride", "next_on"}:
            return date.fromisoformat(text)
        if key == "abroad":
            return _YES_OR_NO[text.casefold()]
        return int(text) if key == "minutes" else float(text) if key == "target" else text
    except (ValueError, KeyError):
        raise Refused(f"'{text}' is no value of {key}.") from None
