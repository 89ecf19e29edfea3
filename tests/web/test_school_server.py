"""A school's page: who gets in, and that nobody sees what is not theirs, whatever is asked and whoever asks."""

import json
import re
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest
from starlette.requests import Request
from starlette.routing import Route
from starlette.testclient import TestClient

import authenticator
import worlds
from authenticator import Device
from signing import DAY, PASSWORD, cheap, later
from stickback import clock
from stickback.refused import Unreachable
from stickback.services import folder, person, sign_in
from stickback.services.permission import MAY
from stickback.store import acts, engine
from stickback.web import entrance, gate, persons
from stickback.web.app import application, routes
from stickback.web.gate import ASKS, OPEN, School
from stickback.web.server import Journal

__all__ = ["cheap", "later"]

OWN = {"sec-fetch-site": "same-origin"}
ROLES = {"Ada": "student", "Ina": "instructor", "Otto": "school"}
NAMES = (*ROLES, "Bea")
ASKING = clock.uuid7(1_780_000_000_000, 7)
VALUES = {"name": "feet", "question": "approach", "asking": ASKING, "lesson": "ground", "form": "csv", "path": "x.svg"}
VALUES |= {"file": "feet.md", "token": "no-such-token", "person": "Bea"}
ALL = [route for route in (*routes(), *entrance.ROUTES, *persons.ROUTES) if isinstance(route, Route)]
SERVED = [(method, route.path) for route in ALL for method in sorted((route.methods or {"GET"}) - {"HEAD"})]


@pytest.fixture(scope="module")
def invited(blank, tmp_path_factory):
    """A place with Ada and Bea who study, Ina who instructs nobody yet, and the school's own Otto; to be copied."""
    at = tmp_path_factory.mktemp("invited")
    made = blank.copied(at / "first.db")
    store, course = engine.locate(str(made.db)), folder.load(made.course)
    for name, role in {"Ada": "student", "Bea": "student", "Ina": "instructor", "Otto": "school"}.items():
        person.add(store, course, name, role, [], DAY)
    return made.settled(at / "invited.db")


@pytest.fixture
def place(invited, tmp_path):
    """See `invited`."""
    return invited.copied(tmp_path / "new.db")


@pytest.fixture
def school(place):
    """The database of this place."""
    return engine.locate(str(place.db))


@pytest.fixture
def visit(place, school):
    """A browser at the school's page: `visit("Ada")` is signed in, `visit()` is not."""

    def browser(name=None, **how):
        day = date.fromisoformat(worlds.DAY)
        app = application(place.course, school, lambda: day, school=School(**how))
        scheme = "https" if how.get("behind_proxy") else "http"
        client = TestClient(app, f"{scheme}://127.0.0.1", headers=OWN, follow_redirects=False)
        if name:
            token = sign_in.accept(school, person.invite(school, name).token, PASSWORD, shared=False)
            client.cookies.set(School(**how).cookie, token)
        return client

    return browser


def token(browser):
    """The token of this browser's forms."""
    return gate.token_of(browser.cookies["stickback"])


def address(path, student):
    return re.sub(r"\{(\w+)(:path)?\}", lambda match: {**VALUES, "student": student}[match[1]], path)


def ask(browser, method, path, student, **form):
    at = address(path, student)
    return browser.get(at) if method == "GET" else browser.post(at, data={"token": token(browser), **form})


@pytest.mark.parametrize(("method", "path"), SERVED)
def test_every_address_asks_for_something_or_stands_before_the_door(method, path):
    assert (f"{method} {path}" in ASKS) != (path in OPEN)


def test_no_address_is_in_the_table_that_is_not_there():
    assert set(ASKS) <= {f"{method} {path}" for method, path in SERVED}


def test_nobody_who_is_not_signed_in_sees_anything(visit):
    browser = visit()
    for method, path in (each for each in SERVED if each[1] not in OPEN):
        at = address(path, "Bea")
        answer = browser.get(at) if method == "GET" else browser.post(at, data={})
        if method == "GET":
            assert (answer.status_code, answer.text) == (303, ""), path
            assert answer.headers["location"].startswith("/sign-in")
        else:
            assert (answer.status_code, "Bea" in answer.text) == (401, False), path


