"""What every page is made of: its template and what that may ask, the form on it, and the files beside it.

A browser keeps the files for good, at addresses that say what is in them. Source: RFC 8246, *HTTP Immutable Responses*.
"""

import re
from collections.abc import Awaitable, Callable
from contextvars import ContextVar
from functools import cache
from hashlib import sha256
from http import HTTPStatus
from pathlib import Path
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, PackageLoader
from jinja2.ext import Extension
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.templating import Jinja2Templates
from starlette.types import Scope

from stickback.amount import many, percent
from stickback.export.document import Document
from stickback.services.desk import Desk
from stickback.services.permission import MAY, Action
from stickback.services.review import Session
from stickback.web import html
from stickback.web.place import Place
from stickback.words import board, debrief, exports, log, oral, outlook, progress, questions, readiness, sitting, terms
from stickback.words import lesson as lesson_words
from stickback.words import person as person_words
from stickback.words import today as day_words

FOLDER = Path(__file__).parent / "static"
FOR_GOOD = "public, max-age=31536000, immutable"
ASKED_AGAIN = "no-cache"  # kept too, but the browser asks whether it still holds
# A statement carries its own look and nothing else.
PRINTED = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"}
TOKEN: ContextVar[str] = ContextVar("token", default="")  # of the session for which a page is made


def show(request: Request, template: str, desk: Desk | None = None, **values: object) -> Response:
    """A page; of a student where there is a desk.

    A form that is shown again, with what is `wrong`, was not understood.
    """
    pages: Jinja2Templates = request.app.state.pages
    own = {"student": desk.student, "desk": desk, "home": home(desk.student.name)} if desk else {}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if values.get("wrong") else HTTPStatus.OK
    return pages.TemplateResponse(request, template, {**own, **values}, status_code=status)


def home(name: str) -> str:
    """Where a student's pages begin."""
    return f"/s/{quote(name, safe='')}"


def session_of(request: Request) -> Session:
    """The review of the student in the address.

    Errors: Refused where there is none of that name.
    """
    place: Place = request.app.state.place
    return place.session(request.path_params["student"])


def printed(made: Document) -> Response:
    """A document of its own, to print."""
    return Response(exports.printed(made, "html"), media_type="text/html; charset=utf-8", headers=PRINTED)


def posted(done: Callable[[Request, FormData], Response], most: int) -> Callable[[Request], Awaitable[Response]]:
    """What answers a form of up to so many fields; it may wait for the database, and nobody else waits with it."""

    async def answer(request: Request) -> Response:
        form = await request.form(max_files=0, max_fields=most)
        keep_sent(request, form)
        return await run_in_threadpool(done, request, form)

    return answer


def keep_sent(request: Request, form: FormData) -> None:
    """Keeps what was sent with its request: a page can give it back where the database is away. Passwords are not."""
    if "password" not in form:
        request.state.sent = [(name, str(value)) for name, value in form.multi_items()]


def whole(text: str, digits: int) -> int | None:
    """A whole number as a form or an address holds it; None where it is none, or has more digits."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= digits else None


@cache
def templates() -> Jinja2Templates:
    """The templates, and what all of them may ask."""
    made = Environment(
        loader=PackageLoader("stickback.web"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=[Forms],
    )
    made.globals |= {"html": html.html, "inline": html.inline, "stamped": stamped}
    made.globals |= {
        "bar": html.bar,
        "board": board,
        "readings": readiness,
        "said": sitting,
        "said_today": day_words,
        "debriefed": debrief,
        "outlooks": outlook,
        "progressed": progress,
        "behaved": questions,
        "handed": log,
        "orals": oral,
        "lessons": lesson_words,
        "terms": terms,
        "form_token": field,
        "roles": person_words.ROLES,
        "when": person_words.when,
        "comes_by": person_words.comes_by,
        "act_head": person_words.LOG_HEAD,
        "entry_head": person_words.ENTRY_HEAD,
    }
    made.filters |= {"percent": percent, "many": many}
    return Jinja2Templates(env=made, context_processors=[about])


def about(request: Request) -> dict[str, Any]:
    """What every template may ask: whether this is a school's page, who is signed in, and what that person may do."""
    school, signed = getattr(request.app.state, "school", None), getattr(request.state, "signed", None)
    person = signed.person if signed else None

    def may(action: Action, student: str | None = None) -> bool:
        if school is None or person is None:
            return school is None
        whose = MAY[person.role].get(action)
        return whose is not None and (whose != "own" or student in {None, person.name})

    return {"school": school, "person": person, "may": may}


class Forms(Extension):
    """Puts that field into every form of a template that can be posted, so that none can forget it."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:  # noqa: ARG002
        """The template with the fields."""
        return re.sub(r"<form\b[^>]*\bpost\b[^>]*>", r"\g<0>{{ form_token() }}", source)


def field() -> Markup:
    """The field of a form that says for which session it was made; nothing where nobody signs in."""
    token = TOKEN.get()
    return Markup('<input type="hidden" name="token" value="{}">').format(token) if token else Markup("")


@cache
def stamped(name: str) -> str:
    """The address of a file, with a stamp of what is in it."""
    return f"/static/{name}?{sha256((FOLDER / name).read_bytes()).hexdigest()[:16]}"


class Files(StaticFiles):
    """Gives the files; for good only what was asked for by its own stamp, not by that of another version."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file at a path below the folder."""
        answer = await super().get_response(path, scope)
        own = stamped(path).endswith(f"?{scope['query_string'].decode('latin-1')}")
        answer.headers["Cache-Control"] = FOR_GOOD if own else ASKED_AGAIN
        return answer
