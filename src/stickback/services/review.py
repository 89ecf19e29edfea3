"""The daily review, asked question by question: every shell goes through the same calls and shows the same Step."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from stickback.course.asking import drawn
from stickback.course.course import Question
from stickback.formulas import draw
from stickback.kinds.shown import Point, Shown, Unclear, repeated
from stickback.memory.past import History
from stickback.refused import Refused
from stickback.services import today
from stickback.services.desk import Desk
from stickback.services.today import Wish
from stickback.study.sitting import Agenda, Sitting


@dataclass(frozen=True)
class Session:
    """A review under way.

    Args:
        taken: how many answers it took since it was begun; its `sitting` counts those of the whole day.
        passed: what was passed over today.
    """

    desk: Desk
    wish: Wish
    agenda: Agenda
    taken: int = 0
    passed: frozenset[History] = frozenset()

    @cached_property
    def sitting(self) -> Sitting:
        """Where today stands."""
        return today.resumed(self.desk, self.agenda)

    @property
    def queue(self) -> list[History]:
        """What is still to come, without what was passed over."""
        return [history for history in self.sitting.queue if history not in self.passed]

    @property
    def left(self) -> int:
        """About how many questions are still to come."""
        most = math.inf if self.wish.questions is None else self.wish.questions - self.taken
        return int(min(len(self.queue), most))

    @property
    def minutes(self) -> int:
        """Of the study day: those wished for, else the student's setting."""
        return self.wish.minutes or self.desk.student.minutes

    @property
    def seconds_left(self) -> float:
        """Of the day's budget; inf where there is none."""
        return self.wish.seconds(self.desk) - self.sitting.seconds


@dataclass(frozen=True, kw_only=True)
class Step:
    """One asking, as both shells show it.

    Args:
        asking: its id, which the entry takes.
        values: of the sheet, and those drawn for this asking.
        left: about how many are still to come, this one included.
        seconds_left: of the day's budget; inf where there is none.
        again: it was answered today already; by itself only what was wrong comes back.
        elsewhere: new on this aeroplane, known from another.
    """

    asking: str
    history: History
    question: Question
    seed: int
    values: Mapping[str, str]
    shown: Shown
    left: int
    seconds_left: float
    again: bool
    elsewhere: bool

    @property
    def points(self) -> tuple[Point, ...]:
        """What the right answer holds; of one said aloud, what its student then ticks."""
        return self.question.body.answer(self.seed, self.values)

    def understand(self, typed: str, *, heard_again: bool = False) -> str | Unclear:
        """What a student typed, as an `Answer` takes it.

        Args:
            heard_again: what was heard was brought back before it was typed, which stands in the log before the answer.
        """
        given = self.question.body.understand(typed, self.values)
        return repeated(given) if heard_again and not isinstance(given, Unclear) else given


@dataclass(frozen=True)
class Done:
    """Nothing more to ask now.

    Args:
        reason: `plan` (all of today's questions were asked), `minutes`, `questions` or `nothing`.
    """

    reason: str


def start(desk: Desk, wish: Wish) -> Session:
    """A review under way; nothing is stored of it but its answers, and for the day what is passed over.

    Errors: Refused for a topic or lesson that the lesson plan does not have.
    """
    return Session(desk, wish, today.agenda(desk, wish), passed=today.passed_over(desk))


def ask(session: Session) -> Step | Done:
    """The next question, or why there is none."""
    if session.wish.questions is not None and session.taken >= session.wish.questions:
        return Done("questions")
    if not session.queue:
        return Done("plan" if session.sitting.answered or session.passed else "nothing")
    if session.seconds_left <= 0:
        return Done("minutes")
    return put(session, session.queue[0], session.desk.clock.new_id())


def put(session: Session, history: History, asking: str) -> Step:
    """A question put under an asking: the same one shows the same figures and order; of a wished seed till answered.

    Errors: Refused where it cannot be asked of this student.
    """
    desk, wish = session.desk, session.wish
    if history not in desk.questions:
        raise Refused("This question cannot be asked on this aeroplane.")
    question = desk.questions[history]
    times = sum(row.what == "answer" for row in desk.past.by_question.get(history[0], ()))
    seed = draw.number(asking) if wish.seed is None else draw.number(wish.seed, history[0], times)
    if (found := drawn(question, seed, desk.sheet)) is None:
        raise Refused(f"The question '{question.id}' has no answer for what is drawn.", "`stickback check` says why")
    seed, values = found
    return Step(
        asking=asking,
        history=history,
        question=question,
        seed=seed,
        values=values,
        shown=question.body.show(seed, values),
        left=session.left,
        seconds_left=session.seconds_left,
        again=any(row.history == history for row in desk.past.on(desk.number)),
        elsewhere=today.elsewhere(desk.past.only(history[0]), history),
    )


def pass_over(session: Session, step: Step) -> Session:
    """The session without a question that its student does not want today; it says nothing of what is known."""
    over = session.passed | {step.history}
    today.keep_passed(session.desk, over)
    return replace(session, passed=over)