@pytest.mark.parametrize("name", ["Ada", "Ina"])
def test_another_student_is_answered_like_one_who_is_not_there(visit, name):
    browser = visit(name)
    of_students = [(method, path) for method, path in SERVED if "{student}" in path]
    for method, path in of_students:
        there, nowhere = (ask(browser, method, path, student) for student in ("Bea", "Nobody"))
        assert (there.status_code, there.text) == (404, nowhere.text), (method, path)
        assert "Bea" not in there.text


@pytest.mark.parametrize("name", ROLES)
def test_who_may_not_do_something_is_told_nothing(visit, name):
    browser, may = visit(name), MAY[ROLES[name]]
    refused = [(method, path) for method, path in SERVED if path not in OPEN and ASKS[f"{method} {path}"] not in may]
    assert refused
    for method, path in refused:
        answer = ask(browser, method, path, name)
        assert (answer.status_code, "There is no such page." in answer.text) == (404, True), (method, path)


def test_everyone_sees_their_own(visit):
    ada, otto = visit("Ada"), visit("Otto")
    assert ada.get("/").headers["location"] == "/s/Ada"
    for path in ("/s/Ada", "/s/Ada/debrief", "/s/Ada/progress", "/s/Ada/lesson", "/s/Ada/settings", "/school/Ada"):
        assert ada.get(path).status_code == 200, path
    for path in ("/", "/school", "/s/Ada", "/s/Bea", "/course", "/school/readiness.csv", "/school/hand-in"):
        assert otto.get(path).status_code == 200, path


def test_an_instructor_sees_those_given_from_then_on_and_nobody_else(visit, school):
    ina = visit("Ina")
    assert "Bea" not in ina.get("/school").text + ina.get("/school/readiness.csv").text + ina.get("/").text
    person.set_(school, "Ina", None, ["Bea"], [])
    assert "Bea" in ina.get("/school").text
    assert "Ada" not in ina.get("/school").text + ina.get("/school/readiness.csv").text + ina.get("/").text
    assert ina.get("/s/Bea").status_code == 200
    person.set_(school, "Ina", None, [], ["Bea"])
    assert ina.get("/s/Bea").status_code == 404


def test_a_form_without_its_token_or_with_anothers_does_nothing(visit):
    browser, other = visit("Otto"), visit("Ada")
    for path in (path for method, path in SERVED if method == "POST" and path not in OPEN):
        for form in ({}, {"token": ""}, {"token": "é"}, {"token": token(other)}):
            answer = browser.post(address(path, "Otto"), data=form)
            assert (answer.status_code, gate.Foreign().message in answer.text) == (403, True), path


def test_every_form_that_is_posted_holds_the_token(visit):
    ada = visit("Ada")
    for path in ("/s/Ada/settings", "/mine", "/s/Ada/flown/ground", "/s/Ada/lesson/feet"):
        page = ada.get(path).text
        posts = re.findall(r"<form\b[^>]*\bpost\b[^>]*>(.{0,60})", page, re.DOTALL)
        assert posts
        assert all(f'name="token" value="{token(ada)[:5]}' in each for each in posts), path


def test_a_question_is_asked_answered_and_marked(visit, school):
    ada = visit("Ada")
    at = ada.get("/s/Ada/review").headers["location"]
    page = ada.get(at).text
    assert token(ada) in page
    answer = ada.post(at, data={"token": token(ada), "other": "unknown"})
    assert answer.status_code == 303
    with school.reading() as connection:
        rows = connection.exec_driver_sql(
            "SELECT p.name FROM entries e JOIN persons p ON p.key = e.person WHERE e.what = 'answer'"
        ).all()
    assert [name for (name,) in rows] == ["Ada"]


