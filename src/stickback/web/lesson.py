"""The lesson plan on pages: its list, a lesson, a topic with the notes of one's own, and a card to print."""

from http import HTTPStatus

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.course import named
from stickback.course.course import Lesson
from stickback.memory import entry
from stickback.reading import text as texts
from stickback.services import brief
from stickback.services import note as notes
from stickback.web.school import printed
from stickback.web.student import home, posted, session_of, show
from stickback.words import lesson as words


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


ROUTES = [
    Route("/s/{student}/lesson", plan),
    Route("/s/{student}/lesson/{name}", lesson),
    Route("/s/{student}/lesson/{name}/card", card),
    Route("/s/{student}/lesson/{name}/note", posted(note, 5), methods=["POST"]),
]
