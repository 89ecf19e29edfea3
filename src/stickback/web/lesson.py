"""A lesson on pages: its text in the plan, a topic with the notes of one's own, its card to print, what was flown.

A form carries the id that its entry will have: sent twice, it is one record.
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
from stickback.course.course import Lesson
from stickback.memory import entry
from stickback.reading import text as texts
from stickback.refused import Refused, Unreachable
from stickback.services import brief
from stickback.services import flown as recording
from stickback.services import note as notes
from stickback.services.desk import Desk
from stickback.study import flown as flights
from stickback.study.flown import Flown
from stickback.web.page import home, posted, printed, session_of, show, whole
from stickback.words import lesson as words

MOST_FIELDS = 200


def plan(request: Request) -> Response:
    """The lesson plan as a list."""
    desk = session_of(request).desk
    return show(request, "plan.html", desk, plan=desk.course.plan)


def lesson(request: Request) -> Response:
    """One lesson, or one topic."""
    desk = session_of(request).desk
    found = named.section(desk.course, request.path_params["name"])
    sources = texts.sources(found.blocks, desk.course.sources)
    if isinstance(found, Lesson):
        return show(request, "lesson.html", desk, lesson=found, notes=sources)
    of = next(one for one in desk.course.plan.lessons if one.id == found.lesson)
    own, name = notes.notes(desk, [found]), desk.clock.new_id()
    return show(request, "topic.html", desk, topic=found, lesson=of, notes=sources, own=own, id=name)


def card(request: Request) -> Response:
    """A lesson on one sheet of paper."""
    desk = session_of(request).desk
    return printed(words.card(desk.course, brief.card(desk, request.path_params["name"]), desk.day))


def note(request: Request, form: FormData) -> Response:
    """Keeps a note beside a topic, or takes the newest away."""
    desk, topic, name = session_of(request).desk, request.path_params["name"], str(form.get("id", ""))
    if form.get("do") == "away":
        newest = notes.notes(desk, [named.topic(desk.course, topic)])[:1]
        if any(one.text == form.get("text") for one in newest):
            notes.take_away(desk, topic)
    elif not entry.is_id(name):
        raise HTTPException(HTTPStatus.UNPROCESSABLE_ENTITY)
    elif notes.one_line(str(form.get("note", ""))):
        notes.write(desk, topic, str(form.get("note", "")), name)
    return RedirectResponse(f"{home(desk.student.name)}/lesson/{topic}#own", HTTPStatus.SEE_OTHER)


def flown(request: Request) -> Response:
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
        _, flight = recording.flight(desk, told(request.path_params["lesson"], form, desk), name)
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
    Route("/s/{student}/lesson", plan),
    Route("/s/{student}/lesson/{name}", lesson),
    Route("/s/{student}/lesson/{name}/card", card),
    Route("/s/{student}/lesson/{name}/note", posted(note, 5), methods=["POST"]),
    Route("/s/{student}/flown/{lesson}", flown, methods=["GET"]),
    Route("/s/{student}/flown/{lesson}", posted(record, MOST_FIELDS), methods=["POST"]),
]