def test_signing_in_gives_a_new_cookie_whatever_the_browser_held(visit, school):
    browser = visit("Ada")
    old = browser.cookies["stickback"]
    browser.cookies.set("stickback", "chosen by somebody else")
    answer = browser.post("/sign-in?to=/s/Ada", data={"name": "Ada", "password": PASSWORD})
    assert (answer.status_code, answer.headers["location"]) == (303, "/s/Ada")
    new = re.search(r"stickback=([^;]+)", answer.headers["set-cookie"])[1]
    assert new not in {old, "chosen by somebody else"}
    assert sign_in.signed(school, "chosen by somebody else") is None


def test_the_session_before_is_over_when_one_signs_in_again(visit, school):
    browser = visit("Ada")
    old = browser.cookies["stickback"]
    browser.post("/sign-in", data={"name": "Ada", "password": PASSWORD})
    assert sign_in.signed(school, old) is None


def test_the_cookie_is_kept_from_scripts_other_sites_and_plain_connections(visit):
    visit("Ada")
    browser = visit(site="https://127.0.0.1", behind_proxy=True)
    answer = browser.post("/sign-in", data={"name": "Ada", "password": PASSWORD})
    said = answer.headers["set-cookie"]
    assert said.startswith("__Host-stickback=")
    assert {"HttpOnly", "Secure", "Path=/", "SameSite=lax"} <= set(said.split("; "))
    assert "Max-Age=2592000" in said
    assert "Domain" not in said
    assert answer.headers["strict-transport-security"] == "max-age=31536000"
    shared = visit(site="https://127.0.0.1", behind_proxy=True)
    said = shared.post("/sign-in", data={"name": "Ada", "password": PASSWORD, "shared": "yes"}).headers["set-cookie"]
    assert "Max-Age" not in said


@pytest.mark.parametrize("to", ["//evil.example", "https://evil.example", "/\\evil.example", "evil", "/a\r\nb"])
def test_signing_in_leads_to_no_other_site(visit, to):
    visit("Ada")
    answer = visit().post("/sign-in", params={"to": to}, data={"name": "Ada", "password": PASSWORD})
    assert answer.headers["location"] == "/"


def test_a_wrong_password_says_no_more_than_that(visit):
    visit("Ada")
    browser = visit()
    said = {
        browser.post("/sign-in", data={"name": name, "password": "no"}).text.replace(name, "X")
        for name in ("Ada", "Eve")
    }
    assert len(said) == 1
    assert "do not belong together" in said.pop()


def test_who_tries_too_often_is_told_how_long_to_wait(visit):
    visit("Ada")
    browser = visit()
    for _ in range(sign_in.FREE):
        browser.post("/sign-in", data={"name": "Ada", "password": "no"})
    answer = browser.post("/sign-in", data={"name": "Ada", "password": PASSWORD})
    assert (answer.status_code, answer.headers["retry-after"]) == (429, "1")


def test_only_our_own_proxy_says_where_a_request_comes_from(visit):
    visit("Ada")
    browser = visit()
    for number in range(sign_in.FREE):
        sent = {"x-forwarded-for": f"192.0.2.{number}"}
        browser.post("/sign-in", data={"name": "Ada", "password": "no"}, headers=sent)
    assert browser.post("/sign-in", data={"name": "Ada", "password": "no"}).status_code == 429


def test_behind_a_proxy_only_what_it_added_counts(visit):
    visit("Ada")
    browser = visit(site="https://127.0.0.1", behind_proxy=True)
    for number in range(sign_in.FREE):
        sent = {"x-forwarded-for": f"192.0.2.{number}, 198.51.100.1"}
        browser.post("/sign-in", data={"name": "Ada", "password": "no"}, headers=sent)
    sent = {"x-forwarded-for": "198.51.100.2"}
    assert browser.post("/sign-in", data={"name": "Ada", "password": "no"}, headers=sent).status_code == 422
    sent = {"x-forwarded-for": "203.0.113.9, 198.51.100.1"}
    assert browser.post("/sign-in", data={"name": "Ada", "password": "no"}, headers=sent).status_code == 429


def test_a_school_answers_under_its_own_name_and_no_other(visit):
    browser = visit(site="https://school.example", behind_proxy=True)
    assert browser.get("/sign-in", headers={"host": "school.example"}).status_code == 200
    assert browser.get("/sign-in", headers={"host": "evil.example"}).status_code == 421


