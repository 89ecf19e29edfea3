"""The application on a socket: on this machine alone, or open to the local network behind a code."""

import io
import json
import socket
from collections.abc import Callable
from datetime import date
from http import HTTPStatus
from pathlib import Path
from time import perf_counter

import segno
import uvicorn
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stickback import clock
from stickback.refused import Refused
from stickback.services import sign_in
from stickback.store.engine import Database
from stickback.web.app import application
from stickback.web.gate import School
from stickback.web.guard import LOCAL, Share


def serve(
    course: Path,
    store: Database,
    today: date | None,
    *,
    port: int,
    share: bool,
    say: Callable[[str], object],
    school: School | None = None,
) -> None:
    """Serves until it is interrupted.

    Args:
        port: 0 takes any that is free.
        say: what a person is told.
        school: how a school's page is reached, where everyone signs in.
    Errors: Refused when the port is taken, and for a school without what signing in needs.
    """
    if school is not None:
        sign_in.hasher()
        store.prepare()
    listening = bound("0.0.0.0" if share else "127.0.0.1", port)  # noqa: S104 - only where it was asked for
    number = listening.getsockname()[1]
    gate, hosts = (Share(), (*LOCAL, address())) if share else (None, LOCAL)
    app = application(course, store, lambda: today, hosts=hosts, share=gate, school=school)
    say(f"On this machine: http://127.0.0.1:{number}/   (Ctrl-C ends it)")
    if gate is not None:
        url = f"http://{address()}:{number}/?code={gate.code}"
        say(f"On the same network, once: {url}")
        say(square(url))
    config = uvicorn.Config(
        app if school is None else Journal(app, say),
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_keep_alive=30,
        proxy_headers=school is None,  # of a school the gate alone says what a proxy is believed
    )
    uvicorn.Server(config).run(sockets=[listening])


def bound(host: str, port: int) -> socket.socket:
    """A socket that listens.

    The protocol is named: else small answers wait for more to send.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError as error:
        listening.close()
        raise Refused(f"Port {port} cannot be used: {error.strerror}; another is taken with --port N.") from None
    return listening


def address() -> str:
    """This machine's address on its network; its own where there is none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # nothing is sent; RFC 5737 keeps this address for examples
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])


def square(text: str) -> str:
    """A text as a square code of characters."""
    out = io.StringIO()
    segno.make(text, error="m", micro=False).terminal(out, compact=True)
    return out.getvalue()


class Journal:
    """Says a line of JSON for each request: when, what kind of address, how it was answered and how long it took.

    It holds no name, no answer and no address of anybody: what is written there is read by others than the school.
    """

    def __init__(self, app: ASGIApp, say: Callable[[str], object]) -> None:
        self.app, self.say = app, say

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on, and says the line when it was answered."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        begun, status = perf_counter(), [HTTPStatus.INTERNAL_SERVER_ERROR.value]

        async def noted(message: Message) -> None:
            if message["type"] == "http.response.start":
                status[0] = message["status"]
            await send(message)

        try:
            await self.app(scope, receive, noted)
        finally:
            line = {
                "at": clock.iso_moment(int(clock.machine_now().timestamp() * 1000)),
                "method": scope["method"],
                "address": scope.get("address", "/static/" if scope["path"].startswith("/static/") else None),
                "status": int(status[0]),
                "ms": round(1000 * (perf_counter() - begun), 1),
            }
            self.say(json.dumps(line))
