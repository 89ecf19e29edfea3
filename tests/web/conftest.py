"""A place for the page: see `shells`; and a browser's requests to it, without a socket."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

import worlds
from shells import blank, courses, every_kind, no_waiting, place, school, session, template
from stickback.store import engine
from stickback.web.app import application
from worlds import Place

__all__ = ["blank", "browse", "courses", "every_kind", "no_waiting", "place", "school", "session", "template"]

OWN = {"sec-fetch-site": "same-origin"}


@pytest.fixture
def browse() -> Callable[..., TestClient]:
    """A browser at a place, on the day of the tests: `browse(place)`, `browse(place, other_folder)`."""

    def browser(at: Place, course: Path | None = None, **more: object) -> TestClient:
        day = date.fromisoformat(worlds.DAY)
        app = application(course or at.course, engine.locate(str(at.db)), lambda: day, **more)
        return TestClient(app, "http://127.0.0.1", headers=OWN, follow_redirects=False)

    return browser
