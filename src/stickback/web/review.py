"""The review on a page: a question under its asking, the answer sent, the mark under the same asking.

An address holds the question and the asking, and from these all that is drawn follows: so a page can be reloaded, a
form sent twice is one entry, and two tabs are two askings.
"""

import json
from hashlib import blake2b
from http import HTTPStatus
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from stickback.kinds.shown import Unclear, asks_again, repeated
from stickback.memory import entry
from stickback.memory.past import History
from stickback.radio import aloud
from stickback.reading import text as texts
from stickback.refused import Refused, Unreachable
from stickback.services import listen, marking, progress
from stickback.services import note as noting
from stickback.services import review as service
from stickback.services.marking import Answer
from stickback.services.review import Done, Session, Step
from stickback.services.today import Wish
from stickback.web.page import home, posted, show
from stickback.web.place import Place
from stickback.words import sitting

NOT_ASKED = "This question is not asked here, or no longer, so nothing was stored."
CHANGED = "The question has changed since it was shown: here it is as it stands now."
LONGEST_SECONDS = 3600.0  # a page left open overnight is no hour of thinking, and far above what is counted


def wish_of(request: Request) -> Wish:
    """The part of the course that the address keeps to."""
    return Wish(topic=request.query_params.get("topic"), lesson=request.query_params.get("lesson"))


def session_of(request: Request) -> Session:
    """The review that the address belongs to."""
    place: Place = request.app.state.place
    return place.session(request.path_params["student"], wish_of(request))


def begin(request: Request) -> Response:
    """The next question under a new asking, or the end of the sitting."""
    session = session_of(request)
    step = service.ask(session)
    if isinstance(step, Done):
        said, read = sitting.closing(session, step), progress.to_read(session.desk)
        return show(request, "done.html", session.desk, lines=said, read=read)
    return RedirectResponse(address(request, step.question.id, step.asking), HTTPStatus.SEE_OTHER)


def address(request: Request, question: str, asking: str) -> str:
    """Where a question is asked: it says which and under which asking, and keeps to what the review keeps to."""
    return f"{home(request.path_params['student'])}/review/{question}/{asking}{_kept(request)}"


def _kept(request: Request) -> str:
    """What a review keeps to, as an address carries it on."""
    kept = {name: value for name, value in request.query_params.items() if name in {"topic", "lesson"}}
    return f"?{urlencode(kept)}" if kept else ""


def asking_of(request: Request) -> str:
    """The asking in the address: a UUIDv7, whoever made it up."""
    asking = str(request.path_params["asking"])
    if not entry.is_id(asking):
        raise HTTPException(HTTPStatus.NOT_FOUND)
    return asking


def question(request: Request) -> Response:
    """The question of the address; its mark where that asking was answered already."""
    session, asking = session_of(request), asking_of(request)
    if answered := marking.answered(session, asking):
        step, marked = answered
        notes = texts.sources(marked.why, session.desk.course.sources)
        return show(request, "mark.html", session.desk, step=step, marked=marked, notes=notes)
    step = service.put(session, _history(session, request), asking)
    return _question(request, session, step)


def _question(request: Request, session: Session, step: Step, wrong: str = "", typed: str = "") -> Response:
    """The page of a question; once more, with what was typed and what is wrong with it."""
    confidence = request.query_params.get("confidence", "")
    points = step.points if step.shown.manner == "aloud" and marking.confidence(confidence) else ()
    values = {"step": step, "wrong": wrong, "typed": typed, "points": points, "confidence": confidence}
    values |= {"left": sitting.left(step), "hinted": request.query_params.get("hinted") == "yes"}
    values |= {"kept": _kept(request)[1:], "digest": _digest(step), **_listening(session, step)}
    return show(request, "question.html", session.desk, **values)


def _digest(step: Step) -> str:
    """What was shown, in short: the question and the values in it."""
    values = json.dumps([step.question.revision, sorted(step.values.items())])
    return blake2b(values.encode(errors="replace"), digest_size=6).hexdigest()


def _listening(session: Session, step: Step) -> dict[str, object]:
    """How a student wants to hear what is said, and each transmission as it is spoken; nothing where it is shown."""
    how = listen.read(session.desk.student.listen) if step.shown.heard else None
    if how is None:
        return {}
    rules = step.question.only.get("phraseology", "icao")
    said = [aloud.aloud(texts.line(each, step.values), rules) for each in step.shown.heard]
    return {"listening": how, "spoken": said, "language": "en-US" if rules == "faa" else "en-GB"}


def _history(session: Session, request: Request) -> History:
    """The question of an address, on this aeroplane."""
    named = request.path_params["question"]
    found = next((history for history, one in session.desk.questions.items() if one.id == named), None)
    if found is None:
        raise HTTPException(HTTPStatus.NOT_FOUND, NOT_ASKED)
    return found


