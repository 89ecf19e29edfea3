"""A student's own pages: today, the days behind and ahead, what was looked for, what is set."""

from datetime import date
from http import HTTPStatus

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback import acting
from stickback.course.asking import titled
from stickback.course.course import PHRASEOLOGIES
from stickback.refused import Refused, Unreachable
from stickback.services import debrief as debriefing
from stickback.services import find as finding
from stickback.services import goals, permission
from stickback.services import note as noting
from stickback.services import outlook as outlooks
from stickback.services import progress as progressing
from stickback.services import student as setting
from stickback.services import today as days
from stickback.services import weeks as living
from stickback.services.desk import Desk
from stickback.services.student import Settings
from stickback.study.student import ME
from stickback.web.page import home, posted, session_of, show, whole
from stickback.web.place import Place
from stickback.words import outlook as outlooked
from stickback.words import progress as progressed
from stickback.words import today as words

WEEKS = 8  # in a table; the picture has them all
_DATES = {"checkride": "the date at the end", "next_on": "the next lesson’s date"}


def students(request: Request) -> Response:
    """Who studies here: with no one but `me`, straight to today; a student who is signed in, to their own."""
    place: Place = request.app.state.place
    names, person = sorted(permission.among(place.store, "read")), acting.now()
    if person is not None and person.role == "student":
        return RedirectResponse(home(person.name), HTTPStatus.SEE_OTHER)
    if person is None and names in ([], [ME]):
        return _today(request, place.session(ME).desk)
    return show(request, "students.html", names=[(name, home(name)) for name in names])


def today(request: Request) -> Response:
    """The day at a glance."""
    return _today(request, session_of(request).desk)


def _today(request: Request, desk: Desk) -> Response:
    seen = days.glance(desk)
    rows = words.ahead(desk)
    greeting = words.greeting(desk, seen)
    return show(request, "today.html", desk, glance=seen, greeting=greeting, ahead=rows, dated=_dated(desk))


def debrief(request: Request) -> Response:
    """What went wrong today and before, and where to read it up."""
    desk = session_of(request).desk
    found = debriefing.debrief(desk, request.query_params.get("lesson"))
    titles = [(titled(question, desk.sheet), question.topic) for question in found.before]
    return show(request, "debrief.html", desk, found=found, before=titles)


def outlook(request: Request) -> Response:
    """The days to the date; without one, what the minutes reach in the weeks to come."""
    desk = session_of(request).desk
    if not _dated(desk):
        found = living.weeks(desk)
        return show(request, "weeks.html", desk, found=found, rows=outlooked.weeks_rows(desk, found))
    return show(request, "outlook.html", desk, found=outlooks.outlook(desk))


def _dated(desk: Desk) -> bool:
    return bool(goals.occasions(desk.course.plan, desk.student, desk.day))


def progress(request: Request) -> Response:
    """What was known week by week, and what went wrong of late."""
    desk = session_of(request).desk
    found = progressing.progress(desk)
    rows = progressed.rows(desk, found, WEEKS) if found.weeks else []
    return show(request, "progress.html", desk, found=found, rows=rows)


def find(request: Request) -> Response:
    """Words looked for in the plan, the questions and the student's notes."""
    desk, words = session_of(request).desk, request.query_params.get("words", "").strip()
    found = finding.find(desk.course, desk.sheet, [words], noting.notes(desk)) if words else None
    return show(request, "find.html", desk, words=words, found=found)


def settings(request: Request, wrong: str = "") -> Response:
    """Aeroplane, radio rules, dates, minutes, and how the radio is heard: the form, with what is set."""
    desk = session_of(request).desk
    return show(request, "settings.html", desk, wrong=wrong, phraseologies=PHRASEOLOGIES)


def change(request: Request, form: FormData) -> Response:
    """Keeps the settings that were sent."""
    desk = session_of(request).desk
    try:
        setting.set_(desk.database, desk.course, desk.student.name, told(form), desk.day)
    except Unreachable:
        raise
    except Refused as refused:
        return settings(request, refused.message)
    return RedirectResponse(home(desk.student.name), HTTPStatus.SEE_OTHER)


def told(form: FormData) -> Settings:
    """Settings as a form tells them; what is empty is taken away.

    Errors: Refused for a date or a number that is none.
    """
    texts = {name: str(form.get(name, "")).strip() for name in ("aircraft", "phraseology", "next_lesson", "zone")}
    found: dict[str, str | int | float | date | None] = {name: text or None for name, text in texts.items()}
    found |= {name: _date(str(form.get(name, "")).strip(), what) for name, what in _DATES.items()}
    if found["next_lesson"] is None:
        found["next_on"] = None
    minutes = whole(str(form.get("minutes", "")), 5)
    if minutes is None:
        raise Refused(f"'{form.get('minutes', '')}' is no number of minutes.")
    return {
        **found,
        "phraseology": texts["phraseology"],
        "minutes": minutes,
        "abroad": form.get("abroad") == "yes",
        "listen": str(form.get("listen", "")).strip() or "off",
    }


def _date(text: str, what: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise Refused(f"'{text}' is no date for {what}; write it as 2026-12-24.") from None


ROUTES = [
    Route("/", students),
    Route("/s/{student}", today),
    Route("/s/{student}/debrief", debrief),
    Route("/s/{student}/outlook", outlook),
    Route("/s/{student}/progress", progress),
    Route("/s/{student}/find", find),
    Route("/s/{student}/settings", settings, methods=["GET"]),
    Route("/s/{student}/settings", posted(change, 20), methods=["POST"]),
]
