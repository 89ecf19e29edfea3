"""The student's pages to read: today, the lesson plan, what was looked for."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.templating import Jinja2Templates

from stickback.course.course import Lesson
from stickback.services import find as finding
from stickback.services import lesson as lessons
from stickback.services import today as days
from stickback.services.desk import Desk
from stickback.services.review import Session
from stickback.store import people
from stickback.study.student import ME
from stickback.web.place import Place


def show(request: Request, template: str, desk: Desk | None = None, **values: object) -> Response:
    """A page; of a student where there is a desk."""
    pages: Jinja2Templates = request.app.state.pages
    own = {"student": desk.student, "desk": desk, "home": home(desk.student.name)} if desk else {}
    return pages.TemplateResponse(request, template, {**own, **values})


def home(name: str) -> str:
    """Where a student's pages begin."""
    return f"/s/{quote(name, safe='')}"


def session_of(request: Request) -> Session:
    """The review of the student in the address.

    Errors: Refused where there is none of that name.
    """
    place: Place = request.app.state.place
    return place.session(request.path_params["student"])


def students(request: Request) -> Response:
    """Who studies here: with no one but `me`, straight to today."""
    place: Place = request.app.state.place
    names = list(people.everyone(place.store)) or [ME]
    if names == [ME]:
        return _today(request, place.session(ME).desk)
    return show(request, "students.html", names=[(name, home(name)) for name in names])


def today(request: Request) -> Response:
    """The day at a glance."""
    return _today(request, session_of(request).desk)


def _today(request: Request, desk: Desk) -> Response:
    return show(request, "today.html", desk, glance=days.glance(desk))


def lesson(request: Request) -> Response:
    """The lesson plan as a list, one lesson, or one topic."""
    desk, name = session_of(request).desk, request.path_params.get("name")
    if name is None:
        return show(request, "plan.html", desk, plan=desk.course.plan)
    found = lessons.find(desk.course, name)
    if isinstance(found, Lesson):
        return show(request, "lesson.html", desk, lesson=found, notes=lessons.notes(desk.course, found.blocks))
    of = next(one for one in desk.course.plan.lessons if one.id == found.lesson)
    return show(request, "topic.html", desk, topic=found, lesson=of, notes=lessons.notes(desk.course, found.blocks))


def find(request: Request) -> Response:
    """Words looked for in the plan and the questions."""
    desk, words = session_of(request).desk, request.query_params.get("words", "").strip()
    found = finding.find(desk.course, desk.sheet, [words]) if words else None
    return show(request, "find.html", desk, words=words, found=found)


ROUTES = [
    Route("/", students),
    Route("/s/{student}", today),
    Route("/s/{student}/lesson", lesson),
    Route("/s/{student}/lesson/{name}", lesson),
    Route("/s/{student}/find", find),
]
