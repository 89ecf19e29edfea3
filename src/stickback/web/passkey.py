"""What a device is asked before it signs with a key, or keeps one: by our own script, where the browser has keys."""

from collections.abc import Callable
from dataclasses import replace
from http import HTTPStatus
from ipaddress import ip_address
from secrets import token_urlsafe
from urllib.parse import urlsplit

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from stickback.services import passkey as service
from stickback.services import sign_in
from stickback.services.passkey import Browser
from stickback.store.engine import Database
from stickback.web.gate import School
from stickback.web.guard import host_of
from stickback.web.place import Place

_PORTS = {"https": 443, "http": 80}  # that a browser leaves out


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


def needed(request: Request) -> Browser:
    """The browser of a request.

    Errors: no such page, where it can have no keys.
    """
    found = browser(request)
    if found is None:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    return found


def sign_in_(request: Request) -> Response:
    """What the key shall sign that signs in."""
    return _asked(request, service.ask_to_sign_in)


def invited(request: Request) -> Response:
    """What the device shall keep for whom an invitation lets in."""
    place: Place = request.app.state.place
    person = sign_in.invited(place.store, request.path_params["token"])
    return _asked(request, lambda store, here: service.ask_to_add(store, here, person))


def mine(request: Request) -> Response:
    """What the device shall keep for whoever is signed in."""
    place: Place = request.app.state.place
    person = request.state.signed.person
    known = service.of(place.store, person)
    return _asked(request, lambda store, here: service.ask_to_add(store, here, person, known))


def _asked(request: Request, ask: Callable[[Database, Browser], str]) -> Response:
    """What is asked; a browser without a cookie gets one, so that it serves this browser alone."""
    place: Place = request.app.state.place
    school: School = request.app.state.school
    here = needed(request)
    token = here.cookie or token_urlsafe(32)
    answer = Response(ask(place.store, replace(here, cookie=token)), media_type="application/json")
    return answer if here.cookie else school.keep(answer, token, shared=True)


ROUTES = [
    Route("/sign-in/key", sign_in_, methods=["POST"]),
    Route("/invitation/{token}/key", invited, methods=["POST"]),
    Route("/mine/key", mine, methods=["POST"]),
]
