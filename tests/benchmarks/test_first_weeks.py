"""A hundred and twenty days of twelve invented students: what they are asked, held to what choosing promises.

They differ in ability, minutes, aeroplane, rules and dates. An answer is right as often as the memory model says,
shifted on the logit by the student's own ability; what was never seen is right at a rate of the student's own. Two are
away for four weeks, one answers every third day.
"""

import math
from collections import Counter
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest

import behind
from stickback.clock import Clock
from stickback.formulas import draw
from stickback.services import desk as desks
from stickback.services import folder, marking, review
from stickback.services.review import Done
from stickback.services.today import Wish
from stickback.study.choose import AWAY_DAYS, BESIDE_FROM, LATE_FROM, SPARING_UNTIL
from stickback.study.student import Student

pytestmark = pytest.mark.bench

BEGIN, DAYS = date(2026, 1, 5), 120


@dataclass(frozen=True)
class Played:
    """An invented student.

    Args:
        ability: added to the logit of every chance; `first`: of a right answer at first sight.
        away: days on which nothing is answered.
    """

    student: Student
    ability: float
    first: float
    away: frozenset[int] = frozenset()


def day(number):
    return BEGIN + timedelta(days=number)


BREAK = frozenset(range(50, 50 + AWAY_DAYS + 7))
CAST = (
    Played(Student(name="Ann", aircraft="brackle"), 0.0, 0.6),
    Played(Student(name="Ben", aircraft="pendlewick", phraseology="faa"), 0.0, 0.6),
    Played(Student(name="Cat", aircraft="brackle"), -1.0, 0.35),
    Played(Student(name="Dan", aircraft="brackle"), 1.0, 0.85),
    Played(Student(name="Eve", aircraft="pendlewick", minutes=20), 0.0, 0.6),
    Played(Student(name="Fay", aircraft="brackle", minutes=5), 0.0, 0.6),
    Played(Student(name="Gil", aircraft="brackle", checkride=day(60)), 0.0, 0.6),
    Played(Student(name="Hal", aircraft="pendlewick", phraseology="faa", checkride=day(110)), -0.5, 0.5),
    Played(Student(name="Ida", aircraft="brackle", next_lesson="take-off", next_on=day(7)), 0.0, 0.6),
    Played(Student(name="Jon", aircraft="brackle"), 0.0, 0.6, BREAK),
    Played(Student(name="Kit", aircraft="pendlewick", checkride=day(115)), 0.0, 0.6, BREAK),
    Played(Student(name="Lea", aircraft="brackle"), 0.0, 0.6, frozenset(n for n in range(DAYS) if n % 3)),
)


@dataclass(frozen=True)
class Asked:
    """One asking."""

    number: int
    study_day: int
    question: str
    topic: str
    lesson: int
    new: bool
    again: bool
    numbers: bool
    must: bool


def live(one, course, store):
    """All askings of a student, in order."""
    behind.put(store, one.student)
    numbers = {lesson.id: lesson.number for lesson in course.plan.lessons}
    desk = desks.desk(course, store, one.student.name, BEGIN)
    desk = replace(desk, stores=lambda _, __, entry: entry)
    found, studied = [], 0
    for number in range(DAYS):
        if number in one.away or (one.student.checkride and day(number) > one.student.checkride):
            continue
        studied += 1
        moment = datetime.combine(day(number), datetime.min.time(), UTC) + timedelta(hours=18)
        ticks = iter(moment + timedelta(seconds=20 * n) for n in range(10_000))
        clock = Clock("UTC", source=partial(next, ticks))
        desk = replace(desk, day=day(number), clock=clock)
        dawn = dict(zip(desk.questions, desk.known(desk.past, list(desk.questions), desk.number), strict=True))
        session = review.start(desk, Wish())
        while not isinstance(step := review.ask(session), Done):
            known = dawn[step.history]
            topic = course.plan.topics[step.question.topic]
            found.append(
                Asked(
                    number,
                    studied,
                    step.question.id,
                    topic.id,
                    numbers[topic.lesson],
                    known is None and not step.again,
                    step.again,
                    bool(step.history[1]),
                    topic.must,
                )
            )
            luck = draw.number(one.student.name, step.asking) / 2**53
            right = luck < (one.first if known is None else shifted(known, one.ability))
            said = step.question.body.simulate(step.seed, step.values, right=right)
            session, _ = marking.take(
                session, step, marking.Answer(said, "think", hinted=False, seconds=14 + 16 * luck)
            )
        desk = session.desk
    return found


def shifted(chance, by):
    held = min(max(chance, 0.01), 0.99)
    return 1 / (1 + math.exp(-(math.log(held / (1 - held)) + by)))


@pytest.fixture(scope="module")
def course():
    return folder.load(folder.shipped())


def by_day(asked):
    found = {}
    for one in asked:
        found.setdefault(one.study_day, []).append(one)
    return found


def longest_run(topics):
    longest = run = 0
    before = None
    for topic in topics:
        run = run + 1 if topic == before else 1
        longest, before = max(longest, run), topic
    return longest


@pytest.mark.parametrize("one", CAST, ids=[one.student.name for one in CAST])
def test_what_is_asked_keeps_to_what_choosing_promises(one, course, tmp_path, capsys):
    from stickback.store import engine

    asked = live(one, course, engine.locate(str(tmp_path / "days.db")))
    days, late = by_day(asked), {topic.id for topic in course.plan.topics.values() if topic.late}
    report(one, asked, days, capsys)
    assert asked[0].question == next(name for name in course.plan.begin if any(x.question == name for x in asked))
    for number, rows in days.items():
        radio = len({row.question for row in rows if row.lesson == 11})
        different = len({row.question for row in rows})
        assert 2 * (len(rows) - different) <= different, number
        assert number >= BESIDE_FROM or not radio, number
        assert number >= LATE_FROM or not any(row.topic in late and row.new for row in rows), number
        assert number > SPARING_UNTIL or 4 * radio <= different + 3, number
    if not one.student.checkride and not one.student.next_lesson and one.student.minutes >= 10 and len(days) > 28:
        begun = {row.lesson for row in asked if row.study_day <= 28}
        assert begun == set(range(1, 13))
    if one.away is BREAK:
        back = [row for row in asked if row.number == max(BREAK) + 1]
        assert back
        assert not any(row.new for row in back)
        half = [row for row in back if not row.again][: len(back) // 3]
        assert sum(row.must or row.numbers for row in half) >= 0.8 * len(half)


def report(one, asked, days, capsys):
    """A line a student: lessons begun by week, shares of new, repeats and radio, longest run, different a sitting."""
    begun = {}
    for row in asked:
        begun.setdefault(row.lesson, row.number // 7 + 1)
    weeks, many = Counter(begun.values()), len(asked)
    shares = (sum(row.new for row in asked), sum(row.again for row in asked), sum(row.lesson == 11 for row in asked))
    new, again, radio = (f"{share / many:.0%}" for share in shares)
    different = [len({row.question for row in rows}) for rows in days.values()]
    with capsys.disabled():
        print(
            f"\n{one.student.name}: {many} askings on {len(days)} days, {min(different)} to {max(different)} different"
        )
        print(f"  lessons begun by week {' '.join(f'{week}:{weeks[week]}' for week in sorted(weeks))}")
        print(f"  new {new}, repeats {again}, radio {radio}, longest run {longest_run([row.topic for row in asked])}")
