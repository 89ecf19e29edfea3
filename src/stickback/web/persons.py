"""The pages about persons: what is kept of oneself, and for the school who may come in and who did what."""

from http import HTTPStatus

import segno
from markupsafe import Markup
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.refused import Refused, Unreachable
from stickback.services import own as service
from stickback.services import person as persons
from stickback.web.gate import School
from stickback.web.place import Place
from stickback.web.student import posted, show
from stickback.words import person as words

MOST_ACTS = 50  # of the newest, on a page; `person log` says all


def kept(request: Request) -> Response:
    """What is stored here, why and how long; whoever asks."""
    return show(request, "kept.html")


def data(request: Request) -> Response:
    """Everything that is kept of whoever is signed in, to read and to print."""
    place: Place = request.app.state.place
    found = service.own(place.store, request.state.signed.person)
    rows = [words.entry(entry) for entry in found.entries]
    return show(request, "data.html", own=found, rows=rows, acts=words.acts(found.acts))


def lines(request: Request) -> Response:
    """The same log as a file."""
    place: Place = request.app.state.place
    text = "".join(f"{line}\n" for line in service.lines(place.store, request.state.signed.person))
    saved = {"Content-Disposition": 'attachment; filename="stickback.jsonl"'}
    return Response(text, media_type="application/jsonl; charset=utf-8", headers=saved)


def wish(request: Request, form: FormData) -> Response:
    """Asks to be erased, or takes that back."""
    place: Place = request.app.state.place
    service.wish(place.store, request.state.signed.person, erase=form.get("do") == "erase")
    return RedirectResponse("/mine/data", HTTPStatus.SEE_OTHER)


def everyone(request: Request) -> Response:
    """Who may come in, and who did what last."""
    return _everyone(request)


def _everyone(request: Request, **more: object) -> Response:
    place: Place = request.app.state.place
    acts = words.acts(persons.log(place.store))[:MOST_ACTS]
    values = {"known": persons.listed(place.store), "acts": acts, "wrong": "", "invited": None, **more}
    return show(request, "persons.html", None, **values)


def change(request: Request, form: FormData) -> Response:
    """Invites somebody anew, or answers a wish to be erased."""
    place: Place = request.app.state.place
    name, what = str(form.get("name", "")), form.get("do")
    try:
        if what == "invite":
            return _invited(request, name)
        if what in {"erase", "stay"}:
            service.answer(place.store, name, erase=what == "erase")
    except Unreachable:
        raise
    except Refused as refused:
        return _everyone(request, wrong=refused.message)
    return RedirectResponse("/persons", HTTPStatus.SEE_OTHER)


def _invited(request: Request, name: str) -> Response:
    place: Place = request.app.state.place
    school: School = request.app.state.school
    found = persons.invite(place.store, name)
    address = words.address(found, school.site or str(request.base_url))
    square = Markup(segno.make(address, error="m", micro=False).svg_inline(border=4, light="#fff", omitsize=True))  # noqa: S704
    return _everyone(request, invited=found, address=address, square=square)


ROUTES = [
    Route("/kept", kept),
    Route("/mine/data", data, methods=["GET"]),
    Route("/mine/data", posted(wish, 5), methods=["POST"]),
    Route("/mine/stickback.jsonl", lines),
    Route("/persons", everyone, methods=["GET"]),
    Route("/persons", posted(change, 5), methods=["POST"]),
]
