"""What instructors and students put on record, as tables: a row for each lesson flown, and for each oral."""

from typing import NamedTuple

from stickback import clock
from stickback.export.table import Column
from stickback.services.readiness import Page
from stickback.study.flown import Flown
from stickback.study.oral import Oral
from stickback.words import flown as flights
from stickback.words import oral


class Flight(NamedTuple):
    """A row about a lesson flown."""

    student: str
    one: Flown


class Sat(NamedTuple):
    """A row about an oral."""

    student: str
    one: Oral


def flown(page: Page) -> list[Flight]:
    """The rows of a student's lessons flown."""
    return [Flight(page.statement.student.name, each) for each in page.flights]


def orals(page: Page) -> list[Sat]:
    """The rows of a student's orals, those that were not finished too."""
    return [Sat(page.statement.student.name, each) for each in page.orals]


def _day(row: Flight | Sat) -> str:
    return clock.day_date(row.one.day).isoformat()


def _named(history: tuple[str, str]) -> str:
    """The id of a question as its deck has it."""
    return history[0].rpartition("/")[2]


def _wrong(row: Sat) -> tuple[str, ...]:
    return tuple(_named(heard.history) for heard in row.one.heard if not heard.right)


def _remarks(row: Sat) -> tuple[str, ...]:
    return tuple(f"{_named(heard.history)}: {heard.remark}" for heard in row.one.heard if heard.remark)


_STUDENT = Column("student", "string", "", "name", lambda row: row.student)

FLOWN: tuple[Column, ...] = (
    _STUDENT,
    Column("day", "date", "", "of the flight", _day),
    Column("flown", "string", "", "id of the lesson flown", lambda row: row.one.lesson),
    Column("sheet", "string", "", "id of the aircraft sheet", lambda row: row.one.aircraft or None),
    Column("record", "string", "", "whose it is said to be", lambda row: row.one.by),
    Column("seat", "string", "", "flown dual or solo", lambda row: row.one.seat or None, words=("dual", "solo")),
    Column("wind", "string", "", "as it was said", lambda row: row.one.wind or None),
    Column("full_stop", "integer", "", "landings to a full stop", lambda row: row.one.full_stop, least=0),
    Column("wheel", "integer", "", "wheel landings", lambda row: row.one.wheel, least=0),
    Column("go_around", "integer", "", "go-arounds", lambda row: row.one.go_around, least=0),
    Column("standard", "string", "", "the lesson's completion standard", lambda row: flights.standard(row.one) or None),
    Column("seen_errors", "strings", "", "ids of the errors seen", lambda row: row.one.errors),
    Column("note", "string", "", "as it was typed", lambda row: row.one.note or None),
)

ORALS: tuple[Column, ...] = (
    _STUDENT,
    Column("day", "date", "", "of its last question", _day),
    Column("examiner", "string", "", "who is said to have put it", lambda row: row.one.by or None),
    Column("questions", "integer", "", "that were to be put", lambda row: row.one.questions, least=0),
    Column("asked", "integer", "", "of them that were put", lambda row: len(row.one.heard), least=0),
    Column("right", "integer", "", "of those that were right", lambda row: row.one.right, least=0),
    Column("needed", "integer", "", "right ones needed to pass", lambda row: row.one.needed, least=0),
    Column("result", "string", "", "how it ended", lambda row: oral.result(row.one), words=oral.RESULTS),
    Column("known_told", "number", "share", "known on that day, as told before it", lambda row: row.one.known),
    Column("chance_told", "number", "share", "chance to pass it, as told before it", lambda row: row.one.chance),
    Column("wrong", "strings", "", "ids of the questions that were not right", _wrong),
    Column("remarks", "strings", "", "the examiner's, each behind its question's id", _remarks),
    Column("oral", "string", "", "id of the oral, as its sheet of results has it", lambda row: row.one.id),
)
