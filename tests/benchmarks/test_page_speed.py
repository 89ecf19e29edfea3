"""What a question and its answer cost on the page, over what any page and any stored row cost; and fifty at once.

Server and browsers are processes of their own and speak real HTTP. A bare route of the same web server, and one that
stores a row in the same kind of database, are measured by turns with the page's.
"""

import http.client
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from statistics import median, quantiles
from time import monotonic, perf_counter
from urllib.parse import urlencode

import pytest

import behind
from stickback import clock
from stickback.services import folder
from stickback.store import engine, log, union
from stickback.study.student import Student
from year import TODAY, entries

RUNS = 60
MOST_OVER_A_PAGE, MOST_OVER_A_ROW = 20, 8
MOST_FIRST, MOST_AFTER = 60_000, 15_000  # bytes
AT_ONCE, SECONDS = 50, 60
LONG = 240  # minutes a day: more than can be answered meanwhile

SERVER = """
import sys, uvicorn
from datetime import date
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Mount, Route
import sqlalchemy as sa
from stickback.services import folder
from stickback.store import engine
from stickback.web.app import application
from stickback.web.server import bound

store = engine.locate(sys.argv[1])
plain = sa.create_engine(sys.argv[2]) if sys.argv[2] != "-" else None
if plain is not None:
    with plain.begin() as one:
        if plain.dialect.name == "sqlite":
            one.exec_driver_sql("PRAGMA journal_mode = WAL")
        one.exec_driver_sql("CREATE TABLE rows (name TEXT)")

def row(request):
    with plain.begin() as one:
        one.exec_driver_sql("INSERT INTO rows VALUES ('x')")
    return PlainTextResponse("stored")

bare = [Route("/bare", lambda request: PlainTextResponse("bare")), Route("/row", row, methods=["POST"])]
app = application(folder.shipped(), store, lambda: date.fromisoformat(sys.argv[3]))
listening = bound("127.0.0.1", 0)
listening.listen(128)
print(listening.getsockname()[1], flush=True)
whole = Starlette(routes=[*bare, Mount("/", app)])
uvicorn.Server(uvicorn.Config(whole, log_level="error", access_log=False)).run(sockets=[listening])
"""

pytestmark = pytest.mark.bench


class Visitor:
    """A browser that keeps its connection: what it was answered, and how long that took."""

    def __init__(self, port: int) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)

    def __enter__(self) -> "Visitor":
        return self

    def __exit__(self, *_: object) -> None:
        self.connection.close()

    def ask(self, method: str, path: str, **form: str) -> tuple[int, str, bytes, float]:
        """Status, where it leads to, the page, and seconds."""
        headers = {"Sec-Fetch-Site": "same-origin", "Content-Type": "application/x-www-form-urlencoded"}
        start = perf_counter()
        self.connection.request(method, path, urlencode(form) if form else None, headers)
        answer = self.connection.getresponse()
        body = answer.read()
        return answer.status, answer.headers.get("location", ""), body, perf_counter() - start

    def answer(self, name: str) -> tuple[float, float, int]:
        """One question put and answered: seconds of its page and of its answer, and the page's bytes; 0 at the end."""
        status, address, page, first = self.ask("GET", f"/s/{name}/review")
        if status == 200:
            return 0.0, 0.0, len(page)
        assert status == 303
        status, _, page, seconds = self.ask("GET", address)
        assert status == 200
        status, mark, told, stored = self.ask("POST", address, other="unknown")
        assert (status, mark) == (303, address), told.decode()
        return first + seconds, stored, len(page)


@pytest.fixture
def serve() -> Iterator[Callable[..., int]]:
    """Serves a database beside the bare routes, in a process of its own; gives the port."""
    running: list[subprocess.Popen[str]] = []

    def started(url: str, plain: str = "-") -> int:
        command = [sys.executable, "-c", SERVER, url, plain, str(TODAY)]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        running.append(process)
        assert process.stdout is not None
        return int(process.stdout.readline())

    yield started
    for process in running:
        process.terminate()
        process.wait(10)
        assert process.stdout is not None
        process.stdout.close()


