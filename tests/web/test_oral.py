import re

import pytest

from worlds import exported


def begun(browser, **more):
    """The address of an oral and its first page."""
    answer = browser.get("/s/me/exam", params={"by": "Ina Vesper", "questions": "2", **more})
    assert answer.status_code == 303
    address = answer.headers["location"]
    return address, browser.get(address).text


def marked(browser, address, at, **form):
    answer = browser.post(address, data={"at": str(at), **form})
    assert answer.status_code == 303, answer.text
    return browser.get(answer.headers["location"]).text


def orals(place):
    return [entry for entry in exported(place) if entry["what"] == "oral"]


def judged(page):
    """What is sent where a question is not ticked, and where it is."""
    return {"given": ["1"]} if "Tick what was said" in page else {"judged": "right"}


def test_who_examines_is_asked_first_and_then_the_oral_has_an_address(browse, place):
    browser = browse(place)
    assert 'name="by"' in browser.get("/s/me/exam").text
    address, page = begun(browser)
    assert "Question 1 of 2" in page
    assert browser.get(address).text == page


def test_an_oral_is_marked_to_its_end_and_kept_mark_by_mark(browse, place):
    browser = browse(place)
    address, page = begun(browser)
    for at in range(2):
        page = marked(browser, address, at, **judged(page), remark="slow <b>")
        assert len(orals(place)) == at + 1
    assert "are needed" in page
    assert {entry["marked_by"] for entry in orals(place)} == {"instructor"}
    sheet = browser.get(address.replace("/exam?", "/exam/sheet?"))
    assert "slow &lt;b&gt;" in sheet.text
    assert "sandbox" in sheet.headers["content-security-policy"]


def test_a_mark_sent_twice_is_kept_once_and_moves_on_once(browse, place):
    browser = browse(place)
    address, page = begun(browser)
    for _ in range(3):
        after = marked(browser, address, 0, **judged(page))
    assert len(orals(place)) == 1
    assert "Question 2 of 2" in after


def test_the_last_mark_is_taken_back(browse, place):
    browser = browse(place)
    address, page = begun(browser)
    marked(browser, address, 0, **judged(page))
    assert marked(browser, address, 1, do="back") == page
    assert [entry["what"] for entry in exported(place)] == ["oral", "void"]


@pytest.mark.parametrize("more", [{"by": "x" * 200}, {"seed": "9" * 40}, {"by": "\u202e"}])
def test_an_oral_that_cannot_be_put_is_refused_on_a_page(browse, place, more):
    answer = browse(place).get("/s/me/exam", params={"by": "Ina", "seed": "1", **more})
    assert answer.status_code == 409
    assert "<h1>" in answer.text


def test_a_remark_that_is_too_long_keeps_what_was_ticked(browse, place):
    browser = browse(place)
    address, page = begun(browser)
    answer = browser.post(address, data={"at": "0", **judged(page), "remark": "x" * 600})
    assert answer.status_code == 422
    assert "500 characters" in answer.text
    assert place.stored() == []


def test_the_seed_is_drawn_anew_for_each_oral(browse, place):
    browser = browse(place)
    seeds = {re.search(r"seed=(\d+)", begun(browser)[0])[1] for _ in range(3)}
    assert len(seeds) == 3