def test_an_invitation_is_used_by_the_first_of_two(visit, school):
    at = f"/invitation/{person.invite(school, 'Ada').token}"
    first, second = visit(), visit()
    assert "Welcome, Ada" in first.get(at).text
    assert "Welcome, Ada" in second.get(at).text
    assert first.post(at, data={"password": PASSWORD}).headers["location"] == "/"
    late = second.post(at, data={"password": "another four words here"})
    assert (late.status_code, "set-cookie" in late.headers) == (409, False)
    assert "serves no more" in late.text


def test_an_invitation_with_an_easy_password_says_so_and_serves_again(visit, school):
    at = f"/invitation/{person.invite(school, 'Ada').token}"
    answer = visit().post(at, data={"password": "passwordpassword"})
    assert (answer.status_code, "easy to guess" in answer.text) == (422, True)
    assert visit().post(at, data={"password": PASSWORD}).status_code == 303


def test_sessions_are_shown_and_ended(visit, school):
    here = visit("Ada")
    away = visit()
    away.post("/sign-in", data={"name": "Ada", "password": PASSWORD, "shared": "yes"})
    page = here.get("/mine").text
    assert ("This device" in page, "Another device, used by others too" in page) == (True, True)
    here.post("/mine", data={"token": token(here), "do": "others"})
    assert away.get("/s/Ada").headers["location"].startswith("/sign-in")
    here.post("/sign-out", data={"token": token(here)})
    assert here.get("/s/Ada").headers["location"].startswith("/sign-in")


def test_an_instructors_name_stands_on_an_oral_whoever_is_said_to_put_it(visit, school):
    person.set_(school, "Ina", None, ["Bea"], [])
    ina = visit("Ina")
    at = ina.get("/s/Bea/exam?by=Somebody+else&questions=1").headers["location"]
    page = ina.get(at).text
    form = {"token": token(ina), "at": "0", "judged": "right"}
    form = {"token": token(ina), "at": "0", "given": "1"} if "Tick what was said" in page else form
    ina.post(at, data=form)
    rows = _given(school, "oral")
    assert len(rows) == 1
    assert '"by": "Ina"' in rows[0]
    assert "Ina, signed in" in ina.get(at.replace("/exam?", "/exam/sheet?")).text
    assert ("Ina", "entry:oral", "Bea") in [(act.who, act.what, act.whom) for act in acts.read(school)]


def test_an_instructor_removed_in_the_middle_of_an_oral_marks_nothing_more(visit, school):
    person.set_(school, "Ina", None, ["Bea"], [])
    ina = visit("Ina")
    at = ina.get("/s/Bea/exam?by=Ina&questions=3").headers["location"]
    person.remove(school, "Ina")
    assert ina.post(at, data={"token": token(ina), "at": "0", "judged": "right"}).status_code == 401
    assert _given(school, "oral") == []


def test_a_student_records_a_flight_as_their_own_whatever_is_sent(visit, school):
    ada = visit("Ada")
    name = clock.uuid7(1_780_000_000_000, 9)
    ada.post("/s/Ada/flown/ground", data={"token": token(ada), "id": name, "by": "instructor"})
    with school.reading() as connection:
        marked = connection.exec_driver_sql("SELECT marked_by FROM entries WHERE what = 'flown'").scalars().all()
    assert marked == ["self"]


def _given(store, what):
    with store.reading() as connection:
        return connection.exec_driver_sql(f"SELECT given FROM entries WHERE what = '{what}'").scalars().all()


def test_what_is_taken_along_is_written_down(visit, school):
    visit("Otto").get("/school/readiness.csv")
    assert ("Otto", "exported") in [(act.who, act.what) for act in acts.read(school)]


def test_without_signing_in_everything_is_as_it_was(browse, blank, tmp_path):
    browser = browse(blank.copied(tmp_path / "alone.db"))
    assert "Sign" not in browser.get("/").text
    assert 'name="token"' not in browser.get("/s/me/settings").text
    assert browser.get("/sign-in").status_code == 404


