"""A real browser on a real server; where the machine has none these tests are left out, and say so."""

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any, Literal

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.responses import HTMLResponse
from starlette.types import ASGIApp, Receive, Scope, Send

import worlds
from browser.windows import EMPTY, Manner, Windows
from shells import blank, courses, every_kind, no_waiting, place, school, session, template
from stickback.store import engine
from stickback.web.app import application
from stickback.web.guard import HEADERS
from stickback.web.page import stamped
from stickback.web.server import bound
from worlds import Place

__all__ = ["blank", "courses", "every_kind", "no_waiting", "place", "school", "session", "template"]

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's Chromium."""
    if CHROMIUM is None:
        assert os.environ.get("CI") != "true", "these tests need Debian's chromium"
        pytest.skip("no Chromium on this machine: the pages were not tried in a browser")
    with sync_playwright() as playing:
        started = playing.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield started
        started.close()


@contextmanager
def serving(app: ASGIApp) -> Iterator[str]:
    """Serves an application on a socket of its own; gives its address."""
    listening = bound("127.0.0.1", 0)
    server = uvicorn.Server(
        uvicorn.Config(app, log_level="warning", access_log=False, lifespan="off", timeout_keep_alive=60)
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join(10)


def at_place(place: Place, **more: Any) -> ASGIApp:
    """The application at a place, on the day of the tests."""
    return application(place.course, engine.locate(str(place.db)), lambda: date.fromisoformat(worlds.DAY), **more)


@pytest.fixture(scope="session")
def stage() -> Iterator[tuple[str, list[ASGIApp]]]:
    """An address, and the application that answers there; but for `EMPTY`, which keeps the process of a page alive."""
    on, empty = list[ASGIApp](), HTMLResponse(f'<link rel="icon" href="{stamped("icon.svg")}">', headers=HEADERS)

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        await (empty if scope["path"] == EMPTY else on[-1])(scope, receive, send)

    with serving(answer) as url:
        yield url, on


@pytest.fixture
def served(stage: tuple[str, list[ASGIApp]]) -> Callable[..., str]:
    """Serves a place and gives its address, which is the same for all: one at a time."""

    def serve(place: Place, **more: Any) -> str:
        url, on = stage
        on[:] = [at_place(place, **more)]
        return url

    return serve


@pytest.fixture(scope="session")
def windows(browser: Browser) -> Windows:
    """The pages of this browser."""
    return Windows(browser)


@pytest.fixture
def open_page(windows: Windows) -> Iterator[Callable[..., Page]]:
    """A page of a size at an address: `open_page(url, "phone", scripts=False, scheme="dark")`; it may say no error."""
    taken = list[tuple[Manner, Page]]()
    windows.errors.clear()

    def opened(
        url: str,
        size: str = "phone",
        *,
        scripts: bool = True,
        scheme: Literal["light", "dark"] = "light",
        prepared: Callable[[Page], None] | None = None,
    ) -> Page:
        manner = Manner(url, size, scripts, prepared)
        page = windows.take(manner)
        taken.append((manner, page))
        page.emulate_media(color_scheme=scheme)
        page.goto("/")
        return page

    yield opened
    for manner, page in taken:
        windows.give(manner, page)
    assert windows.errors == []
