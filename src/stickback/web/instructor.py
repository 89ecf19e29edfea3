"""The instructor's pages: the course with its problems beside what students see, and one question tried."""

from http import HTTPStatus

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from stickback.course import craft
from stickback.reading import text as texts
from stickback.reading.problem import Problem
from stickback.services import check, folder
from stickback.services import questions as behaving
from stickback.services import try_ as service
from stickback.web.page import show, whole
from stickback.web.place import Place
from stickback.words import course as words


def course(request: Request) -> Response:
    """What the course holds, what is wrong in it, and what nothing asks."""
    place: Place = request.app.state.place
    read = place.course()
    values = {
        "course": read,
        "problems": _problems(request, read.problems),
        "summary": words.summary(read, (), read.problems),
        "coverage": craft.coverage(read),
        "stamp": _stamp(place),
    }
    return show(request, "course.html", None, **values)


def _problems(request: Request, found: tuple[Problem, ...]) -> list[tuple[Problem, str | None]]:
    """Each with the line of the file that it stands on."""
    place: Place = request.app.state.place
    sources = check.Sources(place.folder)
    return [(problem, sources.line(problem)) for problem in found]


def deck(request: Request) -> Response:
    """A deck as students meet it, its problems beside it."""
    place: Place = request.app.state.place
    read, file = place.course(), request.path_params["file"]
    found = next((one for one in read.decks if one.file == file), None)
    sheet = read.sheets.get(request.query_params.get("aircraft", ""), next(iter(read.sheets.values()), None))
    if found is None or sheet is None:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    asked = [one for one in read.questions.values() if one.file == file]
    problems = _problems(request, tuple(one for one in read.problems if one.file == file))
    values = {"course": read, "deck": found, "questions": asked, "problems": problems, "sheet": sheet}
    return show(request, "deck.html", None, **values, stamp=_stamp(place))


def stamp(request: Request) -> Response:
    """What changes when a file of the course does: a page asks for it to know that it is out of date."""
    return PlainTextResponse(_stamp(request.app.state.place))


def _stamp(place: Place) -> str:
    return f"{hash(folder.stamp(place.folder)) & 0xFFFFFFFFFFFF:012x}"


def question(request: Request) -> Response:
    """A question as it is met: drawn under any seed, on any aeroplane; an answer is marked and nothing recorded."""
    place: Place = request.app.state.place
    read, wanted = place.course(), request.query_params
    name, seed = request.path_params["name"], wanted.get("seed", "0")
    one = service.trial(
        read,
        name,
        aircraft=wanted.get("aircraft") or None,
        seed=whole(seed, 15) or 0,
    )
    typed = " ".join(wanted.getlist("given"))
    answer = service.tried(one, typed) if typed else None
    values = {"course": read, "one": one, "answer": answer, "typed": typed}
    values["notes"] = texts.sources(one.question.why, read.sources)
    return show(request, "try.html", None, **values, stamp=_stamp(place))


def questions(request: Request) -> Response:
    """How the questions behaved in the log, and what students said of them."""
    place: Place = request.app.state.place
    everything = request.query_params.get("all") == "yes"
    course = place.course()
    found = behaving.behaved(course, place.store)
    shown = found if everything else behaving.notable(found)
    sheet = next(iter(course.sheets.values()), None)  # a title may hold values: those of any aeroplane will do
    values = sheet.values if sheet else {}
    return show(request, "behaved.html", None, found=found, shown=shown, everything=everything, values=values)


ROUTES = [
    Route("/course", course),
    Route("/course/questions", questions),
    Route("/course/stamp", stamp),
    Route("/course/deck/{file:path}", deck),
    Route("/course/question/{name}", question),
]
