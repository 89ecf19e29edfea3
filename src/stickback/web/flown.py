"""A flying lesson recorded after the flight: what was flown, and what was seen to go wrong.

The form carries the id that its entry will have: sent twice, it is one record.
"""

from datetime import date
from http import HTTPStatus
from typing import Any

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback import clock
from stickback.course import named
from stickback.memory import entry
from stickback.refused import Refused, Unreachable
from stickback.services import flown as service
from stickback.services.desk import Desk
from stickback.study import flown as flights
from stickback.study.flown import Flown
from stickback.web.student import home, posted, session_of, show, whole

MOST_FIELDS = 200


def lesson(request: Request) -> Response:
    """The form for one lesson; what it records once it was sent."""
    desk = session_of(request).desk
    return _form(request, desk, desk.clock.new_id())


def _form(request: Request, desk: Desk, name: str, form: FormData | None = None, wrong: str = "") -> Response:
    found = named.lesson(desk.course, request.path_params["lesson"])
    others = [one for one in desk.course.plan.lessons if one.errors and one.id != found.id]
    values: dict[str, Any] = {"lesson": found, "others": others, "id": name, "form": form or {}, "wrong": wrong}
    values |= {"seen": set(form.getlist("error")) if form else set(), "flights": flights}
    return show(request, "flown.html", desk, **values)


def record(request: Request, form: FormData) -> Response:
    """Stores what was sent."""
    desk, name = session_of(request).desk, str(form.get("id", ""))
    if not entry.is_id(name):
        raise HTTPException(HTTPStatus.UNPROCESSABLE_ENTITY)
    try:
        _, flight = service.flight(desk, told(request.path_params["lesson"], form, desk), name)
    except Unreachable:
        raise
    except Refused as refused:
        return _form(request, desk, name, form, refused.message)
    there = f"{home(desk.student.name)}/debrief?lesson={flight.flown.lesson}&recorded=yes"
    return RedirectResponse(there, HTTPStatus.SEE_OTHER)


def told(lesson: str, form: FormData, desk: Desk) -> Flown:
    """A flight as a form tells it.

    Errors: Refused for a day or a number that is none.
    """
    return Flown(
        lesson=lesson,
        day=_day(str(form.get("on", "")), desk),
        by=str(form.get("by", "")).strip() or flights.SELF,
        errors=tuple(map(str, form.getlist("error"))),
        seat=_one_of(form, "seat", flights.SEATS),
        standard=_one_of(form, "standard", flights.STANDARDS),
        wind=str(form.get("wind", "")).strip(),
        note=str(form.get("note", "")).strip(),
        full_stop=_number(form, "full_stop"),
        wheel=_number(form, "wheel"),
        go_around=_number(form, "go_around"),
    )


def _one_of(form: FormData, name: str, among: tuple[str, ...]) -> str:
    return next((each for each in among if each == form.get(name)), "")


def _day(text: str, desk: Desk) -> int:
    try:
        return clock.day_number(date.fromisoformat(text)) if text else desk.number
    except ValueError:
        raise Refused(f"'{text}' is no day; write it as {desk.day}.") from None


def _number(form: FormData, name: str) -> int | None:
    text = str(form.get(name, ""))
    number = whole(text, 9)
    if text and number is None:
        raise Refused(f"'{text}' is no number of landings.")
    return number


ROUTES = [
    Route("/s/{student}/flown/{lesson}", lesson, methods=["GET"]),
    Route("/s/{student}/flown/{lesson}", posted(record, MOST_FIELDS), methods=["POST"]),
]
