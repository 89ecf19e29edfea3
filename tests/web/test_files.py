"""The files that every page needs, and how long a browser keeps them."""

import re

import pytest

from stickback.web import guard
from stickback.web.page import ASKED_AGAIN, FOR_GOOD, stamped


def test_a_browser_keeps_what_a_page_asks_for_for_good(browse, place):
    browser = browse(place)
    asked = re.findall(r'(?:href|src)="(/static/[^"]+\?[^"]+)"', browser.get("/s/me").text)
    assert {each.partition("?")[0].rpartition("/")[2] for each in asked} == {
        "look.css",
        "page.js",
        "icon.svg",
        "icon.png",
    }
    for each in asked:
        answer = browser.get(each)
        wanted = guard.HEADERS | {"Cache-Control": FOR_GOOD}
        assert (answer.status_code, {name: answer.headers[name] for name in guard.HEADERS}) == (200, wanted)


@pytest.mark.parametrize("address", ["/static/look.css", "/static/look.css?", "/static/look.css?0123456789abcdef"])
def test_a_browser_asks_whether_what_has_no_stamp_or_another_still_holds(browse, place, address):
    browser = browse(place)
    headers = browser.get(address).headers
    assert {name: headers[name] for name in guard.HEADERS} == guard.HEADERS | {"Cache-Control": ASKED_AGAIN}
    again = browser.get(address, headers={"if-none-match": headers["etag"]})
    assert (again.status_code, again.headers["cache-control"]) == (304, ASKED_AGAIN)


@pytest.mark.parametrize("name", ["nothing.css", "../files.py", ""])
def test_what_is_not_there_is_not_kept(browse, place, name):
    answer = browse(place).get(f"/static/{name}?{stamped('look.css').partition('?')[2]}")
    assert (answer.status_code, answer.headers["cache-control"]) == (404, "no-store")
