"""What is stated of one student on a date: the figures, the verdict, and what stands in its way.

It is for an instructor, who decides. What stands in the way are values: the sentences are made of them in `words`.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np

from stickback import clock
from stickback.course.course import Sheet
from stickback.memory.columns import Foretold
from stickback.memory.curve import Floats, Ints
from stickback.readiness.forecast import LOW, MIDDLE, Band, forecast
from stickback.readiness.oral import OralRules, per_topic
from stickback.readiness.standings import Standings
from stickback.study.student import Student

SOUND, BORDERLINE, NOT_YET, NO_ESTIMATE = "sound", "borderline", "not yet", "no estimate"
PASSES = 0.8  # the chance to pass that is asked for
MUST_KNOW = 0.7  # what a must topic keeps at the low end
MUST_SEEN = 4  # of its questions, or all where it has fewer
ANSWERS = 50  # fewer graded ones than these tell nothing


class Obstacle(NamedTuple):
    """One thing that keeps a student from `sound`.

    Args:
        kind: `answers` (too few for an estimate); of must topics `wrong` (an open wrong answer), `few` (too few
            questions seen) and `weak` (may be known too little); of all topics `unseen` and `faded`.
        topics: ids of those it is about; for the last two those that lose most come first.
        number: answers given, wrong ones open, or unseen questions; 0 for the others.
    """

    kind: str
    topics: tuple[str, ...]
    number: int = 0


class Case(NamedTuple):
    """A student of whom something is stated, and when.

    Args:
        today: the student's own study day: nothing that came later counts.
        date: that the statement is for.
    """

    student: Student
    today: date
    date: date

    @property
    def at_the_end(self) -> bool:
        """Whether the date is that of the end of the course, still ahead: then there is a plan to keep to."""
        return self.date == self.student.checkride and self.date >= self.today


class Outcome(NamedTuple):
    """What comes of keeping to the plan until the date.

    Args:
        pass_chance: on the date.
        short_by: minutes a day that are missing for the plan to be enough: 0 when it is, None when no number is.
        way: what is known on some days from today to the date, by their numbers.
    """

    pass_chance: Band
    short_by: int | None
    way: tuple[tuple[int, Band], ...]


@dataclass(frozen=True, kw_only=True)
class Statement:
    """What is stated of one student on a date; arrays have the axis topics.

    Args:
        known: of a question drawn by topic weight, without further study; nan when no question applies.
        pass_chance: of the school's oral, likewise.
        topics: what is known by topic, with its band; shape (topics, 3).
        topics_by_model, known_by_model: the same by the memory model alone, for those who work it out with the library.
        questions, seen: how many count, and how many of them were answered.
        misbeliefs, wrong: questions with a wrong and sure answer open; with that or a wrong last answer.
        answered_on: day number of the last answer; -1 where none was.
        answers: graded ones.
        foretold: of the student's answers, the chances told before they were given, and what came of them.
        pass_today: chance to pass today; None when it was not asked for.
        if_kept: what comes of keeping to the plan; None where there is none, as the date is not that of the end.
    """

    student: Student
    date: date
    sheet: Sheet
    oral: OralRules
    known: Band
    pass_chance: Band
    topics: Floats
    topics_by_model: Floats
    known_by_model: float
    questions: Ints
    seen: Ints
    misbeliefs: Ints
    wrong: Ints
    answered_on: Ints
    answers: int
    foretold: Foretold
    pass_today: Band | None = None
    if_kept: Outcome | None = None

    @property
    def verdict(self) -> str:
        """One of the four; see the constants."""
        if self.answers < ANSWERS or np.isnan(self.pass_chance.middle):
            return NO_ESTIMATE
        if self.pass_chance.low >= PASSES and not any(_musts(self)):
            return SOUND
        return BORDERLINE if self.pass_chance.middle >= PASSES else NOT_YET

    @property
    def obstacles(self) -> tuple[Obstacle, ...]:
        """What keeps the student from `sound`; none when nothing does."""
        if np.isnan(self.pass_chance.middle):
            return ()
        if self.answers < ANSWERS:
            return (Obstacle("answers", (), self.answers),)
        return (*_musts(self), *(_heaviest(self) if self.pass_chance.low < PASSES else ()))


def stated(
    cases: Sequence[Case], sheet: Sheet, standings: Standings, foretold: Sequence[Foretold], *, today: bool
) -> list[Statement]:
    """What is stated of students of one aeroplane by their answers alone.

    Args:
        standings, foretold: theirs, in the order of the cases.
        today: with the chance to pass today.
    """
    on, days = numbers(one.date for one in cases), numbers(one.today for one in cases)
    topics = len(standings.oral.topics)
    made = forecast(standings, on)
    now = made if np.array_equal(days, on) or not today else forecast(standings, days)
    misbeliefs, wrong = (per_topic(flags, standings.topic, topics) for flags in (standings.misbelief, standings.wrong))
    answered_on = np.full((len(cases), topics), -1, dtype=np.int64)
    np.maximum.at(answered_on.T, standings.topic, standings.answered_on.T)
    return [
        Statement(
            student=one.student,
            date=one.date,
            sheet=sheet,
            oral=standings.oral,
            known=Band(*made.known[row].tolist()),
            pass_chance=Band(*made.pass_chance[row].tolist()),
            topics=made.topics[row],
            topics_by_model=made.topics_by_model[row],
            known_by_model=float(made.known_by_model[row]),
            questions=made.questions[row],
            seen=made.seen[row],
            misbeliefs=misbeliefs[row],
            wrong=wrong[row],
            answered_on=answered_on[row],
            answers=answers,
            foretold=told,
            pass_today=Band(*now.pass_chance[row].tolist()) if today else None,
        )
        for row, (one, answers, told) in enumerate(zip(cases, standings.answers.tolist(), foretold, strict=True))
    ]


def numbers(days: Iterable[date]) -> Ints:
    """Days as their numbers."""
    return np.array([clock.day_number(day) for day in days], dtype=np.int64)


def _musts(one: Statement) -> Iterator[Obstacle]:
    """What is not as it must be in the must topics."""
    must = one.oral.must & (one.questions > 0)
    wrong = must & (one.wrong > 0)
    few = must & (one.seen < np.minimum(MUST_SEEN, one.questions))
    weak = must & ~few & (one.topics[:, LOW] < MUST_KNOW)
    for kind, which, number in (("wrong", wrong, int(one.wrong[wrong].sum())), ("few", few, 0), ("weak", weak, 0)):
        if which.any():
            yield Obstacle(kind, tuple(one.oral.topics[at] for at in np.flatnonzero(which)), number)


def _heaviest(one: Statement) -> list[Obstacle]:
    """What takes most from the oral: unseen questions and faded ones, the heavier of the two first."""
    unseen, many = one.questions - one.seen, np.maximum(one.questions, 1)
    lost = np.where(one.questions > 0, one.oral.weight * (1 - np.nan_to_num(one.topics[:, MIDDLE], nan=1.0)), 0.0)
    # Of what a topic lacks, unseen questions have their share by number: they are known no better than the seen ones.
    of_unseen = lost * unseen / many
    said = [("unseen", int(unseen.sum()), of_unseen), ("faded", 0, lost - of_unseen)]
    said.sort(key=lambda each: -each[2].sum())
    return [Obstacle(kind, _by_loss(one, loss), number) for kind, number, loss in said if loss.sum() > 0]


def _by_loss(one: Statement, lost: Floats) -> tuple[str, ...]:
    order = np.argsort(-lost, kind="stable")
    return tuple(one.oral.topics[at] for at in order if lost[at] > 0)
