"""The way in and out of a school's page: signing in, an invitation, one's sessions and keys, and signing out."""

from http import HTTPStatus

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.refused import Refused, Unreachable
from stickback.services import passkey
from stickback.services import person as persons
from stickback.services import sign_in as service
from stickback.services.sign_in import Slow
from stickback.store.sessions import Signed
from stickback.web import passkey as passkeys
from stickback.web.gate import School
from stickback.web.place import Place
from stickback.web.student import posted, show


def sign_in(request: Request) -> Response:
    """The form; whoever is in already goes on."""
    if request.state.signed is not None:
        return RedirectResponse(_there(request), HTTPStatus.SEE_OTHER)
    return _form(request)


def _form(request: Request, name: str = "", wrong: str = "") -> Response:
    return show(request, "sign_in.html", name=name, wrong=wrong, keys=passkeys.browser(request) is not None)


def enter(request: Request, form: FormData) -> Response:
    """Signs in; the session that the browser had before, if any, is over."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    name, shared = str(form.get("name", "")), form.get("shared") == "yes"
    try:
        if key := str(form.get("key", "")):
            here = passkeys.needed(request)
            token = passkey.sign_in_by(place.store, here, key, school.address(request), shared=shared)
        else:
            password = str(form.get("password", ""))
            token = service.sign_in(place.store, name, password, school.address(request), shared=shared)
    except Slow as slow:
        answer = _form(request, name, slow.message)
        answer.status_code = HTTPStatus.TOO_MANY_REQUESTS
        answer.headers["Retry-After"] = str(slow.seconds)
        return answer
    except Unreachable:
        raise
    except Refused as refused:
        return _form(request, name, refused.message)
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
    """Whom the invitation is for, and the form in which a password is chosen, or a key kept."""
    return _invited(request)


def _invited(request: Request, wrong: str = "") -> Response:
    place: Place = request.app.state.place
    person = service.invited(place.store, request.path_params["token"])
    values = {"invited": person, "least": service.SHORTEST, "most": service.LONGEST, "wrong": wrong}
    return show(request, "invitation.html", None, **values, keys=passkeys.browser(request) is not None)


def accept(request: Request, form: FormData) -> Response:
    """Keeps the password or the key, and lets the person in."""
    place: Place = request.app.state.place
    invited, shared = request.path_params["token"], form.get("shared") == "yes"
    try:
        if key := str(form.get("key", "")):
            token = passkey.accept(place.store, passkeys.needed(request), invited, key, shared=shared)
        else:
            token = service.accept(place.store, invited, str(form.get("password", "")), shared=shared)
    except Unreachable:
        raise
    except Refused as refused:
        return _invited(request, refused.message)
    return _entered(request, token, shared=shared)


def mine(request: Request) -> Response:
    """Who is signed in, where, and by which keys."""
    return _mine(request)


def _mine(request: Request, wrong: str = "") -> Response:
    place: Place = request.app.state.place
    here = request.state.signed
    sessions = service.lasting(place.store, here.person)
    own, known = passkey.of(place.store, here.person), persons.find(place.store, here.person.name)
    values = {"own": own, "password": known.password, "keys": passkeys.browser(request) is not None}
    return show(request, "mine.html", None, here=here, sessions=sessions, wrong=wrong, **values)


def change(request: Request, form: FormData) -> Response:
    """Ends a session elsewhere, or all of them; adds a key, or names or removes one."""
    try:
        _change(request, form)
    except Unreachable:
        raise
    except Refused as refused:
        return _mine(request, refused.message)
    return RedirectResponse("/mine", HTTPStatus.SEE_OTHER)


def _change(request: Request, form: FormData) -> None:
    place: Place = request.app.state.place
    here, what = request.state.signed, form.get("do")
    id_, name, key = (str(form.get(each, "")) for each in ("id", "called", "key"))
    if what == "add":
        passkey.add(place.store, passkeys.needed(request), here.person, key, name)
    elif what == "rename":
        passkey.rename(place.store, here.person, id_, name)
    elif what == "remove":
        passkey.remove(place.store, here.person, id_)
    else:
        _end(place, here, form)


def _end(place: Place, here: Signed, form: FormData) -> None:
    others = [one.digest for one in service.lasting(place.store, here.person) if one.digest != here.digest]
    wanted = others if form.get("do") == "others" else [one for one in others if one == form.get("session")]
    service.sign_out(place.store, here, wanted)


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
    *passkeys.ROUTES,
]
