"""How the students of one aeroplane stand on their dates: what is known, the chance to pass, and the verdict."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from stickback import clock
from stickback.course.course import Course
from stickback.course.sheet import Sheet
from stickback.memory.curve import Floats, Ints
from stickback.readiness import gather, score
from stickback.readiness.folded import Folded, Told
from stickback.readiness.forecast import Band, Basis, Exam, Forecast, forecast
from stickback.readiness.gather import Asked, Standing
from stickback.readiness.offset import offsets
from stickback.readiness.score import Topics
from stickback.readiness.verdict import Case, obstacles, verdict
from stickback.study.student import Student


@dataclass(frozen=True)
class Ready:
    """How one student stands on a date.

    Args:
        recall: what is known of a question drawn by topic weight, without further study; nan when no question applies.
        oral: chance to pass the school's oral, likewise.
        topics: as in `score.Topics`, of this student alone; `low`, `high`, the ends of their bands.
        misbeliefs: open ones by topic; `last`, day number of the last answer by topic, -1 where none was.
        answers: graded ones.
        obstacles: what stands in the way of `sound`, as sentences.
        told: what was told of the student's answers before they were given.
        today: chance to pass today; None when it was not asked for.
        kept: chance to pass on the date when the plan is kept until then; None when it was not asked for.
        short_by: minutes a day that the plan lacks, 0 when it is enough; None when none is enough or nothing was asked.
    """

    student: Student
    date: date
    sheet: Sheet
    recall: Band
    oral: Band
    topics: Topics
    low: Floats
    high: Floats
    misbeliefs: Ints
    last: Ints
    answers: int
    verdict: str
    obstacles: tuple[str, ...]
    told: Told
    today: Band | None = None
    kept: Band | None = None
    short_by: int | None = None

    @property
    def known(self) -> float:
        """The middle of `recall`."""
        return self.recall.middle

    @property
    def passes(self) -> float:
        """The middle of the chance to pass."""
        return self.oral.middle


@dataclass(frozen=True)
class Group:
    """The students of one aeroplane and phraseology.

    Args:
        folded: the log of the school; `members`, the students' places in it; `who`, themselves.
    """

    course: Course
    sheet: Sheet
    asked: Asked
    folded: Folded
    members: Ints
    who: Sequence[Student]

    def standing(self, on: Sequence[date]) -> Standing:
        """How they stand, each on a date."""
        numbers = np.array([clock.day_number(day) for day in on])
        return gather.standing(self.asked, self.folded, self.members, [one.name for one in self.who], numbers)


def forecast_of(group: Group, standing: Standing) -> Forecast:
    """The forecast that follows from how they stand."""
    offset, error = offsets([group.folded.told[at] for at in group.members])
    basis = Basis(
        standing.chance,
        standing.counted,
        group.asked.guess,
        group.asked.topic,
        gather.rates(group.course, group.folded, group.members),
        offset,
        error,
        standing.once,
    )
    return forecast(basis, exam(group.course))


def exam(course: Course) -> Exam:
    """The school's oral, as a forecast takes it."""
    plan = course.plan
    weight = np.array([topic.weight for topic in plan.topics.values()], dtype=np.int64)
    return Exam(tuple(plan.topics), weight, plan.exam_questions, plan.exam_pass)


def ready(group: Group, on: Sequence[date]) -> list[Ready]:
    """How each of a group stands on the date of each, and the verdict."""
    standing = group.standing(on)
    made, topic, plan = forecast_of(group, standing), group.asked.topic, list(group.course.plan.topics.values())
    answers = gather.graded(group.course, group.folded, group.members)
    misbeliefs, wrong = (score.per_topic(flags, topic, len(plan)) for flags in (standing.misbelief, standing.wrong))
    found = []
    for row, (student, day) in enumerate(zip(group.who, on, strict=True)):
        topics = Topics(made.topics.questions[row], made.topics.seen[row], made.topics.known[row])
        case = Case(plan, int(answers[row]), made.passes[row], topics, made.low[row], wrong[row])
        found.append(
            Ready(
                student,
                day,
                group.sheet,
                made.known[row],
                case.passes,
                topics,
                case.low,
                made.high[row],
                misbeliefs[row],
                _latest(standing.last[row], topic, len(plan)),
                case.answers,
                verdict(case),
                obstacles(case),
                group.folded.told[group.members[row]],
            )
        )
    return found


def _latest(last: Ints, topic: Ints, topics: int) -> Ints:
    """The latest day of each topic."""
    found = np.full(topics, -1, dtype=np.int64)
    np.maximum.at(found, topic, last)
    return found
