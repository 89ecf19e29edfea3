"""An oral on a tablet beside the student: the instructor reads out, ticks what was said, and has it kept at once.

The address holds the examiner and the seed, so that a page can be reloaded and the oral goes on from it; a form says
which question it marks, and marks no other.
"""

from http import HTTPStatus
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.formulas import draw
from stickback.kinds.shown import Unclear
from stickback.refused import Refused, Unreachable
from stickback.services import oral as service
from stickback.services.oral import MOST, Examination
from stickback.web.page import posted, printed, session_of, show, whole
from stickback.words import oral as words

LARGEST_SEED = 2**53


def exam(request: Request) -> Response:
    """Who examines; then the question that is next; then how it came out."""
    desk, wanted = session_of(request).desk, request.query_params
    if not wanted.get("by", "").strip():
        return show(request, "exam.html", desk, exam=None, number=desk.course.plan.exam_questions, wrong="")
    if not wanted.get("seed", "").isdecimal():
        seed = draw.number(desk.clock.new_id()) % LARGEST_SEED
        return RedirectResponse(f"{request.url.path}?{urlencode({**wanted, 'seed': seed})}", HTTPStatus.SEE_OTHER)
    return _question(request, _exam(request))


def _exam(request: Request) -> Examination:
    """The oral of the address.

    Errors: Refused where it cannot be put.
    """
    wanted = request.query_params
    seed, many = whole(wanted.get("seed", ""), len(str(LARGEST_SEED))), whole(wanted.get("questions", ""), 3)
    if seed is None:
        raise Refused("There is no such oral; begin it again.")
    questions = None if many is None else min(max(many, 1), MOST)
    desk, by = session_of(request).desk, wanted.get("by", "").strip()
    return service.ended(desk, by, seed) or service.begin(desk, by, questions, seed)


def _question(request: Request, exam: Examination, wrong: str = "", typed: str = "") -> Response:
    one = service.ask(exam)
    values = {"exam": exam, "one": one, "wrong": wrong, "typed": typed, "query": request.url.query}
    return show(request, "exam.html", exam.desk, **values)


def mark(request: Request, form: FormData) -> Response:
    """Keeps a mark, or takes the last one back."""
    exam = _exam(request)
    here = RedirectResponse(f"{request.url.path}?{request.url.query}", HTTPStatus.SEE_OTHER)
    if form.get("at") != str(len(exam.oral.heard)):
        return here  # sent twice, or from a page that is out of date
    if form.get("do") == "back":
        service.back(exam)
        return here
    one = service.ask(exam)
    if one is None:
        return here
    typed = str(form.get("judged", "")) or " ".join(map(str, form.getlist("given"))) or "none"
    try:
        judgement = service.understand(one, typed)
        if isinstance(judgement, Unclear):
            return _question(request, exam, f"That was not understood: {judgement.why}.", typed)
        service.mark(exam, one, judgement, str(form.get("remark", "")))
    except Unreachable:
        raise
    except Refused as refused:
        return _question(request, exam, refused.message, typed)
    return here


def sheet(request: Request) -> Response:
    """The sheet of results, to print."""
    return printed(words.sheet(_exam(request)))


ROUTES = [
    Route("/s/{student}/exam", exam, methods=["GET"]),
    Route("/s/{student}/exam", posted(mark, 60), methods=["POST"]),
    Route("/s/{student}/exam/sheet", sheet),
]
