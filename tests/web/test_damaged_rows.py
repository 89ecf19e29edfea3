"""A row that the program never wrote is named on the page that cannot be shown for it."""

import pytest
from starlette.testclient import TestClient

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
