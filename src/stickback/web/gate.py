"""What stands before every page of a school: who is signed in, what each address asks for, and whose form it is.

An address that is not in the table is not served; a page cannot forget to ask. Sources: OWASP *Session Management* and
*Cross-Site Request Forgery Prevention Cheat Sheets*; RFC 6265bis, 4.1.3.2 (`__Host-`).
"""

import asyncio
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest
from http import HTTPStatus
from inspect import iscoroutinefunction
from typing import Any
from urllib.parse import quote, urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from stickback import acting
from stickback.refused import Refused, Unreachable
from stickback.services import permission, sign_in
from stickback.services.permission import Action, Hidden
from stickback.store.sessions import Signed
from stickback.web.page import TOKEN, keep_sent
from stickback.web.place import Place

SECONDS = sign_in.LIFE // 1000
YEAR = 31_536_000  # seconds in which a browser asks for nothing but TLS
# What is served before anybody is signed in.
OPEN = frozenset({"/sign-in", "/sign-in/key", "/invitation/{token}", "/invitation/{token}/key", "/kept"})
MOST_FIELDS, MOST_FILES = 300, 50

# What each address asks for; of the student in it, where there is one.
ASKS: dict[str, Action] = {
    "GET /": "self",
    "GET /mine": "self",
    "POST /mine": "self",
    "POST /mine/key": "self",
    "GET /mine/data": "self",
    "POST /mine/data": "self",
    "GET /mine/stickback.jsonl": "self",
    "POST /sign-out": "self",
    "GET /persons": "persons",
    "POST /persons": "persons",
    "GET /persons/{person}": "persons",
    "POST /persons/{person}": "persons",
    "GET /s/{student}": "read",
    "GET /s/{student}/debrief": "read",
    "GET /s/{student}/outlook": "read",
    "GET /s/{student}/progress": "read",
    "GET /s/{student}/find": "read",
    "GET /s/{student}/lesson": "read",
    "GET /s/{student}/lesson/{name}": "read",
    "GET /s/{student}/lesson/{name}/card": "read",
    "POST /s/{student}/lesson/{name}/note": "study",
    "GET /s/{student}/review": "study",
    "GET /s/{student}/review/{question}/{asking}": "study",
    "POST /s/{student}/review/{question}/{asking}": "study",
    "GET /s/{student}/review/{question}/{asking}/flag": "study",
    "POST /s/{student}/review/{question}/{asking}/flag": "study",
    "POST /s/{student}/undo": "study",
    "GET /s/{student}/settings": "set",
    "POST /s/{student}/settings": "set",
    "GET /s/{student}/flown/{lesson}": "fly",
    "POST /s/{student}/flown/{lesson}": "fly",
    "GET /s/{student}/exam": "examine",
    "POST /s/{student}/exam": "examine",
    "GET /s/{student}/exam/sheet": "examine",
    "GET /course": "course",
    "GET /course/questions": "figures",
    "GET /course/stamp": "course",
    "GET /course/deck/{file:path}": "course",
    "GET /course/question/{name}": "course",
    "GET /school": "board",
    "GET /school/readiness.{form}": "export",
    "GET /school/hand-in": "hand in",
    "POST /school/hand-in": "hand in",
    "GET /school/{student}": "report",
    "GET /school/{student}/handover": "handover",
    "GET /picture/{path:path}": "self",
}


# Seconds between tries while the database is away: ten of it together, as long as a server takes to start again.
PAUSES = (0.1, 0.4, 1.0, 1.5, 2.0, 2.5, 2.5)


class Foreign(Refused):
    """A form that was not made for this session."""

    def __init__(self) -> None:
        super().__init__("This form was made before you signed in, so nothing was done. Go back, and reload it.")


class SignedOut(Refused):
    """A form of somebody who is not signed in any more."""

    def __init__(self) -> None:
        super().__init__("You are signed out, so nothing was done. Sign in in another window, and send it again.")


