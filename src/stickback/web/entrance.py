"""The way in and out of a school's page: signing in, an invitation, where one is signed in, and signing out."""

from http import HTTPStatus

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.refused import Refused, Unreachable
from stickback.services import sign_in as service
from stickback.services.sign_in import Slow
from stickback.web.gate import School
from stickback.web.place import Place
from stickback.web.student import posted, show


def sign_in(request: Request) -> Response:
    """The form; whoever is in already goes on."""
    if request.state.signed is not None:
        return RedirectResponse(_there(request), HTTPStatus.SEE_OTHER)
    return show(request, "sign_in.html", name="", wrong="")


def enter(request: Request, form: FormData) -> Response:
    """Signs in; the session that the browser had before, if any, is over."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    name, shared = str(form.get("name", "")), form.get("shared") == "yes"
    try:
        token = service.sign_in(
            place.store, name, str(form.get("password", "")), school.address(request), shared=shared
        )
    except Slow as slow:
        answer = show(request, "sign_in.html", name=name, wrong=slow.message)
        answer.status_code = HTTPStatus.TOO_MANY_REQUESTS
        answer.headers["Retry-After"] = str(slow.seconds)
        return answer
    except Unreachable:
        raise
    except Refused as refused:
        return show(request, "sign_in.html", name=name, wrong=refused.message)
    return _entered(request, token, shared=shared)


def _entered(request: Request, token: str, *, shared: bool) -> Response:
    place: Place = request.app.state.place
    school: School = request.app.state.school
    if request.state.signed is not None:
        service.sign_out(place.store, request.state.signed)
    return school.keep(RedirectResponse(_there(request), HTTPStatus.SEE_OTHER), token, shared=shared)


def _there(request: Request) -> str:
    """Where the person wanted to go: an address of ours, and of nobody else."""
    wanted = request.query_params.get("to", "/")
    ours = wanted.startswith("/") and not wanted.startswith(("//", "/\\")) and wanted.isprintable()
    return wanted if ours else "/"


def invitation(request: Request) -> Response:
    """Whom the invitation is for, and the form in which a password is chosen."""
    return _invited(request)


def _invited(request: Request, wrong: str = "") -> Response:
    place: Place = request.app.state.place
    person = service.invited(place.store, request.path_params["token"])
    return show(request, "invitation.html", invited=person, least=service.SHORTEST, most=service.LONGEST, wrong=wrong)


def accept(request: Request, form: FormData) -> Response:
    """Keeps the password, and lets the person in."""
    place: Place = request.app.state.place
    shared = form.get("shared") == "yes"
    try:
        token = service.accept(place.store, request.path_params["token"], str(form.get("password", "")), shared=shared)
    except Unreachable:
        raise
    except Refused as refused:
        return _invited(request, refused.message)
    return _entered(request, token, shared=shared)


def mine(request: Request) -> Response:
    """Who is signed in, and where."""
    place: Place = request.app.state.place
    here = request.state.signed
    return show(request, "mine.html", here=here, sessions=service.lasting(place.store, here.person))


def change(request: Request, form: FormData) -> Response:
    """Ends a session elsewhere, or all of them."""
    place: Place = request.app.state.place
    here = request.state.signed
    others = [one.digest for one in service.lasting(place.store, here.person) if one.digest != here.digest]
    wanted = others if form.get("do") == "others" else [one for one in others if one == form.get("session")]
    service.sign_out(place.store, here, wanted)
    return RedirectResponse("/mine", HTTPStatus.SEE_OTHER)


def leave(request: Request, form: FormData) -> Response:  # noqa: ARG001 - the form holds its token alone
    """Signs out."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    service.sign_out(place.store, request.state.signed)
    answer = RedirectResponse("/sign-in", HTTPStatus.SEE_OTHER)
    answer.delete_cookie(school.cookie, path="/", secure=school.behind_proxy, httponly=True, samesite="lax")
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer


ROUTES = [
    Route("/sign-in", sign_in, methods=["GET"]),
    Route("/sign-in", posted(enter, 10), methods=["POST"]),
    Route("/invitation/{token}", invitation, methods=["GET"]),
    Route("/invitation/{token}", posted(accept, 10), methods=["POST"]),
    Route("/mine", mine, methods=["GET"]),
    Route("/mine", posted(change, 10), methods=["POST"]),
    Route("/sign-out", posted(leave, 5), methods=["POST"]),
]
