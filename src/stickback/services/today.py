"""Today: which questions the day is for, and the day at a glance."""

import json
import math
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

import platformdirs

from stickback.course import named
from stickback.course.course import of_own_state
from stickback.memory.past import History, Past
from stickback.services import debrief, goals
from stickback.services.desk import Desk
from stickback.store import files
from stickback.study import candidate, choose, flown, sitting
from stickback.study.candidate import Candidate
from stickback.study.choose import Budget
from stickback.study.debrief import Weak
from stickback.study.sitting import Agenda, Sitting

FAR_DAYS = 28  # to a date: by then the whole plan can be begun in its own order
_SPOILT = (OSError, ValueError, TypeError, KeyError, RecursionError)  # of a file that was not written here


@dataclass(frozen=True)
class Wish:
    """What the student asked for.

    Args:
        minutes: of the whole study day; None is the student's setting.
        questions: askings in this session; None is as many as fit the minutes.
        topic, lesson: ids to keep to.
        seed: makes what is drawn and shuffled repeatable.
    """

    minutes: int | None = None
    questions: int | None = None
    topic: str | None = None
    lesson: str | None = None
    seed: int | None = None

    @property
    def narrow(self) -> bool:
        """Whether the student asked for a part of the course, known well or not."""
        return self.topic is not None or self.lesson is not None

    def seconds(self, desk: Desk) -> float:
        """The day's budget; endless when only a number of questions was asked for."""
        if self.minutes is None and self.questions is not None:
            return math.inf
        return 60.0 * (self.minutes or desk.student.minutes)


def agenda(desk: Desk, wish: Wish) -> Agenda:
    """The day's agenda: it follows from the log up to yesterday, so it is the same however often it is made.

    Errors: Refused for a topic or lesson that the lesson plan does not have.
    """
    wanted = _wanted(desk, wish)
    dawn = desk.dawn
    counted = candidates(desk, dawn, whole=wish.narrow)
    ranked = goals.ranked(desk, dawn, counted)
    ends = next(
        (one.day for one in goals.occasions(desk.course.plan, desk.student, desk.day) if one.lesson is None), None
    )
    answered = len(desk.past.on(desk.number))
    most = math.inf if wish.questions is None else wish.questions + answered
    chosen = choose.choose(
        [one for one in counted if one.topic in wanted],
        Budget(wish.seconds(desk), most),
        desk.student.name,
        desk.student.target,
        reach=None if wish.narrow else reach(desk),
        away=None if dawn.last_day is None else desk.number - dawn.last_day,
        day=1 + len({row.day for row in dawn.answers}),
        fresh=wish.narrow,
        dated=[one.candidate for one in ranked if one.candidate.topic in wanted],
        # For the end of the course all that gains anything is ranked; what is left would only be forgotten sooner.
        only_dated=not wish.narrow and ends is not None,
        far=ends is not None and (ends - desk.day).days >= FAR_DAYS,
    )
    within = frozenset(history for history, question in desk.questions.items() if question.topic in wanted)
    order = tuple(one.history for one in chosen)
    return Agenda(order, within, _chains(desk), goals.reasons(desk, dawn, chosen, ranked))


def _chains(desk: Desk) -> dict[History, History]:
    """What is asked straight after each question that says so."""
    by_id = {question.id: history for history, question in desk.questions.items()}
    return {history: by_id[one.then] for history, one in desk.questions.items() if one.then in by_id}


def _wanted(desk: Desk, wish: Wish) -> set[str]:
    topics = set(desk.course.plan.topics)
    if wish.lesson is not None:
        topics &= {topic.id for topic in named.lesson(desk.course, wish.lesson).topics}
    if wish.topic is not None:
        topics &= {named.topic(desk.course, wish.topic).id}
    return topics


def _missed(desk: Desk, past: Past) -> frozenset[str]:
    return frozenset(desk.topic_of[question] for question in past.ever_wrong if question in desk.topic_of)


def reach(desk: Desk) -> int | None:
    """Number of the last lesson that new questions come from: the next one to fly; None where nothing says which."""
    numbers = {lesson.id: lesson.number for lesson in desk.course.plan.lessons if not lesson.beside}
    if desk.student.next_lesson in numbers:
        return numbers[desk.student.next_lesson]
    done = [numbers[one.lesson] for one in flown.flights(desk.past) if one.lesson in numbers]
    return max(done) + 1 if done else None


def elsewhere(past: Past, history: History) -> bool:
    """Whether a question is unseen here but was answered on an aeroplane whose answer differs."""
    if all(row.variant == history[1] for row in past.by_question.get(history[0], ())):
        return False  # as nearly always; which of its answers moved the memory need not be looked for then
    variants = past.variants.get(history[0], frozenset())
    return bool(variants) and history[1] not in variants


