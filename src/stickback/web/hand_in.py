"""Files of devices handed in: first what would come of them, then taken in.

What was sent is held until it is taken, so that nobody chooses the same files twice; held is little, and nothing that
is lost with the server.
"""

import secrets
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import get_args

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from stickback import acting, clock
from stickback.refused import Refused
from stickback.services import log as service
from stickback.services.log import Alike, Answers, Taken
from stickback.store import acts, people
from stickback.store.union import Keep
from stickback.web.page import show
from stickback.web.place import Place

MOST_FILES, MOST_HELD = 50, 4

Files = tuple[tuple[str, bytes], ...]


@dataclass(frozen=True)
class Outcome:
    """What came of a file, or would; or why nothing does."""

    name: str
    taken: Taken | None = None
    refused: str = ""
    alike: bool = False


class Held:
    """Files that were sent and not yet taken, each lot under a name that nobody guesses; the oldest makes room."""

    def __init__(self) -> None:
        self._lock, self._lots = Lock(), OrderedDict[str, Files]()

    def put(self, files: Files) -> str:
        """Holds some files, and says under which name."""
        name = secrets.token_urlsafe(12)
        with self._lock:
            self._lots[name] = files
            while len(self._lots) > MOST_HELD:
                self._lots.popitem(last=False)
        return name

    def get(self, name: str) -> Files | None:
        """What is held under a name."""
        with self._lock:
            return self._lots.get(name)


def ask(request: Request, wrong: str = "") -> Response:
    """The form that takes files."""
    return show(request, "hand_in.html", None, wrong=wrong, outcomes=[], done=False)


async def take(request: Request) -> Response:
    """Says what would come of the files sent; takes in those that were held when told so."""
    async with request.form(max_files=MOST_FILES, max_fields=10) as form:
        sent = [each for each in form.getlist("files") if isinstance(each, UploadFile) and each.filename]
        files = tuple([(each.filename or "", await each.read()) for each in sent])
        return await run_in_threadpool(_taken, request, form, files)


def _taken(request: Request, form: FormData, sent: Files) -> Response:
    name = str(form.get("held", ""))
    held: Held = request.app.state.held
    files = sent or held.get(name)
    if not files:
        return ask(request, "Choose the files once more." if name else "Choose a file, as `log export` writes it.")
    name = held.put(files) if sent else name
    dry = form.get("do") != "take"
    said = Answers(
        owner=str(form.get("owner", "")) or None,
        keep=next((each for each in get_args(Keep) if each == form.get("keep")), None),
        new=form.get("new") == "yes",
        back=form.get("back") == "yes",
    )
    place: Place = request.app.state.place
    if acting.now() is not None and not dry:
        acts.note(place.store, "handed in")
    outcomes = [_outcome(request, each, raw, said, dry=dry) for each, raw in files]
    names = [*people.everyone(place.store)]
    return show(
        request, "hand_in.html", None, outcomes=outcomes, held=name, done=not dry, said=said, names=names, wrong=""
    )


def _outcome(request: Request, name: str, raw: bytes, said: Answers, *, dry: bool) -> Outcome:
    place: Place = request.app.state.place
    now = clock.clock_for(clock.machine_zone(), place.today())
    try:
        return Outcome(name, service.hand_in(place.store, place.course(), now, raw, said, dry=dry))
    except Alike as alike:
        return Outcome(name, refused=alike.message, alike=True)
    except Refused as refused:
        return Outcome(name, refused=refused.message)


ROUTES = [
    Route("/school/hand-in", ask, methods=["GET"]),
    Route("/school/hand-in", take, methods=["POST"]),
]
