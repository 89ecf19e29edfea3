"""A sitting through forms alone, as a browser without scripts sends them."""

import re
from pathlib import Path
from uuid import UUID

import pytest

from stickback.refused import Refused
from stickback.web.review import began
from typed import in_letters
from worlds import exported

BAR = "3 points are listened for: right with all 3 of them."


def asked(browser, **wish):
    """The address and page of the next question."""
    answer = browser.get("/s/me/review", params=wish)
    assert answer.status_code == 303
    return answer.headers["location"], browser.get(answer.headers["location"]).text


def told(browser, url, **form):
    """The page after an answer."""
    answer = browser.post(url, data=form)
    assert answer.status_code == 303, answer.text
    return browser.get(answer.headers["location"]).text


def test_a_question_has_an_address_under_which_it_stays_the_same(browse, place):
    browser = browse(place)
    url, page = asked(browser)
    assert browser.get(url).text == page
    other, _ = asked(browser)
    assert other != url


def test_an_answer_is_stored_once_however_often_its_form_is_sent(browse, place):
    browser = browse(place)
    url, _ = asked(browser, topic="feet")
    first = told(browser, url, given="a", confidence="sure")
    assert told(browser, url, given="b", confidence="guess") == first
    ((asking, *kept),) = place.raw("SELECT id, question, seed, given FROM entries")
    assert asking == url.rpartition("/")[2].partition("?")[0]
    assert in_letters(place.course, *kept) == "a"


def test_the_mark_says_what_was_right_and_leads_on(browse, place):
    browser = browse(place)
    url, _ = asked(browser, topic="feet")
    page = told(browser, url, given="a", confidence="think")
    assert re.search(r"(✓ Right|✗ Not right)\.", page)
    assert 'href="/s/me/review?topic=feet"' in page
    assert 'href="/s/me/lesson/feet"' in page


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"given": "a"}, "Say how sure you are"),
        ({"given": "a", "confidence": "certain"}, "Say how sure you are"),
        ({"given": "zz", "confidence": "sure"}, "That was not understood"),
        ({"confidence": "sure"}, "That was not understood"),
    ],
)
def test_a_form_that_is_no_answer_comes_back_and_nothing_is_stored(browse, place, form, says):
    browser = browse(place)
    url, _ = asked(browser)
    answer = browser.post(url, data=form)
    assert answer.status_code == 422
    assert says in answer.text
    assert place.stored() == []


