"""The daily review: start, ask, take an answer. Every shell goes through the same calls and shows the same Step."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from stickback.course.asking import drawn
from stickback.course.course import Question
from stickback.formulas import draw
from stickback.kinds.shown import UNKNOWN, Compared, Mark, Point, Shown, Unclear, repeated
from stickback.memory.entry import CONFIDENCES, Confidence
from stickback.memory.past import History, Row
from stickback.reading.markup import Block
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
class Answer:
    """What a student answers to a Step.

    Args:
        given: as the step understood it; for not to know see `unknown`.
        hinted: the hint was read first.
        seconds: from shown to answered.
    """

    given: str
    confidence: Confidence
    hinted: bool
    seconds: float


@dataclass(frozen=True)
class Done:
    """Nothing more to ask now.

    Args:
        reason: `plan` (all of today's questions were asked), `minutes`, `questions` or `nothing`.
    """

    reason: str


@dataclass(frozen=True, kw_only=True)
class Marked:
    """What an answer was worth and what follows.

    Args:
        compared: the answer beside the right one.
        next_days: days until the question comes back; None when this was practice.
        sure_but_wrong: it was given as `sure` and is wrong.
        again_today: it comes back today.
        stored: the answer as it is in the log.
    """

    mark: Mark
    compared: Compared
    why: tuple[Block, ...]
    next_days: int | None
    sure_but_wrong: bool
    again_today: bool
    stored: Row


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
        raise Refused(f"The question '{question.id}' has no answer for what is drawn; `stickback check` says why.")
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


def confidence(said: str) -> Confidence | None:
    """How sure a student is, by the word or its first letter; None for anything else."""
    return next((word for word in CONFIDENCES if said.casefold() in {word, word[0]}), None)


def unknown(*, hinted: bool, seconds: float) -> Answer:
    """The answer of a student who does not know."""
    return Answer(UNKNOWN, "guess", hinted, seconds)


def pass_over(session: Session, step: Step) -> Session:
    """The session without a question that its student does not want today; it says nothing of what is known."""
    over = session.passed | {step.history}
    today.keep_passed(session.desk, over)
    return replace(session, passed=over)


def take(session: Session, step: Step, answer: Answer) -> tuple[Session, Marked]:
    """Takes an answer: stores it, then says what it was worth. It is on disk when this returns.

    Errors: Refused when the database cannot take it.
    """
    after = store(session, step, answer)
    return after, _marked(session.desk, after, step, after.desk.past.by_id[step.asking])


def store(session: Session, step: Step, answer: Answer) -> Session:
    """Stores an answer and says nothing of it; it is on disk when this returns.

    Errors: Refused when the database cannot take it.
    """
    desk, question = session.desk, step.question
    known = answer.given != UNKNOWN
    kept = question.body.to_log(step.seed, answer.given) if known else UNKNOWN
    worth, _ = question.body.judge(step.seed, kept, step.values)
    entry = desk.entry(
        "answer",
        step.asking,
        question=step.history[0],
        variant=step.history[1],
        kind=question.kind,
        revision=question.revision,
        key=question.key,
        aircraft=desk.sheet.id,
        phraseology=question.only.get("phraseology"),
        seed=step.seed,
        given=kept,
        confidence=answer.confidence,
        hinted=answer.hinted,
        score=worth.score,
        right=worth.right,
        marked_by="self" if step.shown.manner == "aloud" and known else "program",
        seconds=round(answer.seconds, 1),
    )
    return replace(session, desk=desk.append(entry), taken=session.taken + 1)


def answered(session: Session, asking: str) -> tuple[Step, Marked] | None:
    """What was asked, and what was said of the answer, once more; None where that asking was never answered.

    Args:
        session: after the answer.
    """
    row = session.desk.past.by_id.get(asking)
    if row is None or row.what != "answer":
        return None
    step = put(session, row.history, asking)
    before = replace(session.desk, past=session.desk.past.ahead_of(row))
    return step, _marked(before, session, step, row)


def _marked(before: Desk, after: Session, step: Step, stored: Row) -> Marked:
    """What is said of an answer; a form sent twice is answered with what was stored the first time."""
    body, kept = step.question.body, stored.given or ""
    worth, compared = body.judge(step.seed, kept, step.values)
    sure_but_wrong = stored.confidence == "sure" and not worth.right
    return Marked(
        mark=worth,
        compared=compared,
        why=step.question.why,
        next_days=_next_days(before, step.history, stored, sure_but_wrong=sure_but_wrong),
        sure_but_wrong=sure_but_wrong,
        again_today=step.history in after.sitting.queue,
        stored=stored,
    )


def _next_days(before: Desk, history: History, stored: Row, *, sure_but_wrong: bool) -> int | None:
    """Days until the question comes back, as the memory library says it; None for practice."""
    answered = before.past.on(stored.day)
    if any(row.history == history and row.id != stored.id for row in answered):
        return None
    return 1 if sure_but_wrong else before.days_to(stored, before.past.of(history[0]))


def take_back(session: Session, asking: str) -> Session:
    """The session after an answer of it was voided, whatever was stored after it.

    Errors: Refused when the database cannot take it.
    """
    return replace(session, desk=session.desk.void(asking))
