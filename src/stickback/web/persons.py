"""The pages about persons: what is kept of oneself, and for the school who may come in and who did what."""

from http import HTTPStatus
from urllib.parse import quote

import segno
from markupsafe import Markup
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback import clock
from stickback.refused import Refused, Unreachable
from stickback.services import own as service
from stickback.services import person as persons
from stickback.services import sign_in
from stickback.services.permission import Hidden
from stickback.services.person import Invited
from stickback.store import people
from stickback.store.persons import Known
from stickback.web.gate import School
from stickback.web.page import posted, show
from stickback.web.place import Place
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


def everyone(request: Request, **more: object) -> Response:
    """Who may come in, and who did what last."""
    place: Place = request.app.state.place
    known = [(one, _at(one), words.about(one)) for one in persons.listed(place.store)]
    acts = words.acts(persons.log(place.store))[:MOST_ACTS]
    values = {"known": known, "acts": acts, "roles_there": persons.ROLES, "wrong": "", **more}
    return show(request, "persons.html", None, **values)


def _at(known: Known) -> str:
    return f"/persons/{quote(known.person.name, safe='')}"


def add(request: Request, form: FormData) -> Response:
    """Makes a person, and the invitation that lets them in."""
    place: Place = request.app.state.place
    name, wanted = " ".join(str(form.get("name", "")).split()), form.get("role")
    role = next((each for each in persons.ROLES if each == wanted), None)
    if role is None:
        return everyone(request, wrong="Say what the person is here.", name=name)
    try:
        today = clock.clock_for(clock.machine_zone(), place.today()).today
        return one(request, persons.add(place.store, place.course(), name, role, [], today))
    except Unreachable:
        raise
    except Refused as refused:
        return everyone(request, wrong=refused.message, name=name, role=role)


def one(request: Request, invited: Invited | None = None, wrong: str = "") -> Response:
    """What a person is here, and what the school may do about it."""
    place: Place = request.app.state.place
    known = invited.known if invited else _known(request)
    name = known.person.name
    values: dict[str, object] = {"one": known, "at": _at(known), "invited": invited, "wrong": wrong}
    if invited is not None:
        values |= _way_in(request, invited)
    values |= {"students": sorted(people.everyone(place.store)), "roles_there": persons.ROLES}
    values |= {"sessions": sign_in.lasting(place.store, known.person), "waiting": name in persons.waiting(place.store)}
    return show(request, "person.html", None, **values)


def _way_in(request: Request, invited: Invited) -> dict[str, object]:
    """The address that lets a person in, and as a square code."""
    school: School = request.app.state.school
    address = words.address(invited, school.site or str(request.base_url))
    drawn = segno.make(address, error="m", micro=False).svg_inline(border=4, light="#fff", omitsize=True)
    return {"address": address, "square": Markup(drawn)}  # noqa: S704 - a drawing of our own


def _known(request: Request) -> Known:
    """The person in the address.

    Errors: Hidden where there is none.
    """
    place: Place = request.app.state.place
    name = request.path_params["person"]
    found = next((each for each in persons.listed(place.store) if each.person.name == name), None)
    if found is None:
        raise Hidden
    return found


def change(request: Request, form: FormData) -> Response:
    """Changes what a person is, and how they come in, as one of the buttons says."""
    place: Place = request.app.state.place
    known = _known(request)
    name, what = known.person.name, form.get("do")
    try:
        if what == "invite":
            return one(request, persons.invite(place.store, name))
        _does(place, known, str(what), form)
    except Unreachable:
        raise
    except Refused as refused:
        return one(request, wrong=refused.message)
    there = any(each.person.name == name for each in persons.listed(place.store))
    return RedirectResponse(_at(known) if there else "/persons", HTTPStatus.SEE_OTHER)


def _does(place: Place, known: Known, what: str, form: FormData) -> None:
    name = known.person.name
    if what == "set":
        _set(place, known, form)
    elif what == "revoke":
        persons.revoke(place.store, name)
    elif what == "sign out":
        persons.sign_out(place.store, name)
    elif what == "remove":
        persons.remove(place.store, name)
    elif what in {"erase", "stay"}:
        service.answer(place.store, name, erase=what == "erase")


def _set(place: Place, known: Known, form: FormData) -> None:
    """The role, and of an instructor the students that are ticked and no others."""
    role = next((each for each in persons.ROLES if each == form.get("role")), known.person.role)
    ticked = [str(each) for each in form.getlist("student")] if role == "instructor" else []
    without = [each for each in known.students if each not in ticked]
    persons.set_(place.store, known.person.name, role, ticked, without)


ROUTES = [
    Route("/kept", kept),
    Route("/mine/data", data, methods=["GET"]),
    Route("/mine/data", posted(wish, 5), methods=["POST"]),
    Route("/mine/stickback.jsonl", lines),
    Route("/persons", everyone, methods=["GET"]),
    Route("/persons", posted(add, 5), methods=["POST"]),
    Route("/persons/{person}", one, methods=["GET"]),
    Route("/persons/{person}", posted(change, 2_000), methods=["POST"]),
]