@pytest.fixture
def away(monkeypatch):
    """The database is away for the next tries: `away(3)`; nobody waits between them."""
    monkeypatch.setattr(gate, "PAUSES", (0.0, 0.0, 0.0))
    left, real = [0], sign_in.signed

    def signed(store, cookie):
        if left[0] > 0:
            left[0] -= 1
            raise Unreachable("The server cannot be reached.")
        return real(store, cookie)

    monkeypatch.setattr(sign_in, "signed", signed)
    return lambda tries: left.__setitem__(0, tries)


def test_a_database_that_is_away_for_a_moment_costs_a_wait_and_no_answer(visit, away):
    ada = visit("Ada")
    away(3)
    at = ada.get("/s/Ada/review").headers["location"]
    away(3)
    assert ada.post(at, data={"token": token(ada), "other": "unknown"}).status_code == 303
    assert "mark" in ada.get(at).text


def test_where_it_stays_away_the_form_stays_too_and_is_sent_again_under_its_asking(visit, away, school):
    ada = visit("Ada")
    at = ada.get("/s/Ada/review").headers["location"]
    away(4)
    answer = ada.post(at, data={"token": token(ada), "other": "unknown"})
    assert (answer.status_code, "Not stored yet" in answer.text) == (503, True)
    sent = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', answer.text))
    assert sent == {"token": token(ada), "other": "unknown"}
    for _ in range(2):
        assert ada.post(at, data=sent).status_code == 303
    assert len(_given(school, "answer")) == 1


def test_a_password_is_never_put_into_a_page(visit, monkeypatch):
    visit("Ada")
    monkeypatch.setattr(gate, "PAUSES", ())

    def gone(*_, **__):
        raise Unreachable("The server cannot be reached.")

    monkeypatch.setattr(sign_in, "sign_in", gone)
    answer = visit().post("/sign-in", data={"name": "Ada", "password": PASSWORD})
    assert (answer.status_code, PASSWORD in answer.text) == (503, False)


def test_whoever_looks_after_the_server_may_ask_how_it_is(visit, place, monkeypatch):
    browser = visit()
    assert (browser.get("/health/live").text, browser.get("/health/ready").text) == ("live", "ready")

    def gone(_):
        raise Unreachable("The server cannot be reached.")

    monkeypatch.setattr(engine.Database, "reading", gone)
    answer = browser.get("/health/ready")
    assert (answer.status_code, answer.text) == (503, "not ready")
    assert browser.get("/health/live").status_code == 200


def test_a_line_of_a_request_holds_no_name_and_no_answer(visit):
    ada, lines = visit("Ada"), []
    ada.app = Journal(ada.app, lines.append)
    browser = TestClient(ada.app, "http://127.0.0.1", headers=OWN, follow_redirects=False, cookies=ada.cookies)
    for path in ("/s/Ada/find?words=secret", "/s/Bea", "/nowhere/Ada", "/static/look.css"):
        browser.get(path)
    found = [json.loads(line) for line in lines]
    assert [(line["address"], line["status"]) for line in found] == [
        ("/s/{student}/find", 200),
        ("/s/{student}", 404),
        (None, 404),
        ("/static/", 200),
    ]
    assert not any(word in "".join(lines) for word in ("Ada", "Bea", "secret"))


def test_what_is_kept_is_told_to_whoever_asks(visit):
    assert "What is kept here, why, and how long" in visit().get("/kept").text


def test_a_person_takes_along_everything_and_nothing_of_others(visit, school, place, tmp_path):
    ada = visit("Ada")
    at = ada.get("/s/Ada/review").headers["location"]
    ada.post(at, data={"token": token(ada), "other": "unknown"})
    page, file = ada.get("/mine/data").text, ada.get("/mine/stickback.jsonl")
    assert "2 entries in the log" in page
    assert "minutes 10; phraseology" in page
    assert "Bea" not in page + file.text
    (tmp_path / "mine.jsonl").write_bytes(file.content)
    place.does("log", "import", tmp_path / "mine.jsonl", "--dry-run")
    assert ("Ada", "took along", "Ada") in [(act.who, act.what, act.whom) for act in acts.read(school)]


