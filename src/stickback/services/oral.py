"""An oral put by an instructor: drawn as the forecast assumes, marked point by point, kept question by question.

Every shell goes through `begin`, `ask`, `understand`, `mark` and `back`; a mark is on disk when `mark` returns.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from stickback import acting
from stickback.course.course import Question
from stickback.formulas import draw
from stickback.kinds.shown import Mark, Point, Unclear
from stickback.memory.past import History
from stickback.readiness.forecast import MIDDLE, forecast
from stickback.readiness.standings import Standings, of_answers
from stickback.readiness.statement import ANSWERS
from stickback.refused import Refused
from stickback.services import try_
from stickback.services.desk import Desk
from stickback.services.try_ import Trial
from stickback.study import oral as orals
from stickback.study.oral import Oral

LONGEST_REMARK, LONGEST_NAME, MOST = 500, 80, 200
RIGHT, WRONG = "right", "wrong"  # said of an answer that is not typed in


@dataclass(frozen=True, kw_only=True)
class Examination:
    """An oral under way.

    Args:
        order: the questions drawn, in the order in which they are put.
    """

    desk: Desk
    oral: Oral
    order: tuple[History, ...]


@dataclass(frozen=True, kw_only=True)
class Put:
    """A question as it is put: what is read out, and what the instructor alone sees.

    Args:
        number: its place in the oral, from 1.
        points: of the answer, with what would fail it; `ticked` where each is ticked when it was said.
    """

    number: int
    history: History
    trial: Trial
    points: tuple[Point, ...]
    ticked: bool

    @property
    def question(self) -> Question:
        """The question."""
        return self.trial.question


@dataclass(frozen=True)
class Judgement:
    """What the instructor made of an answer: the answer as it was understood, or that it was judged, and its mark."""

    given: str
    mark: Mark


def begin(desk: Desk, by: str, questions: int | None = None, seed: int | None = None) -> Examination:
    """An oral; the one that this examiner began today and left unfinished goes on.

    Args:
        by: who is said to put it; where somebody is signed in, it is that person, whatever is said.
        questions: how many; the course says it where it is None. `seed`: of all that is drawn.
    Errors: Refused for a name that no log can hold, and where nothing can be asked of the student.
    """
    by = examiner(by)
    if not (0 < len(by) <= LONGEST_NAME and by.isprintable()):
        raise Refused(f"Say who examines: a name of {LONGEST_NAME} characters at the most.")
    if not desk.questions:
        raise Refused(f"The course asks nothing on the {desk.sheet.name}.")
    standings = _standings(desk)
    begun = next((one for one in reversed(orals.orals(desk.past)) if _goes_on(one, desk, by, questions, seed)), None)
    oral = begun or _new(desk, standings, by, questions, seed)
    return Examination(desk=desk, oral=oral, order=_order(desk, standings, oral))


def examiner(said: str) -> str:
    """Who puts an oral: the person who is signed in, else who is said to."""
    person = acting.now()
    return person.name if person else said.strip()


def ended(desk: Desk, by: str, seed: int) -> Examination | None:
    """An oral of today that this examiner put to its end, to be looked at again; None where there is none."""
    whose = (examiner(by), seed, desk.number)
    mine = (one for one in reversed(orals.orals(desk.past)) if (one.by, one.seed, one.day) == whose)
    oral = next((one for one in mine if one.whole), None)
    return None if oral is None else Examination(desk=desk, oral=oral, order=_order(desk, _standings(desk), oral))


def _standings(desk: Desk) -> Standings:
    return of_answers(desk.course, desk.questions, desk.past.columns, {0: desk.student.name})


def _goes_on(one: Oral, desk: Desk, by: str, questions: int | None, seed: int | None) -> bool:
    """Whether an oral is the one to go on with."""
    same = one.by == by and questions in {None, one.questions} and seed in {None, one.seed}
    return same and not one.whole and one.day == desk.number


def _new(desk: Desk, standings: Standings, by: str, questions: int | None, seed: int | None) -> Oral:
    """An oral before its first question, with what is told of the student today."""
    many = min(questions or standings.oral.questions, MOST, int(standings.counted[0].sum()))
    rules = replace(standings.oral, questions=many)
    told = forecast(replace(standings, oral=rules), np.array([desk.number]))
    estimate = int(standings.answers[0]) >= ANSWERS
    name = desk.clock.new_id()
    return Oral(
        id=name,
        day=desk.number,
        by=by,
        questions=many,
        needed=rules.needed,
        seed=draw.number(name) if seed is None else seed,
        known=float(told.known[0, MIDDLE]) if estimate else None,
        chance=float(told.pass_chance[0, MIDDLE]) if estimate else None,
    )


def _order(desk: Desk, standings: Standings, oral: Oral) -> tuple[History, ...]:
    """The questions of an oral: those heard already, then those drawn that were not heard yet."""
    places, histories = np.flatnonzero(standings.counted[0]).tolist(), list(desk.questions)
    topics = [int(standings.topic[at]) for at in places]
    found = orals.drawn(topics, standings.oral.weight.tolist(), len(places), oral.seed)
    heard = [one.history for one in oral.heard]
    return (*heard, *(histories[places[at]] for at in found if histories[places[at]] not in heard))[: oral.questions]


def ask(exam: Examination) -> Put | None:
    """The next question; None at the end."""
    at = len(exam.oral.heard)
    return put(exam, at) if at < len(exam.order) else None


def put(exam: Examination, at: int) -> Put:
    """A question of the oral by its place: the same figures whenever it is looked at.

    Errors: Refused where it can be drawn no more, as of a course that has changed.
    """
    history, desk = exam.order[at], exam.desk
    name = history[0].rpartition("/")[2]
    trial = try_.trial(desk.course, name, aircraft=desk.sheet.id, seed=draw.number(exam.oral.seed, name))
    ticked = trial.shown.manner == "aloud"
    return Put(number=at + 1, history=history, trial=trial, points=trial.answer, ticked=ticked)


def understand(one: Put, typed: str) -> Judgement | Unclear:
    """What the instructor typed: the points that were said, an answer given, or `right` or `wrong` as it was judged."""
    word = typed.strip().casefold()
    if word in {RIGHT, WRONG} and not one.ticked:
        return Judgement(word, Mark(word == RIGHT, float(word == RIGHT)))
    found = try_.tried(one.trial, typed)
    if found.mark is None:
        return Unclear(found.why)
    given = one.question.body.understand(typed, one.trial.values)
    return Judgement(str(given), found.mark)


def mark(exam: Examination, one: Put, judgement: Judgement, remark: str = "") -> Examination:
    """Keeps what was made of an answer; of a question marked already nothing is kept again.

    Errors: Refused for a remark that is too long, and when the database cannot take it.
    """
    if any(heard.history == one.history for heard in exam.oral.heard):
        return exam
    remark = " ".join(remark.split())
    if len(remark) > LONGEST_REMARK or not remark.isprintable():
        raise Refused(f"A remark is one line of {LONGEST_REMARK} characters at the most.")
    desk, trial = exam.desk, one.trial
    judged = judgement.given in {RIGHT, WRONG}
    kept = judgement.given if judged else trial.question.body.to_log(trial.seed, judgement.given)
    entry = desk.entry(
        "oral",
        question=one.history[0],
        variant=one.history[1],
        kind=trial.question.kind,
        revision=trial.question.revision,
        key=trial.question.key,
        aircraft=desk.sheet.id,
        phraseology=trial.question.only.get("phraseology"),
        seed=trial.seed,
        given=orals.note(exam.oral, kept, remark),
        score=judgement.mark.score,
        right=judgement.mark.right,
        marked_by="instructor",
    )
    return _after(exam, desk.append(entry))


def back(exam: Examination) -> Examination:
    """The oral without its last mark, whose question is put again.

    Errors: Refused when nothing was marked yet.
    """
    if not exam.oral.heard:
        raise Refused("Nothing was marked yet.")
    desk, last = exam.desk, exam.oral.heard[-1].entry
    return _after(exam, desk.void(last))


def _after(exam: Examination, desk: Desk) -> Examination:
    """The oral as the log has it now."""
    before = replace(exam.oral, heard=())
    oral = next((one for one in orals.orals(desk.past) if one.id == before.id), before)
    return replace(exam, desk=desk, oral=oral)


def missed(one: Put, said: str) -> Sequence[Point]:
    """Of an answer whose points were ticked: what was not said, and what should not have been."""
    numbers = set(said.split())
    return [point for at, point in enumerate(one.points, 1) if (str(at) in numbers) == point.fails]