def test_an_asking_that_is_none_and_a_question_that_is_none_are_not_found(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    question, _, asking = url.rpartition("/")
    for path in (f"{question}/no-asking", f"{question}/{UUID(int=0)}", f"/s/me/review/nothing/{asking}"):
        assert browser.get(path).status_code == 404
        assert browser.post(path, data={"given": "a", "confidence": "sure"}).status_code == 404
    assert place.stored() == []


def test_script_in_an_answer_is_shown_and_not_obeyed(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    answer = browser.post(url, data={"given": "<script>alert(1)</script>", "confidence": "sure"})
    assert "<script>alert" not in answer.text


def test_an_answer_can_be_taken_back(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    told(browser, url, given="a", confidence="guess")
    asking = url.rpartition("/")[2].partition("?")[0]
    for _ in range(3):  # sent again it takes nothing else back
        assert browser.post("/s/me/undo", data={"asking": asking}).status_code == 303
    assert [row[0] for row in place.raw("SELECT what FROM entries ORDER BY what")] == ["answer", "void"]


def test_an_older_mark_takes_back_neither_itself_nor_the_newest(browse, place):
    browser = browse(place)
    askings = []
    for _ in range(2):
        url, _ = asked(browser)
        told(browser, url, other="unknown")
        askings.append(url.rpartition("/")[2].partition("?")[0])
    assert browser.post("/s/me/undo", data={"asking": askings[0]}).status_code == 303
    assert [row[0] for row in place.raw("SELECT what FROM entries")] == ["answer", "answer"]


def test_an_answer_that_cannot_be_stored_stays_in_its_form(browse, place, monkeypatch):
    browser = browse(place)
    url, _ = asked(browser, topic="feet")

    def away(*_, **__):
        raise Refused("The database is locked.")

    with monkeypatch.context() as patched:
        patched.setattr("stickback.store.chain.add", away)
        answer = browser.post(url, data={"given": "a", "confidence": "sure"})
    assert (answer.status_code, "The database is locked." in answer.text) == (422, True)
    assert 'value="a" checked' in answer.text
    assert place.stored() == []


def test_a_whole_sitting_ends_with_what_was_gained(browse, place):
    browser = browse(place)
    for _ in range(60):
        answer = browser.get("/s/me/review")
        if answer.status_code == 200:
            break
        url = answer.headers["location"]
        page = browser.get(url).text
        given = ["a"]
        if 'data-manner="order"' in page:
            given = [" ".join(re.findall(r'data-letter="(\w)"', page))]
        elif 'data-manner="line"' in page:
            given = ["60 kt"]
        elif 'data-manner="cell"' in page:
            given = ["5"]
        elif 'data-manner="aloud"' in page:
            page = browser.get(f"{url}?confidence=think").text
            given = re.findall(r'name="given" value="(\d)"', page)
        told(browser, url, given=given, confidence="think")
    else:
        pytest.fail("the sitting never ended")
    assert "answer" in answer.text


def test_an_asking_tells_when_it_was_put():
    assert began("0189a3f0-8e2a-7000-8000-000000000000") == 0x0189A3F08E2A


def test_not_knowing_is_an_answer_that_is_wrong(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    assert "Not right" in told(browser, url, other="unknown")
    ((given, right, confidence),) = place.raw('SELECT given, "right", confidence FROM entries')
    assert (given, bool(right), confidence) == ("don't know", False, "guess")


def test_what_is_passed_over_is_not_asked_today_and_stores_nothing(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    assert browser.post(url, data={"other": "pass"}).headers["location"] == "/s/me/review"
    assert asked(browser)[0].split("/")[4] != url.split("/")[4]
    assert place.stored() == []


DECKS = Path(__file__).parents[2] / "decks"


def spoken(browser, name="read-backs-rt-conditional"):
    """The page of a question that begins with a transmission."""
    url, _ = asked(browser)
    return browser.get(f"/s/me/review/{name}/{url.rpartition('/')[2]}").text


def test_before_an_answer_is_said_aloud_the_page_says_how_much_of_it_is_enough(browse, place, courses):
    _, page = asked(browse(place, courses["pushes"]))
    assert page.index(BAR) < page.index("Say it aloud")
    _, page = asked(browse(place, courses["steer"]))
    assert "listened for" not in page


def test_what_is_heard_is_shown_unless_the_student_wants_it_spoken(browse, place):
    place.does("--course", DECKS, "student", "set", "me", "--phraseology", "uk")
    page = spoken(browse(place, DECKS))
    assert "data-heard" in page
    assert "data-speak" not in page
    place.does("--course", DECKS, "student", "set", "me", "--listen", "pace 120, noise heavy, clipped")
    page = spoken(browse(place, DECKS))
    assert 'data-pace="120" data-noise="heavy" data-clipped="yes"' in page
    (said,) = re.findall(r'data-speak="([^"]+)"', page)
    assert "behind" in said
    assert not re.search(r"\d", said)  # figures are spoken as the trade says them


def test_a_question_is_flagged_once_however_often_its_form_is_sent(browse, place):
    browser = browse(place)
    url, page = asked(browser, topic="feet")
    assert "/flag?topic=feet" in page
    at = url.replace("?", "/flag?")
    name = re.search(r'name="id" value="([^"]+)"', browser.get(at).text)[1]
    for _ in range(2):
        answer = browser.post(at, data={"id": name, "note": "two\nlines \x1b[31m"})
        assert (answer.status_code, answer.headers["location"]) == (303, url)
    (entry,) = exported(place)
    assert (entry["what"], entry["question"].partition("/")[0], entry["given"]) == ("flag", "small", "two lines [31m")


def test_a_flag_without_a_note_flags_nothing(browse, place):
    browser = browse(place)
    url, _ = asked(browser, topic="feet")
    name = re.search(r'name="id" value="([^"]+)"', browser.get(url.replace("?", "/flag?")).text)[1]
    assert browser.post(url.replace("?", "/flag?"), data={"id": name, "note": "  "}).status_code == 303
    assert place.stored() == []
