"""The page as an application: its addresses, and what is said when something cannot be done."""

from collections.abc import Callable, Iterable
from datetime import date
from http import HTTPStatus
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.templating import Jinja2Templates

from stickback.refused import Refused, Unreachable
from stickback.services.permission import Hidden
from stickback.store import damage
from stickback.store.engine import Damaged, Database
from stickback.web import (
    entrance,
    guard,
    hand_in,
    instructor,
    lesson,
    persons,
    review,
    school,
    student,
)
from stickback.web import oral as orals
from stickback.web.gate import Foreign, School, SignedOut, gated
from stickback.web.guard import LOCAL, Guard, Share
from stickback.web.page import FOLDER, Files, templates
from stickback.web.place import Connected, Place

PICTURES = {".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".webp": "image/webp"}
BROKEN = (
    "This page failed by a mistake in stickback. What was stored before is kept, and the window in which it is served "
    "says what happened."
)
# What a refusal is to a browser; others are a conflict with what stands.
STATUS: dict[type[Exception], HTTPStatus] = {
    Hidden: HTTPStatus.NOT_FOUND,
    Foreign: HTTPStatus.FORBIDDEN,
    SignedOut: HTTPStatus.UNAUTHORIZED,
    Unreachable: HTTPStatus.SERVICE_UNAVAILABLE,
}
# A picture of a course comes from outside: it may be looked at, and do nothing.
INERT = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox"}


def application(
    course: Path,
    store: Database,
    today: Callable[[], date | None] = lambda: None,
    *,
    hosts: Iterable[str] = LOCAL,
    share: Share | None = None,
    school: School | None = None,
) -> Starlette:
    """The application over one course and one database.

    Args:
        today: the study day when it is not that of the clock.
        hosts: names under which it answers.
        share: who may come in from elsewhere; None where nobody else can.
        school: how a school's page is reached, where everyone signs in; None where one machine shows it to itself.
    """
    served = {*hosts, school.host} if school and school.host else hosts
    app = Starlette(
        routes=[*gated([*routes(), *entrance.ROUTES, *persons.ROUTES]), *watched()] if school else routes(),
        middleware=[Middleware(Guard, served, share), Middleware(Connected, store)],
        exception_handlers={
            Refused: _refused,
            HTTPException: _failed,
            ClientDisconnect: _cut_off,
            Exception: _broken,
        },
    )
    app.state.place = Place(course, store, today)
    app.state.held = hand_in.Held()
    app.state.school = school
    app.state.pages = templates()
    return app


def routes() -> list[BaseRoute]:
    """Every address there is."""
    return [
        *student.ROUTES,
        *lesson.ROUTES,
        *review.ROUTES,
        *orals.ROUTES,
        *instructor.ROUTES,
        *hand_in.ROUTES,
        *school.ROUTES,
        Route("/picture/{path:path}", picture),
        Mount("/static", Files(directory=FOLDER)),
    ]


def picture(request: Request) -> Response:
    """A picture of the course; nothing else in its folder, and nothing beside it."""
    place: Place = request.app.state.place
    folder = place.folder.resolve()
    try:
        path = (folder / request.path_params["path"]).resolve()
        there = path.is_relative_to(folder) and path.suffix in PICTURES and path.is_file()
    except (OSError, ValueError):  # a name that no file can have
        there = False
    if not there:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    return FileResponse(path, media_type=PICTURES[path.suffix], headers=INERT)


def watched() -> list[BaseRoute]:
    """What may be asked without signing in, by what looks after a school's server."""
    return [Route("/health/live", live), Route("/health/ready", ready)]


def live(request: Request) -> Response:  # noqa: ARG001 - nothing is asked
    """That the process answers."""
    return PlainTextResponse("live")


def ready(request: Request) -> Response:
    """Whether the course and the database can be read."""
    place: Place = request.app.state.place
    try:
        place.course()
        with place.store.reading():
            return PlainTextResponse("ready")
    except Refused:
        return PlainTextResponse("not ready", HTTPStatus.SERVICE_UNAVAILABLE)


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refused)  # noqa: S101 - registered for it alone
    status, sent = STATUS.get(type(error), HTTPStatus.CONFLICT), getattr(request.state, "sent", None)
    if isinstance(error, Unreachable) and sent:
        pages: Jinja2Templates = request.app.state.pages
        values = {"message": error.message, "sent": sent}
        return pages.TemplateResponse(request, "again.html", values, status_code=status)
    said = damage.behind(request.app.state.place.store) if isinstance(error, Damaged) else None
    return _told(request, status, said or error.message)


def _failed(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for it alone
    status = HTTPStatus(error.status_code)
    usual = "There is no such page." if status == HTTPStatus.NOT_FOUND else status.description or status.phrase
    return _told(request, status, usual if error.detail == status.phrase else error.detail)


def _cut_off(request: Request, _error: Exception) -> Response:
    return _told(request, HTTPStatus.BAD_REQUEST, "Only a part of this form came, so nothing was done.")


def _broken(request: Request, _error: Exception) -> Response:
    """A mistake of the program, or a row that it never wrote, which is then named.

    It is raised again behind this page, for whoever looks at the server.
    """
    said = damage.behind(request.app.state.place.store)
    answer = _told(request, HTTPStatus.INTERNAL_SERVER_ERROR, said or BROKEN)
    answer.headers.update(guard.HEADERS)  # this page alone does not pass the guard
    return answer


def _told(request: Request, status: HTTPStatus, message: str) -> Response:
    pages: Jinja2Templates = request.app.state.pages
    return pages.TemplateResponse(request, "told.html", {"message": message}, status_code=status)
