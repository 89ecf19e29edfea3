"""The school's pages: who needs what next, a student's statement to print, and the exports."""

from http import HTTPStatus

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from stickback.services import permission
from stickback.services import readiness as service
from stickback.services.readiness import Page, Report
from stickback.store import acts, people
from stickback.web.page import PRINTED, printed, show
from stickback.web.place import Place
from stickback.words import exports
from stickback.words import handover as overs

FORMS = {
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "pdf": "application/pdf",
}
SORTS = {"days": "by date", "name": "by name", "known": "by what is known"}


def _report(request: Request, names: list[str] | None = None, *, whole: bool) -> Report:
    """The report on everyone, or on some.

    Errors: Refused for a student who is not there.
    """
    place: Place = request.app.state.place
    mine = permission.among(place.store, "board")
    everyone = [one for name, one in people.everyone(place.store).items() if name in mine]
    students = [people.find(place.store, name) for name in names] if names else everyone
    today, kept = place.today(), place.statements
    return service.report(place.store, place.course(), students, None, today, whole=whole, kept=kept)


def board(request: Request) -> Response:
    """Who needs what next: a row a student, sorted and filtered as the address says."""
    found = _report(request, whole=False)
    verdict, sort = request.query_params.get("verdict", ""), request.query_params.get("sort", "days")
    pages = [page for page in found.pages if verdict in {"", page.statement.verdict}]
    values = {
        "report": found,
        "pages": _by(pages, sort),
        "verdicts": sorted({page.statement.verdict for page in found.pages}),
        "verdict": verdict,
        "sort": sort if sort in SORTS else "days",
        "sorts": SORTS,
        "forms": list(FORMS),
    }
    return show(request, "board.html", None, **values)


def _by(pages: list[Page], sort: str) -> list[Page]:
    if sort == "name":
        return sorted(pages, key=lambda page: page.statement.student.name)
    if sort == "known":
        return sorted(pages, key=lambda page: page.statement.known.middle)
    return pages


def statement(request: Request) -> Response:
    """A student's page to print."""
    found = _report(request, [request.path_params["student"]], whole=True)
    ((_, content), *_rest) = exports.files(found, "html", "", topics=True)
    return Response(content, media_type="text/html; charset=utf-8", headers=PRINTED)


def handover(request: Request) -> Response:
    """A student on one page for a new instructor, to print."""
    place: Place = request.app.state.place
    found = service.handover(
        place.store, place.course(), request.path_params["student"], place.today(), place.statements
    )
    return printed(overs.document(found))


def export(request: Request) -> Response:
    """The whole report as a file."""
    form = request.path_params["form"]
    if form not in FORMS:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    name = f"readiness.{form}"
    ((_, content), *_rest) = exports.files(_report(request, whole=True), form, name, topics=False)
    acts.told(request.app.state.place.store, "exported")
    saved = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=FORMS[form], headers=saved)


ROUTES = [
    Route("/school", board),
    Route("/school/readiness.{form}", export),
    Route("/school/{student}", statement),
    Route("/school/{student}/handover", handover),
]
