"""A roster: many students added at once, from a table as a spreadsheet writes it."""

import csv
import io
from collections.abc import Iterator
from datetime import date

from stickback.course.course import Course
from stickback.export import table
from stickback.refused import Refused
from stickback.services import student
from stickback.store import people
from stickback.store.engine import Database
from stickback.study.student import Student

ROSTER = (
    *("name", "aircraft", "phraseology", "checkride", "next_lesson", "next_on"),
    *("minutes", "target", "zone", "abroad", "listen"),
)
_YES_OR_NO = {"yes": True, "no": False}


def add(store: Database, course: Course, roster: str, today: date) -> list[Student]:
    """Adds everyone on a roster, or no one: a CSV file with a column `name` and any settings.

    Errors: Refused for a row that cannot be added, named by its line.
    """
    added: list[Student] = []
    for line, row in _rows(roster):
        try:
            name = row.pop("name", "")
            student.check_name(name)
            taken = [one.name for one in added] + list(people.everyone(store))
            if people.alike(name) in map(people.alike, taken):
                raise Refused(f"There is a student '{name}' already.")
            student.check_free(store, name)
            added.append(
                student.checked(
                    course, Student(name=name), {key: _value(key, text) for key, text in row.items()}, today
                )
            )
        except Refused as refused:
            raise Refused(f"Line {line} of the roster: {refused.message} No one was added.") from None
    for one in added:
        student.keep(store, one, today)
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
