"""A throw-away school: eight invented students, their answers simulated through the services that real ones use."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from stickback.clock import Clock
from stickback.course import named
from stickback.course.course import Course
from stickback.formulas import draw
from stickback.memory.entry import Confidence, Entry
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import flown, marking, review, tune
from stickback.services import student as students
from stickback.services.desk import Desk
from stickback.services.marking import Answer
from stickback.services.review import Done, Session, Step
from stickback.services.today import Wish
from stickback.store import log, people, union
from stickback.store.engine import Database
from stickback.study.flown import Flown
from stickback.study.student import Student

LAST = "Their answers are stored, and the memory model is fitted"

Sure = Callable[[bool, float], Confidence]


@dataclass(frozen=True, kw_only=True)
class Invented:
    """A student who does not exist.

    Args:
        story: what to see in the figures.
        days: study days, counted back from today.
        first_sight: chance to answer an unseen question right, 0 to 1.
        sure: what is said before an answer that will be right or not; the number is drawn from 0 to 1.
        always_wrong: topics that are answered wrong however often they come.
        flown: lessons flown, by days ago, each with an error of the lesson seen.
        flawless: the last so many days of the calendar everything is answered right.
        before: the aeroplane flown until `changed` days ago; none when it did not change.
    """

    student: Student
    story: str
    days: tuple[int, ...]
    first_sight: float = 0.6
    sure: Sure = lambda right, chance: "guess" if chance < 0.15 else "sure" if right and chance > 0.45 else "think"
    always_wrong: frozenset[str] = frozenset()
    flown: tuple[tuple[int, str], ...] = ()
    flawless: int = 0
    before: str | None = None
    changed: int = 0


def _confident(_: bool, __: float) -> Confidence:
    return "sure"


def cast(today: date) -> tuple[Invented, ...]:
    """The eight, with their dates seen from today."""

    def student(name: str, aircraft: str = "brackle", checkride: int | None = None, **settings: object) -> Student:
        day = None if checkride is None else today + timedelta(days=checkride)
        return replace(Student(name=name, aircraft=aircraft, checkride=day), **settings)  # type: ignore[arg-type]

    often = tuple(range(30, 0, -1))
    return (
        Invented(
            student=student("Ada Quill", checkride=30, next_lesson="take-off", next_on=today + timedelta(days=3)),
            story="two weeks away: what was learnt has begun to fade",
            days=tuple(range(27, 14, -1)),
        ),
        Invented(
            student=student("Bram Teasel", next_lesson="taxiing", next_on=today + timedelta(days=5)),
            story="sure and wrong about the brakes",
            days=tuple(range(18, 0, -2)),
            first_sight=0.85,
            sure=lambda right, chance: "sure" if not right or chance > 0.4 else "think",
            always_wrong=frozenset({"feet-and-brakes"}),
            flown=((6, "start-and-brakes"),),
        ),
        Invented(
            student=student("Cleo Marsh", "pendlewick", checkride=45, next_lesson="three-point"),
            story="has just changed to the anticlockwise aeroplane: the swing is new again",
            days=tuple(range(21, 0, -1)),
            first_sight=0.7,
            before="brackle",
            changed=1,
        ),
        Invented(
            student=student("Dov Pellow", next_lesson="circuit"),
            story="says sure to everything",
            days=tuple(range(14, 0, -1)),
            first_sight=0.45,
            sure=_confident,
        ),
        Invented(
            student=student("Esme Rook", "pendlewick", next_lesson="saving-it"),
            story="back after ten months",
            days=tuple(range(320, 304, -1)),
        ),
        Invented(
            student=student("Finn Ashby", checkride=7, minutes=20, next_lesson="wider-and-sign-off"),
            story="steady, and nearly there",
            days=often,
            first_sight=0.85,
        ),
        Invented(
            student=student("Gwen Thorne", checkride=14, minutes=20, next_lesson="wider-and-sign-off"),
            story="knows it all two weeks before the day, while three errors seen in flight stand open",
            days=often,
            first_sight=0.9,
            flawless=5,
            flown=((9, "take-off"), (6, "three-point"), (3, "circuit")),
        ),
        Invented(
            student=student("Hob Lacey", "pendlewick", checkride=60, next_lesson="why-the-tail-leads"),
            story="has only just begun",
            days=(2, 1),
        ),
    )


def build(
    store: Database, course: Course, today: date, tell: Callable[[str], None] = lambda _: None
) -> tuple[Invented, ...]:
    """Fills a new database with the eight; the same day gives the same school.

    Args:
        tell: is told what is done next: a step for each of the eight, and `LAST`.
    Errors: Refused when the database holds students already, or the course lacks the aeroplanes.
    """
    if people.everyone(store) or people.everyone(store, hidden=True):
        raise Refused(f"{store.name} holds students already; the demo needs a new file.")
    everyone = cast(today)
    for one in everyone:
        desks.sheet_of(course, one.student)
        for _, lesson in one.flown:
            named.lesson(course, lesson)
    kept: list[tuple[str, Entry]] = []

    def keep(_: Database, student: str, entry: Entry) -> Entry:
        kept.append((student, entry))
        return entry

    for number, one in enumerate(everyone):
        tell(f"{one.student.name}: {one.story}")
        _enroll(store, one, today, number)
        _live(replace(desks.desk(course, store, one.student.name, today), stores=keep), one, today, number)
    tell(LAST)
    union.merge(store, kept)
    for _ in tune.tuned(store, [one.student for one in everyone], today):
        pass  # what is said of each is for someone who asks for it
    return everyone


def _enroll(store: Database, one: Invented, today: date, number: int) -> None:
    """The settings of a student, as on the first day of study and at a change of the aeroplane."""
    seats = [(one.days[0], one.before or one.student.aircraft)]
    seats += [(one.changed, one.student.aircraft)] if one.before else []
    for back, aircraft in seats:
        day = today - timedelta(days=back)
        moments = _Moments(datetime(day.year, day.month, day.day, 12, tzinfo=UTC), day, number)
        now = Clock("UTC", source=moments.next, entropy=moments.bits)
        log.append(store, one.student.name, students.settings(replace(one.student, aircraft=aircraft), now))


def _live(desk: Desk, one: Invented, today: date, number: int) -> None:
    """Every study day of one student."""
    flying = replace(one.student, aircraft=one.before or one.student.aircraft)
    desk = replace(desk, student=flying, pool=desks.pool(desk.course, flying))
    for back in one.days:
        if one.before and back == one.changed:
            desk = replace(desk, student=one.student, pool=desks.pool(desk.course, one.student))
        so_far = replace(one, first_sight=1.0) if back <= one.flawless else one
        desk = _study(replace(desk, day=today - timedelta(days=back)), so_far, today, number)


def _study(desk: Desk, one: Invented, today: date, number: int) -> Desk:
    """One sitting at half past six in the evening."""
    moments = _Moments(datetime(desk.day.year, desk.day.month, desk.day.day, 18, 30, tzinfo=UTC), desk.day, number)
    desk = replace(desk, clock=Clock("UTC", source=moments.next, entropy=moments.bits))
    session = review.start(desk, Wish(seed=number))
    known = dict(zip(desk.questions, desk.known(desk.past, list(desk.questions), desk.number), strict=True))
    while not isinstance(step := review.ask(session), Done):
        session = _answer(session, step, one, known[step.history])
    return _fly(session.desk, one, today)


def _fly(desk: Desk, one: Invented, today: date) -> Desk:
    """The lessons flown on this day."""
    for back, lesson in one.flown:
        if desk.day == today - timedelta(days=back):
            seen = named.lesson(desk.course, lesson).errors
            shown = [each.id for each in seen if one.always_wrong & set(each.topics)] or [each.id for each in seen]
            flight = Flown(lesson=lesson, day=desk.number, by="instructor", errors=tuple(shown[:1]))
            desk, _ = flown.flight(desk, flight)
    return desk


def _answer(session: Session, step: Step, one: Invented, known: float | None) -> Session:
    """An answer as likely to be right as the question was known in the morning."""
    desk = session.desk
    times = sum(row.what == "answer" for row in desk.past.by_question.get(step.history[0], ()))
    luck = draw.number(desk.student.name, step.history[0], times) / 2**53
    right = luck < (one.first_sight if known is None else max(known, one.first_sight))
    right = right and step.question.topic not in one.always_wrong
    confidence = one.sure(right, draw.number("sure", desk.student.name, step.history[0], times) / 2**53)
    seconds = 12 + 20 * luck
    said = step.question.body.simulate(step.seed, step.values, right=right)
    return marking.store(session, step, Answer(said, confidence, hinted=False, seconds=seconds))


@dataclass
class _Moments:
    """A clock that goes on by twenty seconds whenever it is looked at, and ids that follow from it."""

    at: datetime
    day: date
    number: int
    looks: int = 0

    def next(self) -> datetime:
        self.looks += 1
        return self.at + timedelta(seconds=20 * self.looks)

    def bits(self) -> int:
        return draw.number("demo", self.number, self.day, self.looks)
