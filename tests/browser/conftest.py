"""A real browser on a real server; where the machine has none these tests are left out, and say so."""

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright

import worlds
from shells import blank, courses, no_waiting, place, school, session, template
from stickback.services import folder as folders
from stickback.store import engine
from stickback.web.app import application
from stickback.web.server import bound
from worlds import Place

__all__ = ["blank", "courses", "no_waiting", "place", "school", "session", "template"]

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
UNCLEAR = "status of 422"  # a form that was not understood, which a browser tells of as an error
SIZES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "laptop": {"viewport": {"width": 1280, "height": 800}},
}


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


@pytest.fixture(scope="session")
def every_kind(blank: Place, tmp_path_factory: pytest.TempPathFactory) -> Place:
    """A course with a question of every kind, and a student who has its radio rules; to be copied."""
    folder = tmp_path_factory.mktemp("kinds")
    folders.begin(folder / "course")
    place = replace(blank.copied(folder / "begun.db"), course=folder / "course")
    place.does("student", "set", "me", "--phraseology", "uk")
    return place.settled(folder / "kinds.db")


@contextmanager
def serving(at: Place, **more: Any) -> Iterator[str]:
    """Serves a place on a socket of its own; gives its address."""
    app = application(at.course, engine.locate(str(at.db)), lambda: date.fromisoformat(worlds.DAY), **more)
    listening = bound("127.0.0.1", 0)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", access_log=False))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def served() -> Iterator[Callable[..., str]]:
    """Serves a place and gives its address."""
    with ExitStack() as running:
        yield lambda at, **more: running.enter_context(serving(at, **more))


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Callable[..., Page]]:
    """A page of a size at an address: `open_page(url, "phone", scripts=False, scheme="dark")`; it may say no error."""
    contexts, errors = [], list[str]()

    def opened(url: str, size: str = "phone", *, scripts: bool = True, scheme: str = "light") -> Page:
        context = browser.new_context(base_url=url, java_script_enabled=scripts, color_scheme=scheme, **SIZES[size])
        context.set_default_timeout(10_000)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on(
            "console",
            lambda said: errors.append(said.text) if said.type == "error" and UNCLEAR not in said.text else None,
        )
        page.goto("/")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert errors == []
