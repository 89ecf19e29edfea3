"""What went wrong, what is right, and where to read it up."""

from stickback import clock
from stickback.amount import many, percent
from stickback.kinds.shown import Compared
from stickback.reading import text as texts
from stickback.services.debrief import Debrief, Missed
from stickback.services.desk import Desk
from stickback.study.debrief import Weak
from stickback.study.flown import FlownError
from stickback.words import sitting, terms

# Its parts, in the order in which they are told.
MISSED = "Wrong today"
SEEN = "Seen in flight"
BEFORE = "Sure, but wrong, before today"
WEAK = "Weak topics, worst first"


def missed(one: Missed) -> list[str]:
    """What was said to a question that was answered wrong, and what is right."""
    about = f"Asked on {one.aeroplane}. " if one.aeroplane else ""
    said = f"{about}{_said(one.compared)}"
    right = sitting.lines(one.compared, one.values, gone=True)
    return [f"{said} Right is: {right[0]}"] if len(right) == 1 else [f"{said} Right is:", *right]


def _said(compared: Compared) -> str:
    if compared.said:
        return f"You said {compared.said}."
    ticked = [point for point in compared.points if point.said is not None]
    if not ticked:
        return "You did not know."
    wanted = [point for point in ticked if not point.fails]
    return f"You said {sum(bool(point.said) for point in wanted)} of {many(len(wanted), 'point')}."


def seen_in_flight(desk: Desk, error: FlownError) -> str:
    """An error seen in flight, when, and the topics behind it."""
    text = texts.line(desk.course.plan.errors[error.error].text, desk.sheet.values)
    topics = ", ".join(terms.topic(desk.course, name) for name in error.topics)
    return f"{text} ({terms.day(clock.day_date(error.day))}): {topics}"


def nothing(desk: Desk, found: Debrief, review: str) -> str:
    """Said where no topic is weak; empty where something is wrong all the same.

    Args:
        review: what begins one, as the shell calls it.
    """
    if not any(one.known is not None for one in desk.grasp(desk.number)):
        return f"Nothing was answered yet; begin with {review}."
    return "" if found.missed or found.misbeliefs or found.errors else "Nothing is weak today."


def weak(one: Weak) -> str:
    """A weak topic's title."""
    return terms.must(one.topic.title, is_must=one.topic.must)


def facts(desk: Desk, found: Debrief, one: Weak) -> str:
    """Why a topic is weak, in figures; what was answered wrong today is not known, however fresh it is."""
    missed = sum(each.question.topic == one.topic.id for each in found.missed)
    known = "not asked yet" if one.known is None else f"known {percent(one.known)}"
    known = f"{missed} wrong today" if missed else known
    parts = [known, f"{one.seen} of {one.questions} seen", f"{one.rusty} rusty"]
    if one.misbeliefs:
        parts.append(f"{len(one.misbeliefs)} sure but wrong")
    if one.errors:
        parts.append("seen in flight")
    return f"{terms.lesson(desk.course, one.topic.lesson)} · {' · '.join(parts)}"
