"""What is said of readiness: what stands in the way, the chance, the plan, the day."""

from collections.abc import Sequence
from datetime import date

from stickback.amount import many, percent
from stickback.course.course import Course, Topic
from stickback.readiness.forecast import Band
from stickback.readiness.offset import CERTAIN
from stickback.readiness.verdict import ANSWERS, MUST_KNOW, MUST_SEEN, NO_ESTIMATE, Obstacle, Statement

_NAMED = 3  # topics named one by one


def obstacle(course: Course, one: Obstacle, named: int = _NAMED) -> str:
    """What stands in the way, as a sentence.

    Args:
        named: how many topics are named at the most.
    """
    topics = [course.plan.topics[topic] for topic in one.topics]
    match one.kind:
        case "answers":
            return f"{one.number} answered so far: an estimate needs {ANSWERS} answers."
        case "wrong":
            what = "a wrong answer that is" if one.number == 1 else "wrong answers that are"
            return f"{_musts(topics, named)} {_verb(topics, 'hold')} {what} still open."
        case "few":
            return f"{_musts(topics, named)} {_verb(topics, 'need')} {MUST_SEEN} questions seen, or all there are."
        case "weak":
            return f"{_musts(topics, named)} may be known to less than {percent(MUST_KNOW)} on the day."
        case "unseen":
            return _unseen(one.number, topics, named)
        case _:
            where = ", ".join(_titles(topics[:named]))
            return f"What was seen is not known well enough on the day, least of all in {where}."


def _musts(topics: Sequence[Topic], named: int) -> str:
    titles = _titles(topics)
    if len(titles) > named:
        titles[named - 1 :] = [f"{len(titles) - named + 1} more"]
    return f"Must topic {titles[0]}" if len(titles) == 1 else f"Must topics {', '.join(titles[:-1])} and {titles[-1]}"


def _titles(topics: Sequence[Topic]) -> list[str]:
    return [f"“{topic.title}”" for topic in topics]


def _verb(topics: Sequence[Topic], word: str) -> str:
    return f"{word}s" if len(topics) == 1 else word


def _unseen(number: int, topics: Sequence[Topic], named: int) -> str:
    where = ", ".join(_titles(topics[:named]))
    within = f" in {where}" if len(topics) <= named else f", most of them in {where},"
    return f"{many(number, 'unseen question')}{within} {'keeps' if number == 1 else 'keep'} this from sound."


def when(one: Statement, today: date, ends_with: str) -> str:
    """The date, such as `differences 2026-06-08 (in 7 days)`."""
    days = (one.date - today).days
    past = f"{many(-days, 'day')} ago: the date has passed"
    said = "today" if not days else f"in {many(days, 'day')}" if days > 0 else past
    return f"{ends_with if one.student.checkride == one.date else 'on'} {one.date.isoformat()} ({said})"


def chance(band: Band, verdict: str) -> str:
    """The chance with its band; the band alone where too few answers were given; never nothing nor all."""
    held = Band(*(min(max(share, 1 - CERTAIN), CERTAIN) for share in band))
    return span(held) if verdict == NO_ESTIMATE else f"{percent(held.middle):>6}  ({span(held)})"


def span(band: Band) -> str:
    """A band: `51 to 66 %`."""
    return f"{percent(band.low).removesuffix(' %')} to {percent(band.high)}"


def plan(short_by: int | None) -> str:
    """Whether the minutes a day are enough."""
    if short_by is None:
        return "no number of minutes a day is enough by then"
    return f"short by {many(short_by, 'minute')} a day" if short_by else "enough"