def test_a_person_asks_to_be_erased_and_the_school_confirms_it(visit, school):
    ada, otto = visit("Ada"), visit("Otto")
    ada.post("/mine/data", data={"token": token(ada), "do": "erase"})
    assert "asks to be erased" in otto.get("/persons").text
    otto.post("/persons/Ada", data={"token": token(otto), "do": "erase"})
    assert ada.get("/mine").headers["location"].startswith("/sign-in")
    assert "Ada" not in otto.get("/persons").text
    assert "Ada" not in otto.get("/school").text


def test_a_wish_is_taken_back_or_answered_with_staying(visit):
    ada, otto = visit("Ada"), visit("Otto")
    ask_for = {"token": token(ada), "do": "erase"}
    ada.post("/mine/data", data=ask_for)
    assert "You asked to be erased" in ada.get("/mine/data").text
    ada.post("/mine/data", data={**ask_for, "do": "stay"})
    assert "You asked to be erased" not in ada.get("/mine/data").text
    ada.post("/mine/data", data=ask_for)
    otto.post("/persons/Ada", data={"token": token(otto), "do": "stay"})
    assert "You asked to be erased" not in ada.get("/mine/data").text


def test_nobody_is_erased_who_did_not_ask_and_nobody_confirms_their_own(visit):
    otto = visit("Otto")
    form = {"token": token(otto), "do": "erase"}
    assert "did not ask to be erased" in otto.post("/persons/Ada", data=form).text
    otto.post("/mine/data", data=form)
    assert "Nobody confirms their own" in otto.post("/persons/Otto", data=form).text


@pytest.fixture
def named(visit):
    """A browser at a school that has a name, without which there are no keys."""
    return lambda name=None: visit(name, site=authenticator.ORIGIN, behind_proxy=True)


