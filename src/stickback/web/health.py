"""What looks after a school's server may ask: whether it lives, whether it is ready; and a line of each request.

A line holds no name, no answer and no address of anybody: what is written there is read by others than the school.
"""

import json
from collections.abc import Callable
from http import HTTPStatus
from time import perf_counter

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stickback import clock
from stickback.refused import Refused
from stickback.web.place import Place


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


class Journal:
    """Says a line of JSON for each request: when, what kind of address, how it was answered and how long it took."""

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


ROUTES = [Route("/health/live", live), Route("/health/ready", ready)]
