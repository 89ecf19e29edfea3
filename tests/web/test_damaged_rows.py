"""A row that the program never wrote is named on the page that cannot be shown for it."""

from html import unescape

import pytest
from starlette.testclient import TestClient

from signing import PASSWORD, cheap
from stickback.services import person, sign_in
from stickback.store import engine
from stickback.web.gate import School

__all__ = ["cheap"]

PAGES = ("/", "/s/me", "/s/me/debrief", "/s/me/progress", "/s/me/review", "/school", "/school/me")
DAMAGES = {
    "UPDATE entries SET day = 'nonsense' WHERE what = 'flown'": "is damaged: its &#39;day&#39; cannot be",
    "UPDATE entries SET at = 9e999 WHERE what = 'answer'": "is damaged: it has a day or moment that cannot be",
    "UPDATE students SET checkride = 'soon'": "is damaged: its &#39;checkride&#39; cannot be",
    "UPDATE students SET minutes = 'many'": "is damaged: its &#39;minutes&#39; cannot be",
    "UPDATE entries SET question = CAST(x'ff' AS TEXT) WHERE what = 'answer'": "is damaged: its &#39;question&#39;",
}


@pytest.mark.parametrize(("statement", "says"), DAMAGES.items(), ids=DAMAGES)
def test_a_damaged_row_is_named_on_the_page(school, browse, statement, says):
    school.raw("DROP TRIGGER entries_are_never_changed", statement)
    browser = browse(school)
    browser = TestClient(browser.app, str(browser.base_url), headers=browser.headers, raise_server_exceptions=False)
    shown = [browser.get(page, follow_redirects=True) for page in PAGES]
    failed = [answer for answer in shown if answer.status_code >= 409]
    assert failed
    assert all(says in answer.text for answer in failed), [answer.text[-600:] for answer in failed]
    assert not any("Traceback" in answer.text for answer in shown)


# Of what only a school's page looks into, as SQL: values that differ in kind.
OF_PERSONS = {
    "UPDATE persons SET role = 'pilot'": "The person Otto is damaged: its 'role' cannot be 'pilot'.",
    "UPDATE persons SET name = x'ff00'": "is damaged: its 'name' cannot be b'\\xff\\x00'.",
    "UPDATE sessions SET seen = 'late'": "is damaged: its 'seen' cannot be 'late'.",
    "UPDATE acts SET at = 9e999": "is damaged: its 'at' cannot be inf.",
    "UPDATE acts SET number = 'last' WHERE number = 1": "is damaged: its 'number' cannot be 'last'.",
    "UPDATE passkeys SET made = 9223372036854775807": "is damaged: its 'made' cannot be 9223372036854775807.",
}


@pytest.fixture
def otto(school, browse, cheap):
    """The browser of somebody of the school, who has a key and has taken nothing along yet."""
    store = engine.locate(str(school.db))
    school.does("person", "add", "Otto", "--role", "school")
    cookie = sign_in.accept(store, person.invite(store, "Otto").token, PASSWORD, shared=False)
    school.raw("INSERT INTO passkeys SELECT 1, 'one', key, '00', 0, 'A phone', 1, NULL FROM persons")
    triggers = school.raw("SELECT name FROM sqlite_master WHERE type = 'trigger' AND name LIKE 'acts%'")
    school.raw(*(f"DROP TRIGGER {name}" for (name,) in triggers))
    app = browse(school, school=School()).app
    browser = TestClient(app, "http://127.0.0.1", raise_server_exceptions=False)
    browser.cookies.set("stickback", cookie)
    return browser


@pytest.mark.parametrize(("statement", "says"), OF_PERSONS.items(), ids=OF_PERSONS)
def test_a_damaged_row_is_named_on_a_schools_page(school, otto, statement, says):
    school.raw("PRAGMA ignore_check_constraints = ON", statement)
    shown = [otto.get(page) for page in ("/", "/mine", "/mine/data", "/persons", "/school", "/school/readiness.csv")]
    failed = [answer for answer in shown if answer.status_code >= 409]
    assert failed
    assert all(says in unescape(answer.text) for answer in failed), [answer.text[-600:] for answer in failed]
