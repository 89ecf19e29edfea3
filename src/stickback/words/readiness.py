"""What is said of readiness: what stands in the way, the chance, the plan, the day."""

import math
from collections.abc import Iterator, Sequence
from datetime import date

from stickback import clock
from stickback.amount import many, percent
from stickback.course.course import Course, Topic
from stickback.export.document import Grid
from stickback.memory.curve import Ints
from stickback.readiness.forecast import MIDDLE, Band
from stickback.readiness.offset import CERTAIN
from stickback.readiness.statement import ANSWERS, MUST_KNOW, MUST_SEEN, NO_ESTIMATE, SOUND, Obstacle, Statement
from stickback.services.readiness import Page
from stickback.words import terms

CAUTION = "A forecast of theory that informs the instructor; it certifies nothing."
BAND = "In brackets the range that holds it in eight of ten cases."
MORE = 30  # minutes more a day than are planned, above which another date is said first: our own choice
_NO_MINUTES = "another date: no minutes are enough"
AWAY = 10  # days without an answer after which coming back is what is next
_WEAKEST, _NAMED = 3, 5  # topics that are listed, and named in a sentence


def obstacle(course: Course, one: Obstacle) -> str:
    """What stands in the way, as a sentence that names every topic it is about."""
    topics = [course.plan.topics[topic] for topic in one.topics]
    match one.kind:
        case "answers":
            return f"{one.number} answered so far: an estimate needs {ANSWERS} answers."
        case "wrong":
            what = "a wrong answer that is" if one.number == 1 else "wrong answers that are"
            return f"{_musts(topics)} {_verb(topics, 'hold')} {what} still open."
        case "few":
            return f"{_musts(topics)} {_verb(topics, 'need')} {MUST_SEEN} questions seen, or all there are."
        case "weak":
            return f"{_musts(topics)} may be known to less than {percent(MUST_KNOW)} on the day."
        case "unseen":
            return _unseen(one.number, topics)
        case _:
            return f"What was seen is not known well enough on the day{_where(topics)}."


def _musts(topics: Sequence[Topic]) -> str:
    titles = _titles(topics)
    return f"Must topic {titles[0]}" if len(titles) == 1 else f"Must topics {', '.join(titles[:-1])} and {titles[-1]}"


def _titles(topics: Sequence[Topic]) -> list[str]:
    return [f"“{topic.title}”" for topic in topics]


def _verb(topics: Sequence[Topic], word: str) -> str:
    return f"{word}s" if len(topics) == 1 else word


def _unseen(number: int, topics: Sequence[Topic]) -> str:
    what = f"{many(number, 'unseen question')} {'keeps' if number == 1 else 'keep'} this from sound"
    return f"{what}{_where(topics)}."


def _where(topics: Sequence[Topic]) -> str:
    """The titles of topics in their order; of many, those that weigh most."""
    first = ", the heaviest first" if len(topics) > 1 else ""
    rest = f" and {len(topics) - _NAMED} more" if len(topics) > _NAMED else ""
    return f"{first}: {', '.join(_titles(topics[:_NAMED]))}{rest}"


def when(one: Statement, today: date, ends_with: str) -> str:
    """The date, such as `differences sign-off 8 June 2026 (in 7 days)`."""
    what = ends_with if one.student.checkride == one.date else "on"
    return f"{what} {terms.ahead(today, one.date)}" + (": the date has passed" if one.date < today else "")


def chance(band: Band, verdict: str) -> str:
    """The chance with its band; the band alone where too few answers were given; never nothing nor all."""
    told = held(band)
    return span(told) if verdict == NO_ESTIMATE else f"{percent(told.middle)} ({span(told)})"


def likely(share: float) -> float:
    """A chance that never says nothing nor all."""
    return min(max(share, 1 - CERTAIN), CERTAIN)


def held(band: Band) -> Band:
    """The same of a chance with its band."""
    return Band(*map(likely, band))


def span(band: Band) -> str:
    """A band: `51 to 66 %`."""
    return f"{percent(band.low)[:-2]} to {percent(band.high)}"