@dataclass(frozen=True)
class School:
    """How a school's page is reached.

    Args:
        site: its address as a browser has it, such as `https://school.example`; None on this machine alone.
        behind_proxy: a proxy of ours stands before it, ends TLS, and says where a request comes from.
    """

    site: str | None = None
    behind_proxy: bool = False

    @property
    def host(self) -> str | None:
        """The name under which it answers."""
        return urlsplit(self.site).hostname if self.site else None

    @property
    def cookie(self) -> str:
        """The name of the cookie; one named like the first is set by no other site and on no plain connection."""
        return "__Host-stickback" if self.behind_proxy else "stickback"

    def address(self, request: Request) -> str:
        """Where a request comes from: what our own proxy added last, and nothing that was sent to it."""
        said = request.headers.getlist("x-forwarded-for") if self.behind_proxy else []
        here = request.client.host if request.client else ""
        return said[-1].rpartition(",")[2].strip() if said else here

    def keep(self, answer: Response, token: str, *, shared: bool) -> Response:
        """The answer with the cookie of a new session; on a shared device it goes with the window."""
        answer.set_cookie(
            self.cookie,
            token,
            max_age=None if shared else SECONDS,
            path="/",
            secure=self.behind_proxy,
            httponly=True,
            samesite="lax",
        )
        return answer


def token_of(cookie: str) -> str:
    """What a form must hold that was made for this session: it follows from the cookie, and not the other way."""
    return sha256(f"form\n{cookie}".encode()).hexdigest()


def signed_in(request: Request) -> Signed | None:
    """Who is signed in by the cookie of a request."""
    school: School = request.app.state.school
    place: Place = request.app.state.place
    cookie = request.cookies.get(school.cookie, "")
    return sign_in.signed(place.store, cookie) if cookie else None


def gated(routes: Iterable[BaseRoute]) -> list[BaseRoute]:
    """The addresses of a school, each behind the gate; what is not an address, such as the looks, stays as it is."""
    return [_gated(route) if isinstance(route, Route) else route for route in routes]


def _gated(route: Route) -> Route:
    methods = sorted((route.methods or {"GET"}) - {"HEAD"})
    inner = route.endpoint

    async def endpoint(request: Request) -> Response:
        request.scope["address"] = route.path
        answer = await _patiently(request, route.path, inner)
        if request.app.state.school.behind_proxy:
            answer.headers["Strict-Transport-Security"] = f"max-age={YEAR}"
        return answer

    return Route(route.path, endpoint, methods=methods, name=route.name)


async def _patiently(request: Request, path: str, inner: Callable[[Request], Any]) -> Response:
    """Tries again while the database is away: whatever is sent twice is stored once, under its asking."""
    plain = request.method == "POST" and "multipart" not in request.headers.get("content-type", "")
    if plain:
        keep_sent(request, await request.form(max_files=0, max_fields=MOST_FIELDS))
    for pause in PAUSES if plain or request.method != "POST" else ():
        try:
            return await _passed(request, path, inner)
        except Unreachable:
            await asyncio.sleep(pause)
    return await _passed(request, path, inner)


async def _passed(request: Request, path: str, inner: Callable[[Request], Any]) -> Response:
    """What an address answers to who may ask for it."""
    request.state.signed = signed = await run_in_threadpool(signed_in, request)
    if path in OPEN:
        return await _answered(request, inner)
    if signed is None:
        return _signed_out(request)
    school: School = request.app.state.school
    token = token_of(request.cookies[school.cookie])
    if request.method == "POST":
        await _check(request, token)
    with acting.acting(signed.person):
        await run_in_threadpool(_permitted, request, ASKS.get(f"{request.method.replace('HEAD', 'GET')} {path}"))
        reset = TOKEN.set(token)
        try:
            return await _answered(request, inner)
        finally:
            TOKEN.reset(reset)


async def _answered(request: Request, inner: Callable[[Request], Any]) -> Response:
    if iscoroutinefunction(inner):
        waiting: Awaitable[Response] = inner(request)
        return await waiting
    answer: Response = await run_in_threadpool(inner, request)
    return answer


def _permitted(request: Request, action: Action | None) -> None:
    place: Place = request.app.state.place
    if action is None:
        raise Hidden
    permission.check(place.store, action, request.path_params.get("student"))


async def _check(request: Request, token: str) -> None:
    """Refuses a form that was not made for this session."""
    form = await request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS)
    if not compare_digest(str(form.get("token", "")).encode(), token.encode()):
        raise Foreign


def _signed_out(request: Request) -> Response:
    if request.method == "POST":
        raise SignedOut
    there = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    to = f"/sign-in?to={quote(there, safe='')}" if there != "/" else "/sign-in"
    return RedirectResponse(to, HTTPStatus.SEE_OTHER)
