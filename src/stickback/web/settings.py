"""A student's settings on a page: aeroplane, radio rules, dates, minutes, and how the radio is heard."""

from datetime import date
from http import HTTPStatus

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.course.course import PHRASEOLOGIES
from stickback.refused import Refused, Unreachable
from stickback.services import student as service
from stickback.services.student import Settings
from stickback.web.student import home, posted, session_of, show, whole

_DATES = {"checkride": "the date at the end", "next_on": "the next lesson’s date"}


def settings(request: Request) -> Response:
    """The form, with what is set."""
    return _form(request)


def _form(request: Request, wrong: str = "") -> Response:
    desk = session_of(request).desk
    return show(request, "settings.html", desk, wrong=wrong, phraseologies=PHRASEOLOGIES)


def change(request: Request, form: FormData) -> Response:
    """Keeps what was sent."""
    desk = session_of(request).desk
    try:
        service.set_(desk.database, desk.course, desk.student.name, told(form), desk.day)
    except Unreachable:
        raise
    except Refused as refused:
        return _form(request, refused.message)
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
    Route("/s/{student}/settings", settings, methods=["GET"]),
    Route("/s/{student}/settings", posted(change, 20), methods=["POST"]),
]
