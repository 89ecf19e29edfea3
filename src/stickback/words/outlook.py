"""The days to a date."""

from stickback.amount import many, percent
from stickback.pictures import chart
from stickback.pictures.chart import Reading
from stickback.readiness.forecast import Band
from stickback.services.desk import Desk
from stickback.services.outlook import Outlook
from stickback.words import terms


def title(desk: Desk, found: Outlook) -> str:
    """What the date is of, and when: "Checkride: 3 June 2026 (in 9 days)"."""
    lesson = found.target.lesson and desk.student.next_lesson
    what = terms.lesson(desk.course, lesson) if lesson else terms.end(desk.course).capitalize()
    days = len(found.days)
    near = f"in {many(days, 'day')}" if days else "today"
    return f"{what}: {terms.day(found.target.day)} ({near})"


def sentences(found: Outlook) -> tuple[str, ...]:
    """What comes of keeping to the plan and of doing nothing, and whether the minutes are enough."""
    kept, without = found.on_the_day, found.without
    about = "the oral" if found.target.lesson is None else "an oral about this lesson and those before it"
    known = f"{percent(kept.known.middle)} known on the day ({percent(kept.known.low)} to {percent(kept.known.high)})"
    still = f"{percent(without.known.middle)} known"
    return (
        f"By keeping to the plan: {known}; chance to pass {about}: {chance(kept.passes.middle)}.",
        f"Without further study: {still}; chance to pass: {chance(without.passes.middle)}.",
        enough(found),
        "A forecast from the answers so far; it certifies nothing.",
    )


def chance(share: float) -> str:
    """A chance as a person reads it; nothing is promised and nothing ruled out."""
    return "over 99 %" if share > 0.99 else "under 1 %" if share < 0.01 else percent(share)


def enough(found: Outlook) -> str:
    """Whether the minutes are enough, and how many would be."""
    budget = terms.minutes(found.minutes)
    unseen = round(found.on_the_day.unseen)
    left = f" {many(unseen, 'question')} of {found.questions} would never be asked." if unseen else ""
    if found.enough:
        return f"{budget} {'is' if found.minutes == 1 else 'are'} enough.{left}"
    if found.short_by is None:
        return f"{budget} cannot be enough, and no number of minutes a day would be by then.{left}"
    return f"{budget} cannot cover it: about {found.minutes + found.short_by} a day would be enough.{left}"


def picture(found: Outlook) -> str:
    """What is known day by day, drawn."""
    readings = [Reading(f"{one.day:%d %b}".lstrip("0"), *_band(one.known)) for one in found.days]
    readings = readings or [Reading(terms.day(found.target.day), *_band(found.on_the_day.known))]
    return chart.known(f"Known up to {terms.day(found.target.day)}", readings)


def _band(known: Band) -> tuple[float, float, float]:
    return known.middle, known.low, known.high