def answer(request: Request, form: FormData) -> Response:
    """Stores the answer sent, on disk before anything is said of it, and leads to its mark."""
    session, asking = session_of(request), asking_of(request)
    here = _asked_at(request)
    if asking in session.desk.past.by_id:
        return RedirectResponse(here, HTTPStatus.SEE_OTHER)
    step = service.put(session, _history(session, request), asking)
    if form.get("other") == "pass":
        passed = service.pass_over(session, step)
        request.app.state.place.hold(request.path_params["student"], wish_of(request), passed)
        return RedirectResponse(f"{home(session.desk.student.name)}/review{_kept(request)}", HTTPStatus.SEE_OTHER)
    typed = _typed(form, step)
    if form.get("shown", digest := _digest(step)) != digest:  # a letter may be that of another option now
        return _question(request, session, step, CHANGED, typed if step.shown.manner == "line" else "")
    if asks_again(step.shown, typed) and not form.get("other"):
        return _question(request, session, step, typed=repeated(""))
    sent = _sent(request, session, step, form, typed)
    if isinstance(sent, str):
        return _question(request, session, step, sent, typed)
    try:
        after = marking.store(session, step, sent)
    except Unreachable:
        raise
    except Refused as refused:  # the form stays, and can be sent again under its asking
        return _question(request, session, step, refused.message, typed)
    request.app.state.place.hold(request.path_params["student"], wish_of(request), after)
    return RedirectResponse(here, HTTPStatus.SEE_OTHER)


def _sent(request: Request, session: Session, step: Step, form: FormData, typed: str) -> Answer | str:
    """The answer that was sent; what is wrong with one that is none, in a sentence."""
    hinted = bool(step.question.hint) and "yes" in {form.get("hinted"), request.query_params.get("hinted")}
    seconds = min(max((session.desk.moment - began(step.asking)) / 1000, 0.0), LONGEST_SECONDS)
    if form.get("other") == "unknown":
        return marking.unknown(hinted=hinted, seconds=seconds)
    sure, given = marking.confidence(str(form.get("confidence"))), step.understand(typed)
    if sure is None:
        return "Say how sure you are with one of the three buttons."
    if isinstance(given, Unclear):
        return f"That was not understood: {given.why}; give {step.shown.expects}."
    return Answer(given, sure, hinted, seconds)


def _typed(form: FormData, step: Step) -> str:
    """The answer as a line would hold it: what was ticked, one behind the other, or what was typed."""
    typed = " ".join(str(each) for each in form.getlist("given"))
    return typed or ("none" if step.shown.manner == "aloud" else "")


def began(asking: str) -> int:
    """When a question was put: an asking tells it in milliseconds. Source: RFC 9562, 5.7."""
    return int(asking.replace("-", "")[:12], 16)


def flag(request: Request) -> Response:
    """The form for a note on a question."""
    session = session_of(request)
    step = service.put(session, _history(session, request), asking_of(request))
    return show(request, "flag.html", session.desk, step=step, id=session.desk.clock.new_id(), back=_asked_at(request))


def flagged(request: Request, form: FormData) -> Response:
    """Stores the note, and leads back to where it was written."""
    session, name = session_of(request), str(form.get("id", ""))
    step = service.put(session, _history(session, request), asking_of(request))
    if not entry.is_id(name):
        raise HTTPException(HTTPStatus.UNPROCESSABLE_ENTITY)
    if noting.one_line(str(form.get("note", ""))):
        after = noting.flag(session, step, str(form.get("note", "")), name)
        request.app.state.place.hold(request.path_params["student"], wish_of(request), after)
    return RedirectResponse(_asked_at(request), HTTPStatus.SEE_OTHER)


def _asked_at(request: Request) -> str:
    """The address of the question and asking that an address below it belongs to."""
    return address(request, request.path_params["question"], asking_of(request))


def undo(request: Request, form: FormData) -> Response:
    """Takes the answer of a page back, once, and only while it is the last one."""
    session = session_of(request)
    newest = session.desk.newest
    if newest is not None and newest.id == form.get("asking"):
        place: Place = request.app.state.place
        place.hold(request.path_params["student"], wish_of(request), marking.take_back(session, newest.id))
    return RedirectResponse(f"{home(session.desk.student.name)}/review{_kept(request)}", HTTPStatus.SEE_OTHER)


ROUTES = [
    Route("/s/{student}/review", begin),
    Route("/s/{student}/review/{question}/{asking}", question, methods=["GET"]),
    Route("/s/{student}/review/{question}/{asking}", posted(answer, 40), methods=["POST"]),
    Route("/s/{student}/review/{question}/{asking}/flag", flag, methods=["GET"]),
    Route("/s/{student}/review/{question}/{asking}/flag", posted(flagged, 5), methods=["POST"]),
    Route("/s/{student}/undo", posted(undo, 5), methods=["POST"]),
]
