"""What no browser of a well-meaning student sends, and what happens to a server: nothing is lost, doubled or obeyed."""

import re

from starlette.testclient import TestClient

from stickback.web import guard


def test_a_mistake_of_the_program_is_a_page_of_its_own_with_the_same_headers(browse, place, monkeypatch):
    def mistaken(*_):
        raise ZeroDivisionError("a mistake of the program")

    monkeypatch.setattr("stickback.services.today.glance", mistaken)
    browser = TestClient(browse(place).app, "http://127.0.0.1", raise_server_exceptions=False)
    answer = browser.get("/s/me")
    assert answer.status_code == 500
    assert "failed by a mistake in stickback" in answer.text
    assert not re.search("Traceback|ZeroDivision|a mistake of the program", answer.text)
    assert {name: answer.headers[name] for name in guard.HEADERS} == guard.HEADERS
