"""Every page held against WCAG 2.2 AA, as far as `axe-core` can tell, in light and dark, on a phone and a laptop."""

import shutil
from dataclasses import replace
from datetime import date
from typing import NamedTuple

import pytest
from starlette.routing import Route
from starlette.testclient import TestClient

import worlds
from browser.conftest import at_place, serving
from browser.wcag import AXE_SCRIPT, faults
from browser.windows import SIZES
from stickback import clock
from stickback.services import folder, oral, person, review, sign_in
from stickback.services.today import Wish
from stickback.store import engine
from stickback.web import entrance, persons
from stickback.web.app import routes
from stickback.web.gate import School

MORNING = 1_780_272_000_000  # of the day of the tests, in milliseconds
ASKING = clock.uuid7(MORNING, 99)
ASKED = {name: clock.uuid7(MORNING, 20 + number) for number, name in enumerate(worlds.started())}
ORAL = "by=Ina+Vesper&questions=1&seed=4"
OWN = {"sec-fetch-site": "same-origin"}

# Of each address an example or more: what a newcomer meets, and what one who has studied does.
EXAMPLES = {
    "/": ["/"],
    "/s/{student}": ["/s/me", "/s/Bea"],
    "/s/{student}/debrief": ["/s/me/debrief", "/s/Bea/debrief"],
    "/s/{student}/outlook": ["/s/me/outlook", "/s/Bea/outlook"],
    "/s/{student}/progress": ["/s/me/progress", "/s/Bea/progress"],
    "/s/{student}/find": ["/s/me/find", "/s/me/find?words=swing", "/s/me/find?words=zebra"],
    "/s/{student}/lesson": ["/s/me/lesson"],
    "/s/{student}/lesson/{name}": ["/s/me/lesson/on-the-ground", "/s/me/lesson/nose-swings"],
    "/s/{student}/lesson/{name}/card": ["/s/me/lesson/take-off/card"],
    "/s/{student}/review": ["/s/Cal/review?topic=stick-for-wind"],
    "/s/{student}/review/{question}/{asking}": [
        *(f"/s/me/review/{name}/{ASKING}" for name in ASKED),
        *(f"/s/me/review/{name}/{asking}" for name, asking in ASKED.items()),
        f"/s/me/review/tail-up-sharp/{ASKING}?confidence=think&hinted=yes",
        f"/s/Cal/review/taxi-clearance/{ASKING}",
    ],
    "/s/{student}/review/{question}/{asking}/flag": [f"/s/me/review/tail-up-swing/{ASKING}/flag"],
    "/s/{student}/settings": ["/s/me/settings"],
    "/s/{student}/flown/{lesson}": ["/s/me/flown/take-off"],
    "/s/{student}/exam": ["/s/me/exam", "/s/me/exam?by=Ina+Vesper&questions=3&seed=5", f"/s/me/exam?{ORAL}"],
    "/s/{student}/exam/sheet": [f"/s/me/exam/sheet?{ORAL}"],
    "/course": ["/course"],
    "/course/questions": ["/course/questions", "/course/questions?all=yes"],
    "/course/deck/{file:path}": ["/course/deck/first-questions.md", "/course/deck/broken.md"],
    "/course/question/{name}": [
        *(f"/course/question/{name}" for name in ASKED),
        "/course/question/tail-up-swing?given=a",
    ],
    "/school": ["/school", "/school?verdict=sound"],
    "/school/hand-in": ["/school/hand-in"],
    "/school/{student}": ["/school/me"],
    "/school/{student}/handover": ["/school/me/handover"],
    "/sign-in": ["/sign-in"],
    "/invitation/{token}": ["/invitation/{token}"],
    "/mine/data": ["/mine/data"],
    "/kept": ["/kept"],
    "/persons": ["/persons"],
    "/persons/{person}": ["/persons/Ada", "/persons/Ina"],
    "/mine": ["/mine", "/", "/school", "/s/Ada"],
}
TOLD = ["/nowhere", "/s/Nobody"]  # what is said where there is no page
NO_PAGES = {"/mine/stickback.jsonl", "/course/stamp", "/school/readiness.{form}", "/picture/{path:path}"}
BROKEN = "---\ntopic: nose-swings\n---\n\n## Which foot? {#which-foot}\n\n- [ ] Left\n- [ ] Right\n"


class Visited(NamedTuple):
    """A page that goes round one machine, one that goes round a school, and the invitation to that school."""

    alone: object
    school: object
    token: str


# All that another scheme can change: the dark one has other colours and nothing else.
SCHEMES = {"light": {}, "dark": {"runOnly": ["color-contrast", "link-in-text-block"]}}


def answered(browser, place, name, question, asking, *, right):
    """Stores an answer, and shows no more of it."""
    made = place.desk(name)
    session = review.start(made, Wish())
    history = next(each for each in made.questions if each[0].endswith(f"/{question}"))
    step = review.put(session, history, asking)
    given = step.question.body.simulate(step.seed, step.values, right=right)
    sent = browser.post(f"/s/{name}/review/{question}/{asking}", data={"given": given, "confidence": "sure"})
    assert sent.status_code == 303


