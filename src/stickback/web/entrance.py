"""The way in and out of a school's page: signing in, an invitation, one's sessions and keys, and signing out."""

from collections.abc import Callable
from dataclasses import replace
from http import HTTPStatus
from ipaddress import ip_address
from secrets import token_urlsafe
from urllib.parse import urlsplit

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.refused import Refused, Unreachable
from stickback.services import passkey
from stickback.services import person as persons
from stickback.services import sign_in as service
from stickback.services.passkey import Browser
from stickback.services.sign_in import Slow
from stickback.store.engine import Database
from stickback.store.sessions import Signed
from stickback.web.gate import School
from stickback.web.guard import host_of
from stickback.web.page import posted, show
from stickback.web.place import Place

_PORTS = {"https": 443, "http": 80}  # that a browser leaves out


def sign_in(request: Request) -> Response:
    """The form; whoever is in already goes on."""
    if request.state.signed is not None:
        return RedirectResponse(_there(request), HTTPStatus.SEE_OTHER)
    return _form(request)


def _form(request: Request, name: str = "", wrong: str = "") -> Response:
    return show(request, "sign_in.html", name=name, wrong=wrong, keys=browser(request) is not None)


def enter(request: Request, form: FormData) -> Response:
    """Signs in; the session that the browser had before, if any, is over."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    name, shared = str(form.get("name", "")), form.get("shared") == "yes"
    try:
        if key := str(form.get("key", "")):
            here = browser_with_keys(request)
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


def invitation(request: Request, wrong: str = "") -> Response:
    """Whom the invitation is for, and the form in which a password is chosen, or a key kept."""
    place: Place = request.app.state.place
    person = service.invited(place.store, request.path_params["token"])
    values = {"invited": person, "least": service.SHORTEST, "most": service.LONGEST, "wrong": wrong}
    return show(request, "invitation.html", None, **values, keys=browser(request) is not None)


def accept(request: Request, form: FormData) -> Response:
    """Keeps the password or the key, and lets the person in."""
    place: Place = request.app.state.place
    invited, shared = request.path_params["token"], form.get("shared") == "yes"
    try:
        if key := str(form.get("key", "")):
            token = passkey.accept(place.store, browser_with_keys(request), invited, key, shared=shared)
        else:
            token = service.accept(place.store, invited, str(form.get("password", "")), shared=shared)
    except Unreachable:
        raise
    except Refused as refused:
        return invitation(request, refused.message)
    return _entered(request, token, shared=shared)


def mine(request: Request, wrong: str = "") -> Response:
    """Who is signed in, where, and by which keys."""
    place: Place = request.app.state.place
    here = request.state.signed
    sessions = service.lasting(place.store, here.person)
    own, known = passkey.of(place.store, here.person), persons.find(place.store, here.person.name)
    values = {"own": own, "password": known.password, "keys": browser(request) is not None}
    return show(request, "mine.html", None, here=here, sessions=sessions, wrong=wrong, **values)


def change(request: Request, form: FormData) -> Response:
    """Ends a session elsewhere, or all of them; adds a key, or names or removes one."""
    try:
        _change(request, form)
    except Unreachable:
        raise
    except Refused as refused:
        return mine(request, refused.message)
    return RedirectResponse("/mine", HTTPStatus.SEE_OTHER)


def _change(request: Request, form: FormData) -> None:
    place: Place = request.app.state.place
    here, what = request.state.signed, form.get("do")
    id_, name, key = (str(form.get(each, "")) for each in ("id", "called", "key"))
    if what == "add":
        passkey.add(place.store, browser_with_keys(request), here.person, key, name)
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


def browser(request: Request) -> Browser | None:
    """The browser of a request, as keys know it; None where the page is reached by a number, for which no key is made.

    The name comes from `--site`, and without one is `localhost` or none: nothing that was sent is believed.
    """
    school: School = request.app.state.school
    here = school.site or (f"http://{request.headers['host']}" if _on_this_machine(request) else "")
    parts = urlsplit(here)
    if not parts.hostname or _is_number(parts.hostname):
        return None
    port = "" if parts.port in {None, _PORTS.get(parts.scheme)} else f":{parts.port}"
    return Browser(parts.hostname, f"{parts.scheme}://{parts.hostname}{port}", request.cookies.get(school.cookie, ""))


def _on_this_machine(request: Request) -> bool:
    return host_of(request.headers.get("host", "")) == "localhost"


def _is_number(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def browser_with_keys(request: Request) -> Browser:
    """The browser of a request that our script makes, or that holds a key.

    Errors: no such page, where it can have no keys.
    """
    found = browser(request)
    if found is None:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    return found


def sign_in_by_key(request: Request) -> Response:
    """What the key shall sign that signs in."""
    return _asked(request, passkey.ask_to_sign_in)


def invited_by_key(request: Request) -> Response:
    """What the device shall keep for whom an invitation lets in."""
    place: Place = request.app.state.place
    person = service.invited(place.store, request.path_params["token"])
    return _asked(request, lambda store, here: passkey.ask_to_add(store, here, person))


def another_key(request: Request) -> Response:
    """What the device shall keep for whoever is signed in."""
    place: Place = request.app.state.place
    person = request.state.signed.person
    known = passkey.of(place.store, person)
    return _asked(request, lambda store, here: passkey.ask_to_add(store, here, person, known))


def _asked(request: Request, ask: Callable[[Database, Browser], str]) -> Response:
    """What is asked; a browser without a cookie gets one, so that it serves this browser alone."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    here = browser_with_keys(request)
    token = here.cookie or token_urlsafe(32)
    answer = Response(ask(place.store, replace(here, cookie=token)), media_type="application/json")
    return answer if here.cookie else school.keep(answer, token, shared=True)


ROUTES = [
    Route("/sign-in", sign_in, methods=["GET"]),
    Route("/sign-in", posted(enter, 10), methods=["POST"]),
    Route("/invitation/{token}", invitation, methods=["GET"]),
    Route("/invitation/{token}", posted(accept, 10), methods=["POST"]),
    Route("/mine", mine, methods=["GET"]),
    Route("/mine", posted(change, 10), methods=["POST"]),
    Route("/sign-out", posted(leave, 5), methods=["POST"]),
    Route("/sign-in/key", sign_in_by_key, methods=["POST"]),
    Route("/invitation/{token}/key", invited_by_key, methods=["POST"]),
    Route("/mine/key", another_key, methods=["POST"]),
]
