"""The days to a date, and why today's questions were chosen."""

import shlex
from collections.abc import Iterable
from typing import Any

from stickback.amount import many, percent
from stickback.pictures import chart
from stickback.pictures.chart import Reading
from stickback.readiness.forecast import Band
from stickback.readiness.offset import CERTAIN
from stickback.services.desk import Desk
from stickback.services.outlook import OnTheDay, Outlook
from stickback.services.weeks import Weeks
from stickback.study.candidate import Candidate, Reason
from stickback.words import terms
from stickback.words.readiness import span

CAUTION = "A forecast from the answers so far; it certifies nothing."


def title(desk: Desk, found: Outlook) -> str:
    """What the date is of, and when: "Checkride on 3 June 2026 (in 9 days)"."""
    lesson = found.occasion.lesson and desk.student.next_lesson
    what = terms.lesson(desk.course, lesson) if lesson else terms.end(desk.course).capitalize()
    return f"{what} on {terms.ahead(desk.day, found.occasion.day)}"


def sentences(found: Outlook) -> tuple[str, ...]:
    """What comes of keeping to the plan and of doing nothing, and whether the minutes are enough."""
    kept, without = found.on_the_day, found.without
    about = "the oral" if found.occasion.lesson is None else "an oral about this lesson and those before it"
    known = f"{percent(kept.known.middle)} known on the day ({span(kept.known)})"
    still = f"{percent(without.known.middle)} known"
    return (
        f"By keeping to the plan: {known}; chance to pass {about}: {chance(kept.pass_chance.middle)}.",
        f"Without further study: {still}; chance to pass: {chance(without.pass_chance.middle)}.",
        enough(found),
        CAUTION,
    )


def chance(share: float) -> str:
    """A chance as a person reads it; nothing is promised and nothing ruled out."""
    least, most = round(1 - CERTAIN, 2), CERTAIN
    return f"over {percent(most)}" if share > most else f"under {percent(least)}" if share < least else percent(share)


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
    readings = [Reading(terms.short_day(one.day), *one.known) for one in found.days]
    readings = readings or [Reading(terms.day(found.occasion.day), *found.on_the_day.known)]
    return chart.known(f"Known up to {terms.day(found.occasion.day)}", readings)


def reason(why: Reason) -> str:
    """Why a question was chosen: `never seen: an answer today makes it 31 % surer on the day`."""
    if why.candidate.first:
        return "answered wrong and sure, still open" if why.sure_but_wrong else "behind an error seen in flight"
    state = _state(why.candidate)
    if why.gain is None:
        return state
    counted = {2: "; it counts twice", 3: "; it counts three times"}.get(why.weight, "")
    when = "for the lesson" if why.for_lesson else "on the day"
    return f"{state}: an answer today makes it {percent(why.gain)} surer {when}{counted}"


def _state(one: Candidate) -> str:
    if one.known is None:
        return "new on this aeroplane" if one.elsewhere else "never seen"
    return f"known {percent(one.known)} today"


def as_json(desk: Desk, found: Outlook) -> dict[str, Any]:
    """The outlook as `outlook --json` prints it; shares and chances 0 to 1."""
    return {
        "student": desk.student.name,
        "today": desk.day.isoformat(),
        "date": found.occasion.day.isoformat(),
        "for": desk.course.plan.ends_with if found.occasion.lesson is None else desk.student.next_lesson,
        "minutes": found.minutes,
        "questions": found.questions,
        "plan": "enough" if found.enough else "short",
        "short_by": found.short_by,
        "without_study": _stand_json(found.without),
        "on_the_day": _stand_json(found.on_the_day),
        "days": [
            {
                "date": one.day.isoformat(),
                "minutes": one.minutes,
                "questions": one.questions,
                **_band("known", one.known),
            }
            for one in found.days
        ],
        "asked_today": _asked_json(found.why),
    }


def weeks_title(found: Weeks) -> str:
    """What is looked at where no date is set: "What 10 minutes a day reach by 29 June 2026"."""
    verb = "reaches" if found.minutes == 1 else "reach"
    return f"What {terms.minutes(found.minutes)} {verb} by {terms.day(found.weeks[-1].day)}"


def weeks_rows(desk: Desk, found: Weeks) -> list[tuple[str, str, str]]:
    """Week by week what is known and which lessons were begun, under their headings."""
    number = {one.id: one.number for one in desk.course.plan.lessons}
    rows, before = [("", "Known", "Lessons begun")], set[str]()
    for at, week in enumerate(found.weeks):
        new = ", ".join(str(number[one]) for one in week.begun if one not in before)
        before = set(week.begun)
        begun = f"{len(week.begun)} of {len(number)}" + (f", new: {new}" if new and at else "")
        rows.append((terms.short_day(week.day) if at else "now", _banded(week.known), begun))
    return rows


def weeks_sentences(desk: Desk, found: Weeks) -> tuple[str, ...]:
    """What the weeks come to, and how to say that there is a date."""
    name = shlex.quote(desk.student.name)
    date = (
        f"No date is set: `stickback student set {name} {terms.end_option(desk.course)} DATE` makes the questions aim "
        "at one, and says whether the minutes are enough."
    )
    return weeks_reach(desk, found), date, CAUTION


def weeks_reach(desk: Desk, found: Weeks) -> str:
    """What the weeks come to, in one sentence."""
    now, then, lessons = found.weeks[0], found.weeks[-1], len(desk.course.plan.lessons)
    return (
        f"With every day's minutes kept, {percent(then.known.middle)} of the course is known then, "
        f"{percent(now.known.middle)} now; {len(then.begun)} of {many(lessons, 'lesson')} are begun."
    )


def weeks_picture(found: Weeks) -> str:
    """What is known week by week, drawn."""
    readings = [Reading(terms.short_day(one.day), *one.known) for one in found.weeks]
    return chart.known(f"Known with {terms.minutes(found.minutes)}", readings)


def weeks_json(desk: Desk, found: Weeks) -> dict[str, Any]:
    """The weeks as `outlook --json` prints them where no date is set; shares 0 to 1."""
    return {
        "student": desk.student.name,
        "today": desk.day.isoformat(),
        "date": None,
        "minutes": found.minutes,
        "lessons": len(desk.course.plan.lessons),
        "weeks": [
            {"date": one.day.isoformat(), "asked": one.asked, "begun": list(one.begun), **_band("known", one.known)}
            for one in found.weeks
        ],
        "asked_today": _asked_json(found.why),
    }


def _asked_json(why: Iterable[tuple[str, Reason]]) -> list[dict[str, str]]:
    return [{"question": question, "why": reason(each)} for question, each in why]


def _banded(band: Band) -> str:
    return f"{percent(band.middle)} ({span(band)})"


def _stand_json(one: OnTheDay) -> dict[str, Any]:
    return {**_band("known", one.known), **_band("pass", one.pass_chance), "unseen": one.unseen, "topics": one.topics}


def _band(name: str, band: Band) -> dict[str, float]:
    return {name: band.middle, f"{name}_low": band.low, f"{name}_high": band.high}
