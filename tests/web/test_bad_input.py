"""What no browser of a well-meaning student sends, and what happens to a server: nothing is lost, doubled or obeyed."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta
from html import unescape
from uuid import UUID

import anyio
import pytest
from starlette.testclient import TestClient

import worlds
from stickback import clock
from stickback.web import guard
from typed import in_letters

FORM = {"content-type": "application/x-www-form-urlencoded"}


def asked(browser, topic="feet"):
    """The address of the next question, and its page."""
    url = browser.get("/s/me/review", params={"topic": topic}).headers["location"]
    return url, browser.get(url).text


def under(url, asking):
    """The same question under another asking."""
    before, _, after = url.rpartition("/")
    return f"{before}/{asking}?{after.partition('?')[2]}"


def put_on(day, number=1):
    """An asking that was made at noon of a day."""
    return clock.uuid7(clock.day_number(day) * 86_400_000 + 43_200_000, number)


@pytest.mark.parametrize("days", [-7, -4000, 7, 40_000])
def test_a_form_of_another_day_is_an_answer_of_today(browse, place, days):
    browser, today = browse(place), date.fromisoformat(worlds.DAY)
    asking = put_on(today + timedelta(days=days))
    url = under(asked(browser)[0], asking)
    for _ in range(2):
        assert browser.post(url, data={"given": "a", "confidence": "sure"}).headers["location"] == url
    (entry,) = worlds.exported(place)
    assert (entry["id"], entry["day"]) == (asking, worlds.DAY)
    assert 0 <= entry["seconds"] <= 3600
    assert "WRONG" not in place.does("log", "verify")


def test_two_tabs_are_two_answers_and_the_later_is_practice_in_whichever_order_they_are_sent(browse, place):
    browser = browse(place)
    first, second = asked(browser)[0], asked(browser)[0]
    for url in (second, first):
        assert browser.post(url, data={"given": "a", "confidence": "sure"}).headers["location"] == url
    assert len(place.stored()) == 2
    for seen in (browser, browse(place)):  # what is held between pages, and what is read anew
        assert "Practice: the first answer of the day" in seen.get(second).text
        assert "Practice" not in seen.get(first).text


def test_an_asking_that_was_another_questions_answers_nothing(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    browser.post(url, data={"given": "a", "confidence": "sure"})
    before, asking = place.stored(), UUID(url.rpartition("/")[2].partition("?")[0])
    other = under(asked(browser, "eyes")[0], asking)
    assert browser.post(other, data={"given": "b", "confidence": "guess"}).status_code == 303
    assert place.stored() == before


def test_an_id_of_something_else_in_the_log_is_no_asking(browse, school):
    browser = browse(school)
    ((flown,),) = school.raw("SELECT id FROM entries WHERE what = 'flown'")
    before, url = school.stored(), under(asked(browser)[0], flown)
    answer = browser.post(url, data={"given": "a", "confidence": "sure"}, follow_redirects=True)
    assert answer.status_code in {200, 404, 409}
    assert school.stored() == before


CHANGED = {
    "options": ("- [ ] Forty\n", "- [ ] Thirty\n- [ ] Forty\n"),
    "words": ("How fast is the approach?", "How slow is the approach?"),
}


@pytest.fixture
def course(tmp_path):
    """A course of its own, to be changed; its topic `feet` has one question."""
    return worlds.write(tmp_path / "own", worlds.only("approach"))


@pytest.mark.parametrize("old_new", CHANGED.values(), ids=CHANGED)
def test_an_answer_to_a_question_that_changed_meanwhile_is_asked_for_again(browse, place, course, old_new):
    browser = browse(place, course)
    url, page = asked(browser)
    deck = course / "feet.md"
    deck.write_text(deck.read_text().replace(*old_new))
    form = {"given": "b", "confidence": "sure", **dict(re.findall(r'name="(shown)" value="([^"]+)"', page))}
    answer = browser.post(url, data=form)
    assert answer.status_code == 422
    assert "changed since it was shown" in answer.text
    assert place.stored() == []
    form |= dict(re.findall(r'name="(shown)" value="([^"]+)"', answer.text))
    assert browser.post(url, data=form).status_code == 303
    ((*kept,),) = place.raw("SELECT question, seed, given FROM entries")
    assert in_letters(course, *kept) == "b"


def test_what_was_typed_is_kept_where_its_question_changed_meanwhile(browse, place, tmp_path):
    deck = "---\ntopic: feet\n---\n\n## Read it back {#hold}\n\n> {{ callsign_short }}, **hold position**.\n"
    course = worlds.write(tmp_path / "own", {**worlds.COURSE, "feet.md": deck})
    browser = browse(place, course)
    url, page = asked(browser)
    (course / "feet.md").write_text(deck.replace("Read it back", "Read this back"))
    shown = dict(re.findall(r'name="(shown)" value="([^"]+)"', page))
    answer = browser.post(url, data={"given": "Holding, G-WD", "confidence": "sure", **shown})
    assert (answer.status_code, ">Holding, G-WD</textarea>" in answer.text) == (422, True)


def test_an_answer_on_another_aeroplane_than_the_one_shown_is_asked_for_again(browse, place, course):
    browser = browse(place, course)
    url, page = asked(browser)
    place.does("student", "set", "me", "--aircraft", "dunmere")
    before, shown = place.stored(), dict(re.findall(r'name="(shown)" value="([^"]+)"', page))
    assert browser.post(url, data={"given": "b", "confidence": "sure", **shown}).status_code == 422
    assert place.stored() == before


def test_an_answer_to_a_question_that_is_gone_is_told_so(browse, place, course):
    browser = browse(place, course)
    url, _ = asked(browser)
    (course / "feet.md").unlink()
    answer = browser.post(url, data={"given": "b", "confidence": "sure"})
    assert answer.status_code == 404
    assert "not asked" in answer.text
    assert "nothing was stored" in answer.text
    assert place.stored() == []


def test_a_course_that_cannot_be_read_for_a_moment_loses_nothing(browse, place, course):
    browser = browse(place, course)
    url, _ = asked(browser)
    away = course.rename(course.with_name("away"))
    for answer in (browser.get(url), browser.post(url, data={"given": "b", "confidence": "sure"})):
        assert answer.status_code == 409
        assert "<h1>" in answer.text
    away.rename(course)
    assert browser.post(url, data={"given": "b", "confidence": "sure"}).headers["location"] == url
    assert len(place.stored()) == 1


def test_a_database_that_is_away_for_a_moment_loses_nothing(browse, school):
    browser = browse(school)
    url, _ = asked(browser)
    before, away = school.stored(), school.db.with_name("away")
    school.db.rename(away)
    school.db.mkdir()  # whatever stands there, it is no database
    answer = browser.post(url, data={"given": "a", "confidence": "sure"})
    assert answer.status_code in {409, 422}
    assert "<h1>" in answer.text
    school.db.rmdir()
    away.rename(school.db)
    assert browser.post(url, data={"given": "a", "confidence": "sure"}).headers["location"] == url
    assert len(school.stored()) == len(before) + 1


EVIL = "<script>alert(1)</script><img src=x onerror=alert(1)>"
EVIL_COURSE = {
    **worlds.only("approach"),
    "lesson-plan.md": worlds.PLAN.replace("A small conversion", EVIL)
    .replace("Lesson 1: The ground", f"Lesson 1: {EVIL}")
    .replace("What the feet do", f"Feet {EVIL}")
    .replace("Short pushes.", f"{EVIL}\n\n![{EVIL}](figures/none.svg)\n\n[x](javascript:alert(1))\n\n`{EVIL}`\n"),
    "sources.md": f"[^book]: {EVIL} javascript:alert(1)\n",
    "feet.md": worlds.only("approach")["feet.md"]
    .replace("How fast", f"{EVIL} How fast")
    .replace("Forty", EVIL)
    .replace("Read the *sheet*.", EVIL)
    .replace("Nothing else does.", EVIL),
    "aircraft/cawdale.md": worlds.COURSE["aircraft/cawdale.md"].replace("name: Cawdale", f"name: '{EVIL}'"),
}


def test_script_in_a_course_a_name_a_note_or_an_answer_is_shown_and_not_obeyed(browse, place, tmp_path):
    course, name = worlds.write(tmp_path / "evil", EVIL_COURSE), "<b onclick=alert(1)>"
    place.does("student", "add", name)
    place.does("note", "feet", EVIL, student=name)
    browser, home = browse(place, course), f"/s/{name}"
    url = browser.get(f"{home}/review", params={"topic": "feet"}).headers["location"]
    pages = [browser.get(f"{url}&hinted=yes"), browser.post(url, data={"given": EVIL, "confidence": "sure"})]
    browser.post(url, data={"given": "b", "confidence": "sure"})
    paths = ("", "/lesson", "/lesson/ground", "/lesson/feet", "/debrief", "/progress", "/outlook", "/settings", "/exam")
    pages += [browser.get(url), *(browser.get(f"{home}{path}") for path in paths)]
    pages += [browser.get(f"{home}/find", params={"words": "alert"}), browser.get("/"), browser.get("/course")]
    pages += [browser.get("/school"), browser.get("/course/coverage")]
    for page in pages:
        tags = re.findall(r"<[^>]*>", page.text)
        # In a tag it may stand within quotation marks, with no mark of its own.
        bare = [re.sub(r'"[^"<>]*"', "", tag) for tag in tags]
        assert not [tag for tag in bare if re.search(r"alert|^<(script|img) *>", tag)], page.url
        assert not re.search(r'(href|src)="\s*javascript:', unescape(page.text)), page.url
    assert sum("alert(1)" in page.text for page in pages) > 9


@pytest.mark.parametrize(
    "path",
    ["..%2flesson-plan.md", "figures/..%2f..%2fx.svg", "%00.svg", f"{'a' * 5000}.svg", "a/" * 600 + "x.svg", "x.svg/"],
)
def test_a_path_that_is_a_trick_is_no_picture(browse, place, path):
    (place.course.parent / "x.svg").write_text("<svg/>")
    answer = browse(place).get(f"/picture/{path}")
    assert answer.status_code == 404
    assert "<h1>" in answer.text


def test_a_link_out_of_the_course_is_no_picture(browse, place, course):
    (course / "out.svg").symlink_to(place.db)
    assert browse(place, course).get("/picture/out.svg").status_code == 404


BODIES = {
    "not a form": (b"{}", {"content-type": "application/json"}),
    "no text": (b"given=%ff%fe&confidence=sure&given=\xff", FORM),
    "a zero": (b"given=%00&confidence=sure", FORM),
    "half a surrogate": (b"given=%ed%a0%80&confidence=sure", FORM),
    "very many fields": (b"given=a&" * 2000 + b"confidence=sure", FORM),
    "parts without a boundary": (b"--x\r\n", {"content-type": "multipart/form-data"}),
    "parts that never end": (
        b"--x\r\nContent-Disposition: form-data; name=given\r\n\r\na",
        {"content-type": "multipart/form-data; boundary=x"},
    ),
    "a file": (
        b'--x\r\nContent-Disposition: form-data; name="given"; filename="a"\r\n\r\na\r\n--x--\r\n',
        {"content-type": "multipart/form-data; boundary=x"},
    ),
    "a very long answer": (b"confidence=sure&given=" + b"z" * 900_000, FORM),
    "nothing": (b"", FORM),
}


@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
@pytest.mark.parametrize("end", ["", "/flag"])
def test_what_is_no_form_of_ours_is_told_and_stores_nothing(browse, place, body, end):
    browser = browse(place)
    url, (content, headers) = asked(browser)[0], body
    answer = browser.post(url.replace("?", f"{end}?"), content=content, headers=headers)
    assert 400 <= answer.status_code < 500
    assert "<h1>" in answer.text
    assert place.stored() == []


def test_an_address_with_a_zero_or_no_text_is_a_page(browse, school):
    for path in ("/s/%00", "/s/%ff", "/s/me/review/%00/x", "/s/me/lesson/%00", "/s/me/find?words=%00", "/s/me%0a/x"):
        answer = browse(school).get(path)
        assert answer.status_code in {200, 404, 409}, path
        assert "<h1>" in answer.text


def alone(work, *arguments):
    """Runs it in a thread of its own: in this one a browser's loop may be running."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(anyio.run, work, *arguments).result()


