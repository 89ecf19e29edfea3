"""A school of the tests: a small course folder, a database file of its own for each test, and students who answer."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from fsrs import Card, Rating, Scheduler

import behind
import small
from engines import Engine
from stickback import clock
from stickback.course.course import Course
from stickback.memory import curve
from stickback.memory.entry import Entry
from stickback.services import desk as desks
from stickback.services import flown, folder, marking, review
from stickback.services import log as logs
from stickback.services.desk import Desk
from stickback.services.review import Done, Session, Step
from stickback.services.today import Wish
from stickback.store import chain, log
from stickback.store.engine import Database
from stickback.store.sqlite import SQLite
from stickback.study.flown import Flown
from stickback.study.student import Student

DAY = date(2026, 6, 1)

LESSON_PLAN = """\
---
id: tw
title: Tailwheel conversion
---

## Lesson 1: The aeroplane {#aeroplane}

### Sitting in it {#sitting}

Tail down, the nose is in the way.

### Its numbers {#numbers}

Approach at {{ approach_speed }} {{ speed_unit }}.

### Landings that count {#recent assumed=yes}

Full stop.

## Lesson 2: Take-off {#take-off}

#### Errors seen

- {#late-foot topics="swing"} Take-off: the foot comes late

### Why the nose swings {#swing weight=2 must=yes}

The propeller turns {{ propeller }}.

## Lesson 3: Landing {#landing}

### Three-point {#three-point}

Hold off.
"""

DECKS = {
    "aeroplane.md": """\
---
topic: numbers
---

## How fast is the approach? {#approach}

- [x] {{ approach_speed }} {{ speed_unit }}
- [ ] Forty
- [ ] Ninety

## What does the dial show? {#dial}

- [x] {{ speed_unit }}
- [ ] Furlongs

## Say the callsign {#callsign}

### Answer

- {{ callsign }}

## Where are the brakes? {#heels brakes=heel topic=sitting}

- [x] Under the heels
- [ ] On the toes

## What hides the runway? {#nose topic=sitting}

- [x] The nose
- [ ] The wing
- [ ] The tail
- [ ] The wheels
""",
    "recent.md": "---\ntopic: recent\n---\n"
    + "".join(f"\n## Does landing {n} count? {{#counts-{n}}}\n\n- [x] Yes\n- [ ] No\n" for n in range(1, 6)),
    "take-off.md": """\
---
topic: swing
---

## Which way does it swing? {#way}

- [x] To the {{ swing }}
- [ ] To the {{ other_side }}

## Which foot holds it? {#foot}

- [x] The {{ rudder_foot }} one
- [ ] The {{ other_foot }} one
- [ ] Both

## Why does it swing? {#why}

### Answer

- Torque
- **Slipstream**
""",
    "three-point.md": """\
---
topic: three-point
---

## Where is the stick? {#stick}

- [x] Back
- [ ] Level

## Which wheels touch first? {#wheels}

- [x] All three
- [ ] The mains
- [ ] The tail

## When do you stop holding off? {#hold-off}

- [x] When it lands
- [ ] At the fence
""",
}

SHEET = """\
---
name: {name}
callsign: {callsign}
propeller: {propeller}
brakes: {brakes}
tailwheel: steerable
speed_unit: kt
approach_speed: {approach}
---

Invented, not for flight.
"""
ALDWICK = SHEET.format(name="Aldwick", callsign="G-QTWB", propeller="clockwise", brakes="heel", approach=60)
BIRCHAM = SHEET.format(name="Bircham", callsign="G-QTWC", propeller="anticlockwise", brakes="toe", approach=65)

COURSE = {"lesson-plan.md": LESSON_PLAN, **DECKS, "aircraft/aldwick.md": ALDWICK, "aircraft/bircham.md": BIRCHAM}

Say = Callable[[str], tuple[bool, str]]  # by a question's id: whether to answer it right, and the confidence


@pytest.fixture(scope="session")
def course_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The course on disk; no test may change it."""
    place = tmp_path_factory.mktemp("course")
    (place / "aircraft").mkdir()
    for name, text in COURSE.items():
        (place / name).write_text(text, encoding="utf-8", newline="")
    return place


@pytest.fixture(scope="session")
def taught(course_folder: Path) -> Course:
    """The course as read; it has no problem."""
    read = folder.load(course_folder)
    assert read.problems == ()
    return read


class Ticking:
    """A source of moments that are a second apart, so that ids sort in the order of answering on any machine."""

    def __init__(self) -> None:
        self.now = datetime(2026, 1, 1, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@dataclass(frozen=True)
class School:
    """A course and a database; days are counted from `DAY`."""

    course: Course
    store: Database
    engine: Engine
    source: Ticking
    folder: Path

    def copied(self, name: str = "copy") -> "School":
        """The same school with a copy of the database."""
        return replace(self, store=self.engine.copy(self.store, self.folder, name))

    def set(self, **settings: object) -> None:
        """Changes settings of the student `me`."""
        behind.put(self.store, Student(name="me", **settings))

    def desk(self, day: int = 0) -> Desk:
        """The desk of `me`, everything read anew."""
        made = desks.desk(self.course, self.store, "me", DAY + timedelta(days=day))
        plain = clock.Clock("UTC", source=self.source)
        return replace(made, clock=replace(plain, shift=made.day - plain.today))

    def begin(self, day: int = 0, **wish: object) -> Session:
        """A review of `me`, everything read anew."""
        return review.start(self.desk(day), Wish(**wish))

    def flown(self, day: int, lesson: str, *errors: str) -> None:
        """Records a lesson flown."""
        desk = self.desk(day)
        flown.flight(desk, Flown(lesson=lesson, day=desk.number, errors=errors))

    def log(self) -> list[Entry]:
        """The entries as they stand on disk."""
        return [entry for _, entry in log.entries_of(self.store)]


def given(step: Step, *, right: bool) -> str:
    """An answer to a step that is right, or one that is not."""
    return step.question.body.simulate(step.seed, step.values, right=right)


def answer(
    session: Session, *, right: bool = True, confidence: str = "think", seconds: float = 5, hinted: bool = False
) -> tuple[Session, marking.Marked]:
    """Answers the next question of a session."""
    step = review.ask(session)
    assert isinstance(step, Step)
    return marking.take(
        session, step, marking.Answer(given(step, right=right), confidence, hinted=hinted, seconds=seconds)
    )


def finish(session: Session, say: Say = lambda name: (True, "think")) -> tuple[list[str], Done]:
    """Answers until there is nothing more to ask; gives the ids of the questions in the order they were asked."""
    asked = []
    while isinstance(step := review.ask(session), Step):
        right, confidence = say(step.question.id)
        session, _ = answer(session, right=right, confidence=confidence)
        asked.append(step.question.id)
        assert len(asked) < 60, "it never ends"
    return asked, step


# What guessing gives, as an examiner would count it: one in the number of options; nobody explains by guessing.
GUESS = {"approach": 1 / 3, "dial": 1 / 2, "callsign": 0, "heels": 1 / 2, "nose": 1 / 4, "way": 1 / 2, "foot": 1 / 3}
GUESS |= {"why": 0, "stick": 1 / 2, "wheels": 1 / 3, "hold-off": 1 / 2, **{f"counts-{n}": 1 / 2 for n in range(1, 6)}}


class Oracle:
    """What is known, as the memory library alone says it, question by question."""

    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)

    def __init__(self) -> None:
        self.cards: dict[str, Card] = {}
        self.days: dict[str, int] = {}

    def hear(self, name: str, day: int, *, right: bool, confidence: str) -> None:
        """Takes an answer; what comes later on its day is practice."""
        if self.days.get(name) == day:
            return
        rating = Rating.Again if not right else Rating.Hard if confidence == "guess" else Rating.Good
        card = self.cards.get(name, Card(card_id=1))
        self.cards[name], _ = self.scheduler.review_card(card, rating, self.noon(day))
        self.days[name] = day

    def noon(self, day: int) -> datetime:
        """The moment that stands for a day."""
        return datetime(DAY.year, DAY.month, DAY.day, 12, tzinfo=UTC) + timedelta(days=day)

    def known(self, day: int) -> dict[str, float]:
        """The chance that each question answered so far is known on a day."""
        found = {}
        for name, card in self.cards.items():
            chance = self.scheduler.get_card_retrievability(card, self.noon(day))
            found[name] = float(curve.known(chance, GUESS[name]))
        return found

    def hearing(self, day: int, say: Say) -> Say:
        """Says the same, and takes every answer."""

        def heard(name: str) -> tuple[bool, str]:
            right, confidence = say(name)
            self.hear(name, day, right=right, confidence=confidence)
            return right, confidence

        return heard


@dataclass(frozen=True)
class Hands:
    """The helpers above, for tests to take in one fixture."""

    given: Callable[..., str] = given
    answer: Callable[..., tuple[Session, marking.Marked]] = answer
    finish: Callable[..., tuple[list[str], Done]] = finish
    oracle: type[Oracle] = Oracle


@pytest.fixture(scope="session")
def hands() -> Hands:
    """How a student answers: `answer(session, right=False)`, `finish(session, say)`, `given(step, right=True)`."""
    return Hands()


@pytest.fixture(scope="module", autouse=True)
def no_waiting_for_the_disk() -> Iterator[None]:
    """No test here is about a power cut, so none waits until an answer would survive one."""
    with pytest.MonkeyPatch.context() as patch:
        settings = ("journal_mode = WAL", "synchronous = OFF", "foreign_keys = ON")
        patch.setattr(SQLite, "settings", {**SQLite.settings, "write": settings})
        yield


@pytest.fixture(autouse=True)
def ended(swept: None) -> None:
    """What a test opened is closed after it, as at the end of a program."""


@pytest.fixture(scope="session")
def open_school(taught: Course, kind: Engine) -> Callable[..., School]:
    """Opens a school with a new database, or with a copy of one: `open_school(folder, "name", store)`."""

    def build(folder: Path, name: str = "school", store: Database | None = None) -> School:
        made = kind.empty(folder, name) if store is None else kind.copy(store, folder, name)
        return School(taught, made, kind, Ticking(), folder)

    return build


@pytest.fixture
def school(open_school: Callable[..., School], tmp_path: Path) -> School:
    """A school where nothing was answered yet."""
    return open_school(tmp_path)


@pytest.fixture
def written(tmp_path):
    """Writes a small course folder with a deck, and other files by name."""

    def write(deck=small.DECK, **files):
        (tmp_path / "aircraft").mkdir(exist_ok=True)
        for name, raw in {"lesson-plan.md": small.PLAN, "aircraft/a.md": small.SHEET, "deck.md": deck, **files}.items():
            (tmp_path / name).write_bytes(raw)
        return tmp_path

    return write


@pytest.fixture(scope="session")
def kept() -> list[bytes]:
    """The lines below, once they were made."""
    return []


@pytest.fixture
def lines(school: School, kept: list[bytes]) -> list[bytes]:
    """Lines of a log of `me`: answers right and wrong on three days, one taken back, and a lesson flown."""
    if kept:
        course = school.course
        logs.merge(school.store, logs.read(course, clock.clock_for("UTC", DAY + timedelta(days=19)), kept))
        return [*kept]
    for day, right in ((0, True), (1, False), (4, True)):
        session = school.begin(day=day, topic="swing")
        for _ in range(2):
            session, _ = answer(session, right=right, confidence="sure")
    session.desk.undo()
    school.flown(4, "2", "late-foot")
    kept += [line.encode() for line in log.lines(school.store)]
    return [*kept]


@pytest.fixture
def other(school: School, kind: Engine, tmp_path: Path) -> School:
    """Another device, where nothing was answered yet."""
    store = kind.empty(tmp_path, "other")
    chain.renew(store)
    return replace(school, store=store)
