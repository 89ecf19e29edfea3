import re

import pytest

from stickback.web import guard
from stickback.web.guard import Share, host_of

ELSEWHERE = ("192.0.2.7", 4711)
NEWEST = """
SELECT id FROM entries WHERE what IN ('answer', 'flown') AND student = (SELECT key FROM students WHERE name = 'me')
ORDER BY day DESC, id DESC
"""


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "[::1"])
def test_a_host_that_is_not_this_machine_is_not_answered(browse, place, host):
    answer = browse(place).get("/", headers={"host": host})
    assert (answer.status_code, answer.text) == (421, "This address is not served here.")


@pytest.mark.parametrize("host", ["127.0.0.1:8765", "localhost", "[::1]:80", "LOCALHOST:1"])
def test_this_machine_is_answered_under_each_of_its_names(browse, place, host):
    assert browse(place).get("/", headers={"host": host}).status_code == 200


def test_the_host_of_a_header_is_read_without_its_port():
    assert [host_of(each) for each in ("a:1", "[::1]:2", "A", "")] == ["a", "::1", "a", ""]


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"sec-fetch-site": "same-origin"}, 303),
        ({"sec-fetch-site": "none"}, 303),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"origin": "http://127.0.0.1"}, 303),
        ({"origin": "http://127.0.0.1:9"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://["}, 403),
        ({"origin": "http://evil.example", "sec-fetch-site": "cross-site"}, 403),
        ({}, 403),
    ],
)
def test_a_form_is_taken_from_a_page_of_ours_alone(browse, school, headers, status):
    browser = browse(school)
    browser.headers.pop("sec-fetch-site")
    before, (newest,) = len(school.stored()), school.raw(NEWEST)[0]
    assert browser.post("/s/me/undo", data={"asking": newest}, headers=headers).status_code == status
    assert len(school.stored()) - before == (status == 303)


def test_every_answer_tells_the_browser_what_to_keep_from(browse, place):
    browser = browse(place)
    for path in ("/", "/s/me/lesson", "/nowhere"):
        headers = browser.get(path).headers
        assert {name: headers[name] for name in guard.HEADERS} == guard.HEADERS, path


def test_no_page_holds_a_script_or_a_style_of_its_own(browse, place):
    browser = browse(place)
    for path in ("/", "/s/me/lesson", "/s/me/lesson/feet", "/nowhere"):
        text = browser.get(path).text
        assert not re.search(r"<script(?! src=)|<style| style=| on[a-z]+=|javascript:|https?://", text), path


@pytest.mark.parametrize("told", [True, False])
def test_more_than_is_taken_at_once_is_not_read(browse, school, told):
    body = b"x" * 1_000_001
    chunks = body if told else iter([body[:500_000], body[500_000:]])
    before = school.stored()
    kind = {"content-type": "application/x-www-form-urlencoded"}
    url = "/s/me/review/approach/01890000-0000-7000-8000-000000000000"
    answer = browse(school).post(url, content=chunks, headers=kind)
    assert (answer.status_code, school.stored()) == (413, before)


def shared(browse, place):
    share = Share()
    browser = browse(place, share=share)
    browser._transport.client = ELSEWHERE  # the address that the requests come from
    return share, browser


def test_the_network_comes_in_by_the_code_once_and_keeps_a_cookie(browse, place):
    share, browser = shared(browse, place)
    code = share.code
    assert browser.get("/").status_code == 403
    assert browser.get("/?code=wrong").status_code == 403
    answer = browser.get(f"/s/me?code={code}")
    assert (answer.status_code, answer.headers["location"]) == (303, "http://127.0.0.1/s/me")
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert browser.get("/s/me").status_code == 200
    browser.cookies.clear()
    assert browser.get(f"/s/me?code={code}").status_code == 403


def test_this_machine_needs_no_code(browse, place):
    browser = browse(place, share=Share())
    browser._transport.client = ("127.0.0.1", 1)
    assert browser.get("/").status_code == 200