def plan(short_by: int | None) -> str:
    """Whether the minutes a day are enough."""
    if short_by is None:
        return "no number of minutes a day is enough by then"
    return f"short by {many(short_by, 'minute')} a day" if short_by else "enough"


def next_step(course: Course, page: Page) -> str:
    """What to do next: the first thing that is not as it should be, theory before flying."""
    return next(_steps(course, page), "nothing in theory stands open")


def _steps(course: Course, page: Page) -> Iterator[str]:
    """What is to be done, the most urgent first."""
    one = page.statement
    if math.isnan(one.known.middle):
        yield "choose another aeroplane: the course asks nothing of this one"
    if page.days is not None and page.days < 0:
        yield "set a new date"
    yield from _theory(course, page)
    if page.errors:
        yield f"fly {_short(terms.lesson(course, page.errors[-1].lesson))} again: {many(len(page.errors), 'error')}"
    if page.days is None:
        yield f"set a date for the {terms.end(course)}"
    if one.verdict != SOUND:
        yield "keep to the plan" if one.if_kept is not None else "go on with the reviews"


def _theory(course: Course, page: Page) -> Iterator[str]:
    """What is to be done about what is known."""
    one, last = page.statement, int(page.statement.answered_on.max(initial=-1))
    short = one.if_kept.short_by if one.if_kept is not None else 0
    if short is None or short > MORE:
        yield f"another date, or {_more(short)}" if short else _NO_MINUTES
    away = clock.day_number(page.today) - last
    if last < 0:
        yield "begin: ten minutes of review"
    elif away >= AWAY:
        yield f"come back: {away} days away"
    if one.misbeliefs.any():
        yield f"{one.misbeliefs.sum()} sure but wrong: {_topic(course, one, one.misbeliefs)}"
    yield from (_of_musts(course, each) for each in one.obstacles if each.kind in {"wrong", "few", "weak"})
    if short:
        yield _more(short)
    if one.verdict == NO_ESTIMATE:
        yield f"go on: {many(max(ANSWERS - one.answers, 1), 'answer')} to an estimate"


def _more(minutes: int) -> str:
    return f"{many(minutes, 'minute')} more a day"


def _of_musts(course: Course, one: Obstacle) -> str:
    title = course.plan.topics[one.topics[0]].title
    what = {"wrong": "put right", "few": "answer more", "weak": "go over"}[one.kind]
    return f"{what}: {title}"


def _topic(course: Course, one: Statement, counts: Ints) -> str:
    """The title of the topic with the most of something, must topics first."""
    topics = [course.plan.topics[name] for name in one.oral.topics]
    worst = max(range(len(topics)), key=lambda at: (counts[at] > 0 and topics[at].must, counts[at], -at))
    return topics[worst].title


def _short(title: str) -> str:
    """A lesson's title without its number: "Take-off"."""
    return title.partition(": ")[2] or title


def weakest(course: Course, one: Statement) -> list[str]:
    """The three topics that stand lowest on the date, those never asked among them."""
    rows = zip(course.plan.topics.values(), one.topics[:, MIDDLE].tolist(), one.seen.tolist(), strict=True)
    found = sorted((known, topic.title, seen) for topic, known, seen in rows if not math.isnan(known))
    lowest = [f"{title}: {percent(known)}{'' if seen else ', never asked'}" for known, title, seen in found[:_WEAKEST]]
    never = sum(not seen for _, _, seen in found)
    said = f"{many(never, 'topic was', 'topics were')} never asked; such are judged by how others were known at first."
    return [*lowest, *([said] if never else [])]


def weekly(pages: Sequence[Page]) -> Grid:
    """How it was week by week, a line a student and week."""
    rows = [
        (
            one.student.name,
            one.date.isoformat(),
            f"{percent(one.known.middle)} ({span(one.known)})",
            "–" if one.verdict == NO_ESTIMATE else percent(likely(one.pass_chance.middle)),
            one.verdict,
            f"{one.seen.sum()} of {one.questions.sum()}",
            str(one.answers),
        )
        for one in (page.statement for page in pages)
        if not math.isnan(one.known.middle)
    ]
    return Grid(("Name", "Then", "Known", "Pass", "Verdict", "Seen", "Answers"), tuple(rows), frozenset({2, 3, 5, 6}))