def told(name: str, values: list[float], capsys) -> float:
    """The median, after it and the 95th percentile are printed."""
    with capsys.disabled():
        most = quantiles(values, n=20)[18]
        print(f"\n{name}: median {1000 * median(values):.1f} ms, 95 of 100 within {1000 * most:.1f}")
    return median(values)


def test_a_question_and_its_answer_cost_little_more_than_a_page_and_a_row(serve, tmp_path, capsys):
    store, course = engine.locate(str(tmp_path / "used.db")), folder.load(folder.shipped())
    union.merge(store, (("me", entry) for entry in entries(course)))
    applicable = course.applicable(next(iter(course.sheets.values())), "icao")
    asked = [key.rpartition("/")[2] for key in applicable][:RUNS]
    engine.close()
    port = serve(str(tmp_path / "used.db"), f"sqlite:///{tmp_path / 'plain.db'}")
    times = {name: [] for name in ("bare", "question", "row", "answer")}
    with Visitor(port) as visitor:
        visitor.answer("me")
        for number, question in enumerate(asked):
            address = f"/s/me/review/{question}/{clock.uuid7(clock.day_number(TODAY) * 86_400_000, number)}"
            times["bare"].append(visitor.ask("GET", "/bare")[3])
            times["row"].append(visitor.ask("POST", "/row", x="1")[3])
            times["question"].append(visitor.ask("GET", address)[3])
            times["answer"].append(visitor.ask("POST", address, other="unknown")[3])
    found = {name: told(name, values, capsys) for name, values in times.items()}
    with capsys.disabled():
        print(f"\na question {found['question'] / found['bare']:.1f} times a bare page,", end=" ")
        print(f"an answer {found['answer'] / found['row']:.1f} times a stored row")
    assert found["question"] <= MOST_OVER_A_PAGE * found["bare"]
    assert found["answer"] <= MOST_OVER_A_ROW * found["row"]


def test_a_page_is_light(serve, tmp_path, capsys):
    port = serve(str(tmp_path / "new.db"))
    with Visitor(port) as visitor:
        _, address, _, _ = visitor.ask("GET", "/s/me/review")
        page = visitor.ask("GET", address)[2]
        parts = re.findall(rb'(?:href|src)="(/static/[^"]+)"', page)
        first = len(page) + sum(len(visitor.ask("GET", part.decode())[2]) for part in parts)
    with capsys.disabled():
        print(f"\nfirst {first} bytes, after that {len(page)}")
    assert first <= MOST_FIRST
    assert len(page) <= MOST_AFTER


@pytest.mark.parametrize("kind", ["files", "server"])
def test_fifty_students_answer_at_once(serve, request, kind, tmp_path, capsys):
    store = request.getfixturevalue(kind).empty(tmp_path)
    names = [f"student{n}" for n in range(AT_ONCE)]
    for name in names:
        behind.put(store, Student(name=name, minutes=LONG))
    engine.close()
    port, end = serve(store.dialect.url if kind == "server" else store.name), monotonic() + SECONDS

    def study(name: str) -> tuple[int, list[float]]:
        many, times = 0, []
        with Visitor(port) as visitor:
            while monotonic() < end:
                shown, stored, _ = visitor.answer(name)
                if not stored:
                    break
                many, times = many + 1, [*times, shown, stored]
        return many, times

    with ThreadPoolExecutor(AT_ONCE) as pool:
        found = list(pool.map(study, names))
    told(f"{kind}, {sum(many for many, _ in found)} answers", [each for _, times in found for each in times], capsys)
    kept = [(name, entry.id) for name, entry in log.entries_of(store) if entry.what == "answer"]
    assert len(kept) == len(set(kept)) == sum(many for many, _ in found)
