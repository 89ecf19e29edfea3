"""Lessons flown, in words: facts with their days, and never what follows from them.

What the rules ask for before the sign-off stands beside the days on which it was flown: for the instructor, who
decides. Sources: 14 CFR 61.31(i)(1)(i) to (iii) for the United States; Part-FCL FCL.710 for Europe and the UK, as
described in a training organisation's note of 2017 (the reader is told to check the current text). As the lesson plan
has it.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from stickback import clock
from stickback.amount import many
from stickback.course.course import Course
from stickback.export.document import Blanks, Grid, Heading, Part, Text
from stickback.reading import text as texts
from stickback.services.flown import Flight
from stickback.study import flown as flights
from stickback.study.flown import Flown, FlownError
from stickback.words import terms

_STANDARD = {"met": "standard met", "prompted": "standard met with prompting", "not-yet": "standard not yet met"}
_COUNTS = {
    "full_stop": ("landing to a full stop", "landings to a full stop"),
    "wheel": ("wheel landing", "wheel landings"),
    "go_around": ("go-around", "go-arounds"),
}
_LAST = {"full_stop": "full-stop tailwheel landing", "wheel": "wheel landing", "go_around": "go-around"}
_US = (
    ("Normal and crosswind take-offs and landings", "full_stop"),
    ("Wheel landings, unless the maker has recommended against them", "wheel"),
    ("Go-arounds", "go_around"),
)
_RULES = {
    "faa": "14 CFR 61.31(i): training in a tailwheel aeroplane that covers at least what is listed, and an endorsement "
    "from an instructor who found the pilot proficient. No number of hours or landings is laid down.",
    "fcl": "Part-FCL, FCL.710: differences training with an instructor, who signs the logbook. No number of hours is "
    "laid down; the exercises listed are those that the lesson plan flies.",
}
CHECK = "Check the current text of your own state; the flight manual and the instructor decide."


def recorded(found: Flight) -> list[str]:
    """A flying lesson as it was recorded, with what is behind each error."""
    behind = [f"{text}: behind it {', '.join(topics)}" for text, topics in found.errors]
    facts = [fact for fact in (who(found.flown), landings(found.flown)) if fact]
    return [f"Recorded: {found.title}, {terms.day(found.day)}; {', '.join(facts)}.", *behind]


def who(one: Flown) -> str:
    """Whose record it is; a name is what was typed, no more."""
    if one.own:
        return "the student's own record"
    return "said to be the instructor's" if one.by == flights.INSTRUCTOR else f"said to be {one.by}'s"


def landings(one: Flown) -> str:
    """How it was flown, with what was counted: "dual, 4 landings to a full stop, 1 go-around"."""
    counted = ((getattr(one, name), words) for name, words in _COUNTS.items())
    found = [many(number, *words) for number, words in counted if number is not None]
    wind = [f"wind {one.wind}"] if one.wind else []
    return ", ".join([*([one.seat] if one.seat else []), *wind, *found])


def standard(one: Flown) -> str:
    """Whether the completion standard was met; empty where nothing was said."""
    return _STANDARD.get(one.standard, "")


def since(flown: Sequence[Flown], today: date) -> Iterator[str]:
    """Facts: when the last landing of each sort was recorded, by whomever."""
    for what, name in _LAST.items():
        day = flights.last(flown, what)
        if day is not None:
            yield f"Last {name} {ago((today - clock.day_date(day)).days)}."


def ago(days: int) -> str:
    """So many days back from today."""
    return {0: "today", 1: "yesterday"}.get(days) or f"{days} days ago"


def error(course: Course, one: FlownError, values: dict[str, str]) -> str:
    """An error that is open: what was seen, and who saw it when."""
    text = texts.line(course.plan.errors[one.error].text, values)
    by = "seen by the student alone" if one.own else "seen by the instructor"
    day = terms.day(clock.day_date(one.day))
    return f"{text} ({terms.lesson(course, one.lesson)}, {day}, {by})"


def row(course: Course, one: Flown) -> tuple[str, ...]:
    """A flight in a list: day, lesson, how, standard, whose record, note."""
    day = clock.day_date(one.day).isoformat()
    return day, terms.lesson(course, one.lesson), landings(one), standard(one), who(one), one.note


def sign_off(end: str, phraseology: str, flown: Sequence[Flown]) -> Iterator[Part]:
    """What is asked for, the days on which it was recorded, and a place to sign."""
    yield Heading(f"For the {end}")
    yield Text(_RULES["faa" if phraseology == "faa" else "fcl"])
    rows = tuple((what, _days(flown, count, own=False), _days(flown, count, own=True)) for what, count in _US)
    yield Grid(("Exercise", "Recorded as the instructor's", "Student's own record"), rows)
    yield Text(CHECK, "small")
    yield Blanks(("Instructor's name and number", "Signature", "Date"))


def _days(flown: Sequence[Flown], count: str, *, own: bool) -> str:
    """The days with such landings, in one record or the other; a dash where there is none."""
    days = sorted({one.day for one in flown if one.own == own and getattr(one, count)})
    return ", ".join(clock.day_date(day).isoformat() for day in days) or "–"