def candidates(desk: Desk, past: Past, *, whole: bool = False) -> list[Candidate]:
    """Every question that counts, as it stands today after a past.

    Args:
        whole: of the assumed topics too, all of them.
    """
    found = _candidates(desk, past)
    return found if whole else candidate.of_assumed(found, _missed(desk, past), desk.student.name)


def _candidates(desk: Desk, past: Past) -> list[Candidate]:
    histories = list(desk.questions)
    known = dict(zip(histories, desk.known(past, histories, desk.number), strict=True))
    misbeliefs = past.misbeliefs
    behind = {topic for error in desk.flown_errors_of(past) for topic in error.due}
    costs = sitting.costs(past.columns, desk.course.kinds)
    topics = desk.course.plan.topics
    places = desk.course.plan.place
    chains = _chains(desk)
    chained = {*chains, *chains.values()}
    opening = {name: place for place, name in enumerate(desk.course.plan.begin)}
    lessons = {one.id: 0 if one.beside else one.number for one in desk.course.plan.lessons}
    found = []
    for history, question in desk.questions.items():
        topic = topics[question.topic]
        found.append(
            Candidate(
                history=history,
                topic=topic.id,
                place=places[topic.id],
                lesson=lessons[topic.lesson],
                must=topic.must,
                assumed=topic.assumed,
                late=topic.late or not of_own_state(question, desk.student.phraseology),
                opening=opening.get(question.id),
                known=known[history],
                first=history in misbeliefs or topic.id in behind,
                elsewhere=known[history] is None and elsewhere(past, history),
                numbers=bool(history[1]),
                seconds=sitting.cost(costs, question.kind),
                chained=history in chained,
            )
        )
    return found


def resumed(desk: Desk, made: Agenda) -> Sitting:
    """Where today stands."""
    return sitting.resume(made, desk.past.on(desk.number), desk.past.voided)


def passed_over(desk: Desk) -> frozenset[History]:
    """The questions passed over today, as the user's cache folder keeps them.

    It is a wish for one day and no truth about the student: it is in no log and on no other device, and where the file
    is lost or cannot be written the question only comes back in the next sitting.
    """
    with suppress(*_SPOILT):
        kept = json.loads(_place(desk).read_bytes())
        if kept["day"] == desk.day.isoformat():
            return frozenset((str(question), str(variant)) for question, variant in kept["passed"])
    return frozenset()


def keep_passed(desk: Desk, passed: frozenset[History]) -> None:
    """Keeps what was passed over today."""
    kept = {"day": desk.day.isoformat(), "passed": sorted(passed)}
    files.keep(_place(desk), json.dumps(kept).encode())


def _place(desk: Desk) -> Path:
    """A file for each student of each school of each database."""
    of = [desk.database.name, desk.database.school, desk.student.name]
    name = blake2b(json.dumps(of).encode(), digest_size=8).hexdigest()
    return platformdirs.user_cache_path("stickback") / "passed" / f"{name}.json"


@dataclass(frozen=True, kw_only=True)
class Glance:
    """Today in a few figures.

    Args:
        minutes: what the questions still to come will take, rounded up; within the day's budget.
        questions: about how many they are.
        about: titles of the lessons most of them belong to.
        answered: answers of today.
        away: days since the last answer before today; None when there is none.
    """

    minutes: int
    questions: int
    about: tuple[str, ...]
    answered: int
    away: int | None
    weakest: tuple[Weak, ...]


def glance(desk: Desk) -> Glance:
    """What the day holds, without a word about anything that waits."""
    desk, wish = desk.so_far, Wish()
    at = resumed(desk, agenda(desk, wish))
    costs = sitting.costs(desk.dawn.columns, desk.course.kinds)
    left = max(wish.seconds(desk) - at.seconds, 0.0)
    over = passed_over(desk)
    coming = [desk.questions[history] for history in at.queue if history not in over] if left else []
    seconds = min(sum(sitting.cost(costs, question.kind) for question in coming), left)
    lessons = {lesson.id: lesson.title for lesson in desk.course.plan.lessons}
    topics = desk.course.plan.topics
    about = Counter(lessons[topics[question.topic].lesson] for question in coming)
    before = desk.dawn.last_day
    return Glance(
        minutes=math.ceil(seconds / 60),
        questions=len(coming),
        about=tuple(title for title, _ in about.most_common(2)),
        answered=at.answered,
        away=None if before is None else desk.number - before,
        weakest=tuple(debrief.weak(desk)[:3]),
    )
