"""An answer to what was asked: stored, then what it was worth and what follows from it."""

from dataclasses import dataclass, replace

from stickback.kinds.shown import UNKNOWN, Compared, Mark
from stickback.memory.entry import CONFIDENCES, Confidence
from stickback.memory.past import History, Row
from stickback.reading.markup import Block
from stickback.services import review
from stickback.services.desk import Desk
from stickback.services.review import Session, Step


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


def confidence(said: str) -> Confidence | None:
    """How sure a student is, by the word or its first letter; None for anything else."""
    return next((word for word in CONFIDENCES if said.casefold() in {word, word[0]}), None)


def unknown(*, hinted: bool, seconds: float) -> Answer:
    """The answer of a student who does not know."""
    return Answer(UNKNOWN, "guess", hinted, seconds)


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
    step = review.put(session, row.history, asking)
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