async def half_sent(app, url, ended):
    """A form of which half is sent, by a client that then is gone, or silent for ever; gives what came back."""
    sent, coming = [], [{"type": "http.request", "body": b"given=a&confi", "more_body": True}]

    async def receive():
        if coming:
            return coming.pop()
        if not ended:
            await anyio.sleep_forever()
        return {"type": "http.disconnect"}

    async def send(message):
        sent.append(message)

    headers = [
        (b"host", b"127.0.0.1"),
        (b"sec-fetch-site", b"same-origin"),
        (b"content-type", FORM["content-type"].encode()),
    ]
    path, _, query = url.partition("?")
    scope = {"type": "http", "method": "POST", "path": path, "query_string": query.encode(), "headers": headers}
    await app(
        {**scope, "raw_path": path.encode(), "root_path": "", "http_version": "1.1", "scheme": "http"},
        receive,
        send,
    )
    return sent


def test_a_client_that_goes_in_the_middle_of_a_form_has_sent_nothing(browse, place):
    browser = browse(place)
    url, _ = asked(browser)
    sent = alone(half_sent, browser.app, url, True)
    assert sent[0]["status"] == 400
    assert place.stored() == []
    assert browser.post(url, data={"given": "a", "confidence": "sure"}).headers["location"] == url


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


def test_a_slow_client_keeps_nobody_waiting(browse, place):
    browser = browse(place)
    url, _ = asked(browser)

    async def beside_a_slow_one():
        async with anyio.create_task_group() as clients:
            clients.start_soon(half_sent, browser.app, url, False)
            await anyio.lowlevel.checkpoint()
            answered = await half_sent(browser.app, url, True)
            clients.cancel_scope.cancel()
        return answered

    assert alone(beside_a_slow_one)[0]["status"] == 400
    assert place.stored() == []