@pytest.fixture
def device(named):
    """A device with a key of Ada's, and the browser in which it was made."""
    ada, made = at_school(named("Ada")), Device()
    key = made.keeps(ada.post("/mine/key", data={"token": proxied(ada)}).text)
    answer = ada.post("/mine", data={"token": proxied(ada), "do": "add", "key": key, "called": "My phone"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/mine")
    return made, ada


def at_school(browser):
    browser.base_url = authenticator.ORIGIN
    for each in [*browser.cookies.jar]:
        browser.cookies.set(each.name, each.value, domain=authenticator.HOST)
    return browser


def proxied(browser):
    return gate.token_of(browser.cookies.get("__Host-stickback", domain=authenticator.HOST))


def test_a_key_of_a_device_signs_in_and_no_password_is_typed(device, named):
    made, _ = device
    browser = at_school(named())
    assert "Sign in with the key of this device" in browser.get("/sign-in").text
    asked = browser.post("/sign-in/key")
    assert {"HttpOnly", "Secure", "SameSite=lax"} <= set(asked.headers["set-cookie"].split("; "))
    before = browser.cookies["__Host-stickback"]
    answer = browser.post("/sign-in?to=/s/Ada", data={"key": made.signs(asked.text), "name": "", "password": ""})
    assert (answer.status_code, answer.headers["location"]) == (303, "/s/Ada")
    assert browser.cookies["__Host-stickback"] != before
    assert browser.get("/s/Ada").status_code == 200


def test_what_one_browser_was_asked_signs_in_no_other(device, named):
    made, _ = device
    browser, other = at_school(named()), at_school(named())
    signed = made.signs(browser.post("/sign-in/key").text)
    other.post("/sign-in/key")
    answer = other.post("/sign-in", data={"key": signed})
    assert (answer.status_code, "took too long" in answer.text) == (422, True)
    assert other.get("/s/Ada").headers["location"].startswith("/sign-in")


def test_keys_that_fail_too_often_are_told_how_long_to_wait(device, named):
    made, _ = device
    browser = at_school(named())
    for _ in range(sign_in.FREE):
        assert browser.post("/sign-in", data={"key": replace(made, flags=0).signs(browser.post("/sign-in/key").text)})
    answer = browser.post("/sign-in", data={"key": made.signs(browser.post("/sign-in/key").text)})
    assert (answer.status_code, answer.headers["retry-after"]) == (429, "1")


def test_an_invitation_is_taken_up_with_a_key_of_the_device(named, school):
    at, browser, made = f"/invitation/{person.invite(school, 'Bea').token}", at_school(named()), Device()
    assert "keep a key on this device" in browser.get(at).text
    answer = browser.post(at, data={"key": made.keeps(browser.post(f"{at}/key").text), "password": ""})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert browser.get("/s/Bea").status_code == 200
    assert browser.post(f"{at}/key").status_code == 409


def test_keys_are_shown_named_and_removed(device):
    _, ada = device
    (id_,) = re.findall(r'name="id" value="([^"]+)"', ada.get("/mine").text)
    ada.post("/mine", data={"token": proxied(ada), "do": "rename", "id": id_, "called": "<b>"})
    assert "&lt;b&gt;" in ada.get("/mine").text
    assert "&lt;b&gt;" in ada.get("/mine/data").text
    answer = ada.post("/mine", data={"token": proxied(ada), "do": "rename", "id": id_, "called": "a\nb"})
    assert (answer.status_code, "A name is" in answer.text) == (422, True)
    ada.post("/mine", data={"token": proxied(ada), "do": "remove", "id": id_})
    assert 'name="id"' not in ada.get("/mine").text


@pytest.mark.parametrize("do", ["rename", "remove"])
def test_a_key_of_another_is_left_alone(device, named, school, do):
    _, ada = device
    (id_,) = re.findall(r'name="id" value="([^"]+)"', ada.get("/mine").text)
    bea = at_school(named("Bea"))
    answer = bea.post("/mine", data={"token": proxied(bea), "do": do, "id": id_, "called": "mine"})
    nowhere = bea.post("/mine", data={"token": proxied(bea), "do": do, "id": "nothing", "called": "mine"})
    assert (answer.status_code, answer.headers["location"]) == (nowhere.status_code, nowhere.headers["location"])
    assert "My phone" in ada.get("/mine").text


@pytest.mark.parametrize(
    ("site", "host", "expected"),
    [
        (None, "localhost:8765", ("localhost", "http://localhost:8765")),
        (None, "127.0.0.1:8765", None),
        ("https://school.example", "localhost", ("school.example", "https://school.example")),
        ("https://School.example:443/", "", ("school.example", "https://school.example")),
        ("https://school.example:8443", "", ("school.example", "https://school.example:8443")),
        ("https://192.0.2.7", "", None),
        ("https://[2001:db8::7]", "", None),
    ],
)
def test_keys_are_made_for_the_name_of_the_site_and_for_no_number(site, host, expected):
    scope = {"type": "http", "headers": [(b"host", host.encode())], "app": SimpleNamespace()}
    scope["app"].state = SimpleNamespace(school=School(site))
    found = entrance.browser(Request(scope))
    assert (found and (found.host, found.origin)) == expected


def test_where_the_page_has_no_name_it_has_no_keys_and_works_by_passwords(visit):
    ada = visit("Ada")
    assert "key of this device" not in visit().get("/sign-in").text
    assert "key on this device" not in ada.get("/mine").text
    assert visit().post("/sign-in/key").status_code == 404
    assert visit().post("/sign-in", data={"key": "{}"}).status_code == 404
    assert ada.post("/mine/key", data={"token": token(ada)}).status_code == 404


def test_the_school_invites_anew_on_its_page(visit):
    otto = visit("Otto")
    page = otto.post("/persons/Ada", data={"token": token(otto), "do": "invite"}).text
    at = re.search(r"http://127.0.0.1(/invitation/[\w-]+)", page)[1]
    assert "<svg" in page
    assert "Welcome, Ada" in visit().get(at).text


def test_the_school_invites_somebody_new_on_its_page(visit, school):
    otto = visit("Otto")
    page = otto.post("/persons", data={"token": token(otto), "name": " Cyd  Marsh ", "role": "student"}).text
    at = re.search(r"http://127.0.0.1(/invitation/[\w-]+)", page)[1]
    assert "Welcome, Cyd Marsh" in visit().get(at).text
    assert "Cyd Marsh" in otto.get("/school").text
    assert ("Otto", "invited", "Cyd Marsh") in [(act.who, act.what, act.whom) for act in acts.read(school)]


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"name": "ADA", "role": "student"}, "There is a person &#39;Ada&#39; already"),
        ({"name": "Cyd", "role": "king"}, "Say what the person is here"),
        ({"name": "", "role": "student"}, "A name is 1 to 80 letters"),
        ({"name": "\u202eada", "role": "student"}, "A name is 1 to 80 letters"),
        ({"name": "me", "role": "school"}, "whoever sits at a terminal"),
    ],
)
def test_whom_the_school_cannot_invite_it_is_told(visit, school, sent, says):
    otto = visit("Otto")
    answer = otto.post("/persons", data={"token": token(otto), **sent})
    assert (answer.status_code, says in answer.text) == (422, True)
    assert len(person.listed(school)) == len(NAMES)


