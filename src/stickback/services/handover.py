"""What a new instructor should know of a student: facts from the log, and nothing that follows from them."""

from dataclasses import dataclass
from datetime import date

from stickback.course.course import Course
from stickback.services import desk as desks
from stickback.services import note, readiness
from stickback.services.note import Note
from stickback.services.readiness import Page, Report
from stickback.store import people
from stickback.store.engine import Database


@dataclass(frozen=True)
class Handover:
    """The student's page of a report, and the student's own notes, topic by topic."""

    report: Report
    page: Page
    notes: tuple[Note, ...]


def handover(store: Database, course: Course, name: str, today: date | None = None) -> Handover:
    """What is handed over of a student.

    Errors: Refused when there is no such student, or when the course does not have the aeroplane.
    """
    student = people.find(store, name)
    made = readiness.report(store, course, [student], today=today)
    return Handover(made, made.pages[0], tuple(note.notes(desks.desk(course, store, student.name, today))))