def heard(place):
    """An answer to the first question of the oral, as an instructor types it."""
    one = oral.put(oral.begin(place.desk(), "Ina Vesper", 1, 4), 0)
    return one.question.body.simulate(one.trial.seed, one.trial.values, right=True)


@pytest.fixture(scope="module")
def studied(every_kind, tmp_path_factory):
    """A course with a mistake in it, `me` who has answered everything there is, Cal one thing, and Bea nothing."""
    folders = tmp_path_factory.mktemp("studied")
    course = shutil.copytree(every_kind.course, folders / "course")
    place = replace(every_kind.copied(folders / "studied.db"), course=course)
    (place.course / "broken.md").write_text(BROKEN)
    place.does("student", "set", "me", "--sign-off", "2026-07-01", "--next", "take-off", "--on", "2026-06-08")
    place.does("student", "add", "Bea")
    place.does("student", "add", "Cal", "--phraseology", "uk", "--listen", "on")
    place.does("note", "nose-swings", "Which way, on the Brackle?")
    place.does("flown", "on-the-ground", "--error", "stick-forgotten")
    store = engine.locate(str(place.db))
    browser = TestClient(at_place(place), "http://127.0.0.1", headers=OWN, follow_redirects=False)
    for number, (question, asking) in enumerate(ASKED.items()):
        answered(browser, place, "me", question, asking, right=number % 3 == 0)
    answered(browser, place, "Cal", "stick-behind-left", clock.uuid7(MORNING, 8), right=True)
    note = {"id": clock.uuid7(MORNING, 9), "note": "The wind is odd"}
    browser.post(f"/s/me/review/stick-behind-left/{ASKED['stick-behind-left']}/flag", data=note)
    assert browser.post(f"/s/me/exam?{ORAL}", data={"at": "0", "given": heard(place)}).status_code == 303
    for name, role in {"Ada": "student", "Ina": "instructor", "Otto": "school"}.items():
        person.add(store, folder.load(place.course), name, role, [], date.fromisoformat(worlds.DAY))
    return place


@pytest.fixture(scope="module")
def visited(browser, studied):
    """See `Visited`; nothing that a page says of itself is believed, so that those to print can be looked into too."""
    store = engine.locate(str(studied.db))
    cookie = sign_in.accept(store, person.invite(store, "Otto").token, "four cows under a windsock", shared=False)
    invited = person.invite(store, "Ada").token
    with serving(at_place(studied)) as alone, serving(at_place(studied, school=School())) as school:
        pages = [browser.new_context(base_url=url, bypass_csp=True).new_page() for url in (alone, school)]
        for page in pages:
            page.add_init_script(AXE_SCRIPT)
        pages[1].context.add_cookies([{"name": School().cookie, "value": cookie, "url": school}])
        yield Visited(*pages, invited)
        for page in pages:
            page.context.close()


def test_a_colour_that_is_too_weak_is_found_in_its_scheme(visited):
    page = visited.alone
    page.goto("/kept")
    page.add_style_tag(content="@media (prefers-color-scheme: dark) { p { color: #555 !important } }")
    found = {}
    for scheme, options in SCHEMES.items():
        page.emulate_media(color_scheme=scheme)
        found[scheme] = {rule for rule, _ in faults(page, **options)}
    assert found == {"light": set(), "dark": {"color-contrast"}}


def test_every_page_there_is_has_an_example():
    served = [route for route in (*routes(), *entrance.ROUTES, *persons.ROUTES) if isinstance(route, Route)]
    shown = {route.path for route in served if "GET" in (route.methods or {"GET"})}
    assert shown - NO_PAGES == set(EXAMPLES)


def opened(visited, path, address):
    """The page at an address, as one who signs in meets it where that is asked of."""
    at_school = path in {each.path for each in (*entrance.ROUTES, *persons.ROUTES)}
    page = visited.school if at_school else visited.alone
    signed = page.context.cookies()
    if path in {"/sign-in", "/invitation/{token}"}:
        page.context.clear_cookies()
    answer = page.goto(address.replace("{token}", visited.token))
    page.context.add_cookies(signed)
    assert answer.ok == (path != "")
    assert page.url.partition("?")[0].endswith(address.replace("{token}", visited.token).partition("?")[0])
    return page


ADDRESSES = [(path, each) for path, addresses in EXAMPLES.items() for each in addresses]


@pytest.mark.parametrize(("path", "address"), [*ADDRESSES, *(("", each) for each in TOLD)])
def test_no_page_stands_in_the_way_of_anyone(visited, path, address):
    page = opened(visited, path, address)
    for size in SIZES.values():
        page.set_viewport_size(size["viewport"])
        for scheme, options in SCHEMES.items():
            page.emulate_media(color_scheme=scheme)
            assert faults(page, **options) == []
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") == 320
