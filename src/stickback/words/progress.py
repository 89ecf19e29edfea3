"""How a student has come on."""

from stickback.amount import many, percent
from stickback.pictures import chart
from stickback.services import progress as service
from stickback.services.desk import Desk
from stickback.services.progress import Progress, Week, Wrong
from stickback.words import terms


def headline(found: Progress) -> str:
    """What is known now, and what was a week ago."""
    now = f"{percent(found.weeks[-1].whole)} of the course known"
    if len(found.weeks) == 1:
        return f"{now}."
    return f"{now}; a week ago {percent(found.weeks[-2].whole)}."


def rows(desk: Desk, found: Progress, weeks: int) -> list[tuple[str, ...]]:
    """A table: a line a lesson, a column for each of the last weeks."""
    shown = found.weeks[-weeks:]
    head = ("", *(terms.short_day(one.day) for one in shown))
    lessons = [(title, *(_share(week, lesson.id) for week in shown)) for lesson, title in service.titles(desk)]
    return [head, *lessons, ("The whole course", *(percent(week.whole) for week in shown))]


def _share(week: Week, lesson: str) -> str:
    known = week.lessons[lesson]
    return "-" if known is None else percent(known)


def wrong(one: Wrong) -> str:
    """A topic's wrong answers: "Feet and brakes: 4 of 11 answers wrong"."""
    return f"{one.topic.title}: {share(one)}"


def share(one: Wrong) -> str:
    """Of its answers, how many were wrong."""
    return f"{one.wrong} of {many(one.answers, 'answer')} wrong"


def picture(desk: Desk, found: Progress) -> str:
    """The lessons side by side, each week by week."""
    lines = [(title, [week.lessons[lesson.id] for week in found.weeks]) for lesson, title in service.titles(desk)]
    first, last = (terms.short_day(found.weeks[at].day) for at in (0, -1))
    return chart.side_by_side("Known, lesson by lesson", f"{first} to {last}", lines)
