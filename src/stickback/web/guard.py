"""What stands before every page: which hosts are answered, what may be sent, and what a browser is told to keep from.

Sources: OWASP *Cross-Site Request Forgery Prevention* (Fetch Metadata, with the origin where a browser sends none); W3C
*Content Security Policy Level 3*; OWASP *HTTP Security Response Headers*.
"""

import secrets
from collections.abc import Iterable
from http import HTTPStatus
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 1_000_000  # of a form
MOST_UPLOAD = 32_000_000  # of a file handed in: a hundred thousand entries
LOCAL = ("127.0.0.1", "localhost", "::1", "testserver.local")
COOKIE = "stickback_share"

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; manifest-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(self)",
    "Cache-Control": "no-store",
}


class Refusal(Exception):  # noqa: N818 - a refusal is not an error of the program
    """A request that is not answered, with its status and one sentence."""

    def __init__(self, status: HTTPStatus, message: str) -> None:
        super().__init__(message)
        self.status, self.message = status, message


def host_of(value: str) -> str:
    """The host of a `Host` header, without its port; empty where it is none."""
    try:
        return (urlsplit(f"//{value}").hostname or "").casefold()
    except ValueError:
        return ""


def check_host(headers: Headers, allowed: Iterable[str]) -> None:
    """Refuses a host that is not this machine's: a foreign name that leads here is an attack on what is served here."""
    if host_of(headers.get("host", "")) not in allowed:
        raise Refusal(HTTPStatus.MISDIRECTED_REQUEST, "This address is not served here.")


def check_origin(method: str, headers: Headers) -> None:
    """Refuses a form that another site sent.

    Browsers say where a request comes from; what says nothing is no browser and no form of ours.
    """
    if method in {"GET", "HEAD", "OPTIONS"}:
        return
    said = headers.get("sec-fetch-site")
    if said is not None:
        own = said in {"same-origin", "none"}
    else:
        own = bool(headers.get("host")) and _netloc(headers.get("origin", "")) == headers.get("host")
    if not own:
        raise Refusal(HTTPStatus.FORBIDDEN, "This form came from somewhere else, so nothing was done.")


def _netloc(origin: str) -> str:
    try:
        return urlsplit(origin).netloc
    except ValueError:
        return ""


class Guard:
    """The first thing that a request meets and the last that an answer passes."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str], share: "Share | None" = None) -> None:
        self.app, self.hosts, self.share = app, frozenset(hosts), share

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Checks, then passes on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        sealed = _sealed(send)
        headers = Headers(scope=scope)
        try:
            check_host(headers, self.hosts)
            check_origin(scope["method"], headers)
            limited = _limited(receive, headers, MOST_UPLOAD if scope["path"].endswith("/hand-in") else MOST_BYTES)
            if self.share is not None and (asked := self.share.asks(Request(scope))) is not None:
                await asked(scope, receive, sealed)
                return
            await self.app(scope, limited, sealed)
        except Refusal as refusal:
            await PlainTextResponse(refusal.message, refusal.status)(scope, receive, sealed)


def _sealed(send: Send) -> Send:
    async def sealed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sealed


def _limited(receive: Receive, headers: Headers, most: int) -> Receive:
    """What is received, up to a size."""
    length = headers.get("content-length", "0")
    if not length.isdecimal() or len(length) > len(str(most)) or int(length) > most:
        raise Refusal(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That is more than is taken at once, so nothing was done.")
    received = 0

    async def limited() -> Message:
        nonlocal received
        message = await receive()
        received += len(message.get("body", b""))
        if received > most:
            raise Refusal(
                HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That is more than is taken at once, so nothing was done."
            )
        return message

    return limited


class Share:
    """Who may come in from the local network: whoever has typed, or followed, the code that was printed.

    The code serves once; who came in by it keeps a cookie until the server ends. What comes from this machine needs
    none.
    """

    def __init__(self) -> None:
        self.code = secrets.token_urlsafe(9)
        self._inside: set[str] = set()

    def asks(self, request: Request) -> Response | None:
        """What a request is answered with that may not pass; None where it may."""
        if request.client is not None and request.client.host in LOCAL:
            return None
        if request.cookies.get(COOKIE) in self._inside:
            return None
        code = request.query_params.get("code", "")
        if self.code and secrets.compare_digest(code.encode(), self.code.encode()):
            return self._let_in(request)
        return PlainTextResponse("Open the address that the server printed, with its code.", HTTPStatus.FORBIDDEN)

    def _let_in(self, request: Request) -> Response:
        token = secrets.token_urlsafe(32)
        self._inside.add(token)
        self.code = ""  # used up
        answer = RedirectResponse(str(request.url.remove_query_params("code")), HTTPStatus.SEE_OTHER)
        answer.set_cookie(COOKIE, token, httponly=True, samesite="lax")
        return answer
