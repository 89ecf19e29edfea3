"""The whole way of a school on PostgreSQL in a real browser: from an invitation to where only the tombstone is left."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

import behind
from browser.test_school_server import enter, faults, keeps_keys
from browser.windows import follow
from signing import DAY, cheap
from stickback.services import folder, person
from stickback.store import engine
from stickback.store.tables import STUDENTS
from stickback.web.gate import School

__all__ = ["cheap", "keeps_keys"]

ASKED = 3  # questions of the sitting


@pytest.fixture
def school(place, server, tmp_path):
    """A place on PostgreSQL whose school alone may come in yet; and the invitation of the school."""
    away = server.sweep()
    store = server.empty(tmp_path)
    at = replace(place, db=store.dialect.url)
    otto = person.add(store, folder.load(place.course), "Otto Rehn", "school", [], DAY)
    yield at, store, f"/invitation/{otto.token}"
    engine.close()
    away()


def looked_at(page, name):
    """What is wrong with a page on a phone, on a laptop, and where it is narrow."""
    size, found = page.viewport_size, []
    for wide, high in ((390, 844), (1280, 800)):
        page.set_viewport_size({"width": wide, "height": high})
        found += faults(page, f"{name}-{wide}")
    page.set_viewport_size({"width": 320, "height": 640})
    if (wide := page.evaluate("document.documentElement.scrollWidth")) > 320:
        found.append((name, "wider than the screen", wide))
    page.set_viewport_size(size)
    return found


def invited(head, name, role, *given):
    """The address by which somebody comes in whom the school invites on its page."""
    head.goto("/persons")
    head.get_by_text("Invite somebody").click()
    head.get_by_label("Name", exact=True).fill(name)
    head.get_by_label("Role").last.select_option(role)
    follow(head.get_by_role("button", name="Make the invitation"))
    address = head.locator("code").first.inner_text()
    for student in given:
        head.goto("/persons")
        follow(head.get_by_role("link", name=name, exact=True))
        head.get_by_text(student, exact=True).click()
        follow(head.get_by_role("button", name="Save"))
    return address


def answer(page):
    """Answers the question on a page, as well as somebody does who taps the first thing there is."""
    options = page.locator("form[data-manner] label.option")
    if options.count():
        options.first.click()
        follow(page.get_by_role("button", name="think so"))
    else:
        follow(page.get_by_role("button", name="I don’t know"))
    page.locator("#mark").wait_for()


def test_from_the_invitation_to_where_only_the_tombstone_is_left(served, open_page, school, keeps_keys):
    place, store, first = school
    url = served(place, school=School()).replace("127.0.0.1", "localhost")
    student, teacher, head = open_page(url), open_page(url, "laptop"), open_page(url, "laptop", scheme="dark")
    keeps_keys(student)

    enter(head, first)
    wanted = invited(head, "Ada Lund", "student")
    found = looked_at(head, "way-invited")
    to_teach = invited(head, "Ina Vesper", "instructor", "Ada Lund")
    found += looked_at(head, "way-person")

    student.goto(wanted)
    found += looked_at(student, "way-invitation")
    enter(student, wanted)
    found += looked_at(student, "way-today")
    student.goto("/mine")
    follow(student.get_by_role("button", name="Keep a key on this device"))
    student.get_by_text("not used yet").wait_for()
    found += looked_at(student, "way-keys")
    follow(student.get_by_role("button", name="Sign out", exact=True))
    found += looked_at(student, "way-sign-in")
    follow(student.get_by_role("button", name="Sign in with the key of this device"))
    student.wait_for_url(re.compile(r"/s/Ada%20Lund$"))

    follow(student.get_by_role("link", name="Start"))
    found += looked_at(student, "way-question")
    for number in range(ASKED):
        answer(student)
        if number < ASKED - 1:
            follow(student.locator("#next"))
    found += looked_at(student, "way-mark")

    enter(teacher, to_teach)
    follow(teacher.get_by_role("link", name="Ada Lund", exact=True))
    teacher.goto("/s/Ada%20Lund/exam")
    teacher.get_by_label("How many questions").fill("1")
    follow(teacher.get_by_role("button", name="Begin"))
    found += looked_at(teacher, "way-oral")
    follow(teacher.get_by_role("button", name=re.compile("Right, as I judge|Mark what was said")))
    follow(teacher.get_by_role("link", name="The sheet of results"))
    teacher.get_by_text("Ina Vesper, signed in").first.wait_for()

    head.goto("/school")
    head.get_by_role("link", name="Ada Lund", exact=True).wait_for()
    found += looked_at(head, "way-board")

    student.goto("/mine/data")
    with student.expect_download() as file:
        student.get_by_role("link", name="Take the log along, as a file").click()
    lines = [json.loads(line) for line in Path(file.value.path()).read_text().splitlines()]
    assert [line["what"] for line in lines].count("answer") == ASKED
    assert {line["student"] for line in lines} == {"Ada Lund"}
    student.get_by_text(f"{len(lines)} entries in the log").wait_for()
    student.get_by_text("Ask to be erased").click()
    found += looked_at(student, "way-data")
    follow(student.get_by_role("button", name="Ask the school to erase me"))
    student.get_by_text("The school has yet to confirm it.").wait_for()

    head.goto("/persons")
    head.get_by_text("asks to be erased").first.wait_for()
    found += looked_at(head, "way-wish")
    follow(head.get_by_role("link", name="Ada Lund", exact=True))
    follow(head.get_by_role("button", name="Erase Ada Lund for good"))
    head.get_by_text("erased someone with everything kept").wait_for()
    found += looked_at(head, "way-erased")

    student.goto("/")
    follow(student.get_by_role("button", name="Sign in with the key of this device"))
    student.get_by_text("This key does not open here").wait_for()
    with store.reading() as connection:
        kept = {table: connection.exec_driver_sql(f"SELECT * FROM {table}").all() for table in STUDENTS.metadata.tables}
    assert [table for table, rows in kept.items() if "Ada" in str(rows)] == []
    assert (len(kept["tombstones"]), kept["entries"], kept["passkeys"], kept["students"]) == (1, [], [], [])
    assert behind.erased(store, ["Ada Lund"]) == {"Ada Lund"}
    assert store.unguarded() == []
    assert found == []