def test_what_was_typed_of_somebody_who_cannot_be_invited_is_still_there(visit):
    otto = visit("Otto")
    page = otto.post("/persons", data={"token": token(otto), "name": "ADA", "role": "instructor"}).text
    assert 'value="ADA"' in page
    assert "<option selected>instructor</option>" in page


def test_the_school_says_what_a_person_is_and_whom_an_instructor_sees(visit, school):
    otto, ina = visit("Otto"), visit("Ina")
    form = {"token": token(otto), "do": "set", "role": "instructor"}
    otto.post("/persons/Ina", data={**form, "student": ["Ada", "Bea"]})
    assert ina.get("/s/Bea").status_code == 200
    otto.post("/persons/Ina", data={**form, "student": ["Ada"]})
    assert (ina.get("/s/Ada").status_code, ina.get("/s/Bea").status_code) == (200, 404)
    assert otto.post("/persons/Ina", data={**form, "student": ["Nobody"]}).status_code == 422
    otto.post("/persons/Ina", data={**form, "role": "student", "student": ["Ada"]})
    assert ina.get("/s/Ada").status_code == 404
    assert person.find(school, "Ina").students == ()


def test_the_school_takes_an_invitation_back_signs_out_and_shuts_out(visit, school):
    otto, ada = visit("Otto"), visit("Ada")
    at = f"/invitation/{person.invite(school, 'Ina').token}"
    assert "not used yet" in otto.get("/persons/Ina").text
    otto.post("/persons/Ina", data={"token": token(otto), "do": "revoke"})
    assert visit().get(at).status_code == 409
    again = otto.post("/persons/Ina", data={"token": token(otto), "do": "revoke"})
    assert (again.status_code, "no invitation that still serves" in again.text) == (422, True)
    assert "Signed in on 1 device" in otto.get("/persons/Ada").text
    otto.post("/persons/Ada", data={"token": token(otto), "do": "sign out"})
    assert ada.get("/s/Ada").headers["location"].startswith("/sign-in")
    otto.post("/persons/Ada", data={"token": token(otto), "do": "remove"})
    assert otto.get("/persons/Ada").status_code == 404
    assert "Ada" in otto.get("/school").text


def test_nobody_shuts_out_or_lowers_themselves(visit):
    otto = visit("Otto")
    for form, says in (
        ({"do": "remove"}, "Nobody shuts themselves out"),
        ({"do": "set", "role": "student"}, "Nobody changes their own role"),
    ):
        answer = otto.post("/persons/Otto", data={"token": token(otto), **form})
        assert (answer.status_code, says in answer.text) == (422, True)
    assert otto.get("/persons").status_code == 200


def test_a_person_who_is_not_there_is_no_page(visit):
    otto = visit("Otto")
    assert otto.get("/persons/Nobody").status_code == 404
    for do in ("invite", "remove", "erase", "set"):
        assert otto.post("/persons/Nobody", data={"token": token(otto), "do": do}).status_code == 404
