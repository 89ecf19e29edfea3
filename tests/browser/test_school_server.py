"""The whole way of a school in a real browser: invited, inside, answering, out again; each page held against WCAG."""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser import wcag
from browser.windows import follow
from signing import DAY, PASSWORD, cheap
from stickback.services import folder, person
from stickback.store import engine
from stickback.web.gate import School

__all__ = ["cheap"]

SHOTS = os.environ.get("SHOTS")  # a folder: pictures of the pages are put there to be looked at


@pytest.fixture
def school(place):
    """A place with a student, her instructor, and the school."""
    store, course = engine.locate(str(place.db)), folder.load(place.course)
    invited = {}
    for name, role, given in (("Ada", "student", []), ("Ina", "instructor", ["Ada"]), ("Otto", "school", [])):
        invited[name] = f"/invitation/{person.add(store, course, name, role, given, DAY).token}"
    return place, invited


def faults(page, name):
    if SHOTS:
        page.screenshot(path=Path(SHOTS) / f"{name}.png", full_page=True)
    return [(name, *fault) for fault in wcag.faults(page)]


def enter(page, address):
    page.goto(address)
    page.get_by_label("Password").fill(PASSWORD)
    follow(page.get_by_role("button", name="Keep it and go in"))
    page.wait_for_url(re.compile(r"/(s/[^/]+)?$"))


@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("laptop", "dark")])
def test_a_student_is_invited_answers_and_leaves(served, open_page, school, size, scheme):
    place, invited = school
    page = open_page(served(place, school=School()), size, scheme=scheme)
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    found = faults(page, f"sign-in-{size}")
    page.goto(invited["Ada"])
    found += faults(page, f"invitation-{size}")
    enter(page, invited["Ada"])
    found += faults(page, f"today-{size}")
    follow(page.get_by_role("link", name="Start"))
    follow(page.get_by_role("button", name="I don’t know"))
    page.locator("#mark").wait_for()
    page.goto("/mine/data")
    page.get_by_text("Ask to be erased").click()
    found += faults(page, f"data-{size}")
    page.goto("/kept")
    found += faults(page, f"kept-{size}")
    page.goto("/mine")
    found += faults(page, f"mine-{size}")
    follow(page.get_by_role("button", name="Sign out", exact=True))
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    page.goto("/s/Ada")
    page.get_by_label("Your name").fill("ada")
    page.get_by_label("Password").fill(PASSWORD)
    follow(page.get_by_role("button", name="Sign in"))
    page.wait_for_url(re.compile(r"/s/Ada$"))
    assert found == []


@pytest.fixture
def keeps_keys():
    """Gives the browser of a page a device that keeps keys, and knows who touches it: for this test alone."""
    device = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True}
    device |= {"isUserVerified": True, "automaticPresenceSimulation": True}
    sessions = []

    def given(page):
        session = page.context.new_cdp_session(page)
        session.send("WebAuthn.enable")
        session.send("WebAuthn.addVirtualAuthenticator", {"options": device})
        sessions.append(session)

    yield given
    for session in sessions:
        session.send("WebAuthn.disable")
        session.detach()


@pytest.mark.parametrize(("size", "scheme"), [("phone", "dark"), ("laptop", "light")])
def test_a_key_of_the_device_lets_a_student_in(served, open_page, school, keeps_keys, size, scheme):
    place, invited = school
    page = open_page(served(place, school=School()).replace("127.0.0.1", "localhost"), size, scheme=scheme)
    keeps_keys(page)
    enter(page, invited["Ada"])
    page.goto("/mine")
    follow(page.get_by_role("button", name="Keep a key on this device"))
    page.get_by_text("not used yet").wait_for()
    page.get_by_text("Call it something else").click()
    found = faults(page, f"keys-{size}")
    page.get_by_role("button", name="Keep a key on this device").click()
    page.get_by_text("There may be one on this device already").wait_for()
    follow(page.get_by_role("button", name="Sign out", exact=True))
    follow(page.get_by_role("button", name="Sign in with the key of this device"))
    page.wait_for_url(re.compile(r"/s/Ada$"))
    page.goto("/mine")
    page.get_by_text("Call it something else").click()
    follow(page.get_by_role("button", name="Remove Key 1"))
    follow(page.get_by_role("button", name="Sign out", exact=True))
    follow(page.get_by_role("button", name="Sign in with the key of this device"))
    page.get_by_text("This key does not open here").wait_for()
    assert found == []


def test_an_invitation_is_taken_up_with_a_key(served, open_page, school, keeps_keys):
    place, invited = school
    page = open_page(served(place, school=School()).replace("127.0.0.1", "localhost"))
    keeps_keys(page)
    page.goto(invited["Ada"])
    follow(page.get_by_role("button", name="keep a key on this device"))
    page.wait_for_url(re.compile(r"/s/Ada$"))


def test_without_scripts_there_are_no_keys_and_the_password_lets_in(served, open_page, school):
    place, invited = school
    page = open_page(served(place, school=School()).replace("127.0.0.1", "localhost"), scripts=False)
    expect(page.get_by_role("button")).to_have_text(["Sign in"])
    enter(page, invited["Ada"])
    page.goto("/mine")
    expect(page.get_by_role("button", name="Keep a key on this device")).to_be_hidden()
    expect(page.get_by_text("This browser keeps no keys")).to_be_visible()


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_an_instructor_puts_an_oral_to_a_student_given(served, open_page, school, size):
    place, invited = school
    page = open_page(served(place, school=School()), size)
    enter(page, invited["Ina"])
    found = faults(page, f"students-{size}")
    follow(page.get_by_role("link", name="Ada", exact=True))
    found += faults(page, f"given-{size}")
    page.goto("/s/Ada/exam")
    page.get_by_label("How many questions").fill("1")
    follow(page.get_by_role("button", name="Begin"))
    found += faults(page, f"oral-{size}")
    follow(page.get_by_role("button", name=re.compile("Right, as I judge|Mark what was said")))
    page.get_by_role("link", name="The sheet of results").wait_for()
    page.goto("/school")
    found += faults(page, f"board-{size}")
    assert found == []


def test_a_student_leaves_with_their_data_and_the_school_erases_them(served, open_page, school):
    place, invited = school
    url = served(place, school=School())
    student, head = open_page(url), open_page(url, "laptop")
    enter(student, invited["Ada"])
    student.goto("/mine/data")
    with student.expect_download() as file:
        student.get_by_role("link", name="Take the log along, as a file").click()
    assert Path(file.value.path()).read_text().count("Ada") == 1
    student.get_by_text("Ask to be erased").click()
    follow(student.get_by_role("button", name="Ask the school to erase me"))
    student.get_by_text("The school has yet to confirm it.").wait_for()
    enter(head, invited["Otto"])
    head.goto("/persons")
    found = faults(head, "persons-laptop")
    follow(head.get_by_role("link", name="Ada", exact=True))
    follow(head.get_by_role("button", name="Invite Ada anew"))
    found += faults(head, "person-laptop")
    follow(head.get_by_role("button", name="Erase Ada for good"))
    head.get_by_text("erased someone with everything kept").wait_for()
    student.goto("/s/Ada")
    expect(student.get_by_role("heading", name="Sign in")).to_be_visible()
    assert found == []


def test_on_a_phone_who_did_what_is_read_without_moving_it_aside(served, open_page, school):
    place, invited = school
    page = open_page(served(place, school=School()), "phone")
    enter(page, invited["Otto"])
    page.goto("/persons")
    table = page.get_by_role("region", name="Who did what")
    assert table.evaluate("it => it.scrollWidth - it.clientWidth") <= 1
