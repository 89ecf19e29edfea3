"""A sitting in a real browser: by keys, by touch, and without scripts."""

import re

import pytest
from playwright.sync_api import expect

import worlds
from browser.windows import follow
from stickback.kinds.table import KINDS
from stickback.services import folder, try_
from worlds import exported


def line(page, course):
    """A line that the question asked takes: one that is right under other values."""
    name = page.url.split("/review/")[1].partition("/")[0]
    one = try_.trial(folder.load(course), name)
    return one.question.body.simulate(one.seed, one.values, right=True)


def answer(page, course):
    """Answers whatever is asked, by the first thing there is, and comes to its mark."""
    form = page.locator("form[data-manner]")
    manner = form.get_attribute("data-manner")
    if manner == "aloud":
        follow(page.get_by_role("button", name="think so"))
        for option in page.locator(".option").all():
            option.click()
        follow(page.get_by_role("button", name="That is what I said"))
        return
    if manner == "order":
        letters = [step.get_attribute("data-letter") for step in page.locator("[data-letter]").all()]
        if page.locator("[data-letter] button").count():
            for step in page.locator("[data-letter] button").all():
                step.click()
        else:
            page.locator("#given").fill(" ".join(letters))
    elif manner == "line":
        page.locator("#given").fill(line(page, course))
    else:
        page.locator(".option, .grid label").first.click()
    follow(page.get_by_role("button", name="sure", exact=True))


def sit(page, course, answer=answer, most=40):
    """A whole sitting; how many were answered."""
    follow(page.get_by_role("link", name="Start"))
    for number in range(most):
        if not page.locator("form[data-manner]").count():
            return number
        answer(page, course)
        page.locator("#mark").wait_for()
        follow(page.get_by_role("link", name="Next"))
    raise AssertionError("the sitting never ended")


def answers(place):
    """What was answered."""
    return [entry for entry in exported(place) if entry["what"] == "answer"]


@pytest.mark.parametrize("size", ["phone", "laptop"])
@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_sitting_of_every_kind_goes_by_touch_or_mouse_with_and_without_scripts(
    served, open_page, every_kind, tmp_path, size, scripts
):
    place = every_kind.copied(tmp_path / "here.db")
    many = sit(open_page(served(place), size, scripts=scripts), place.course)
    found = answers(place)
    assert len(found) == many
    assert {entry["kind"] for entry in found} == set(KINDS)


def tab_to(page, wanted):
    """Goes on from one thing to the next until it comes to the one wanted."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
            return
    raise AssertionError(f"no key leads to {wanted}")


def press(page, course):
    """Answers whatever is asked and goes on from its mark, by nothing but keys."""
    manner = page.locator("form[data-manner]").get_attribute("data-manner")
    if manner == "aloud":
        with page.expect_navigation():
            page.keyboard.press("t")
        page.keyboard.press("1")
        tab_to(page, "button.first")
        page.keyboard.press("Enter")
    elif manner == "order":
        for _ in page.locator("[data-letter]").all():
            tab_to(page, "[data-letter] button")
            page.keyboard.press("Space")
        page.keyboard.press("s")
    elif manner == "line":
        tab_to(page, "#given")
        page.keyboard.type(line(page, course))
        page.keyboard.press("Enter")
        page.keyboard.press("s")
    else:
        page.keyboard.press("a" if manner in {"one", "several"} else "5")
        page.keyboard.press("s")
    expect(page.locator("#mark")).to_be_focused()
    with page.expect_navigation():
        page.keyboard.press("Enter")


def test_a_sitting_of_every_kind_goes_by_keys_alone(served, open_page, every_kind, tmp_path):
    place = every_kind.copied(tmp_path / "here.db")
    page = open_page(served(place), "laptop")
    tab_to(page, "a.button.first")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    while page.locator("form[data-manner]").count():
        press(page, place.course)
    found = answers(place)
    assert {entry["kind"] for entry in found} == set(KINDS)
    assert {entry["confidence"] for entry in found if entry["kind"] == "number"} == {"sure"}


def test_the_mark_has_the_focus_and_back_shows_it_again(served, open_page, place):
    page = open_page(served(place))
    follow(page.get_by_role("link", name="Start"))
    answer(page, place.course)
    expect(page.locator("#mark")).to_be_focused()
    url = page.url
    follow(page.get_by_role("link", name="Next"))
    page.go_back()
    assert page.url == url
    assert page.locator("#mark").count() == 1
    assert len(place.stored()) == 1


def test_an_answer_is_taken_back_and_the_sitting_goes_on(served, open_page, place):
    page = open_page(served(place))
    follow(page.get_by_role("link", name="Start"))
    answer(page, place.course)
    follow(page.get_by_role("button", name="Take it back"))
    page.locator("form[data-manner]").wait_for()
    assert [row[0] for row in place.raw("SELECT what FROM entries ORDER BY what")] == ["answer", "void"]


def test_a_sitting_goes_on_where_another_device_left_it(served, open_page, place):
    url = served(place)
    phone, laptop = open_page(url), open_page(url, "laptop")
    follow(phone.get_by_role("link", name="Start"))
    answer(phone, place.course)
    first = phone.locator("p.small").first.inner_text()
    follow(laptop.get_by_role("link", name="Start"))
    assert laptop.locator("h1").inner_text() != first
    assert len(place.stored()) == 1


def test_no_question_asks_for_sideways_scrolling_and_options_need_none_downwards(served, open_page, place):
    page = open_page(served(place))
    follow(page.get_by_role("link", name="Start"))
    wide, high = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert (wide, high) == (390, 844)
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_the_mark_leads_to_the_lesson_and_back_to_a_question_about_it(served, open_page, place):
    page = open_page(served(place))
    follow(page.get_by_role("link", name="Start"))
    answer(page, place.course)
    follow(page.get_by_role("link", name="Read the lesson"))
    follow(page.get_by_role("link", name="Ask me about it"))
    assert re.search(r"/review/.+\?topic=", page.url)


@pytest.fixture
def padded(served, open_page, place, tmp_path):
    """A page that asks for a figure on a phone."""
    folder = worlds.write(tmp_path / "course", {**worlds.COURSE, "number.md": NUMBER})
    page = open_page(served(type(place)(folder, place.db)))
    follow(page.get_by_role("link", name="Start"))
    asking = page.url.rpartition("/")[2].partition("?")[0]
    page.goto(f"/s/me/review/drift/{asking}")
    return page


def touched(page, *keys):
    """What stands in the field after these keys of the number pad."""
    for key in keys:
        page.locator(".pad button", has_text=re.compile(f"^{key}$")).tap()
    return page.locator("#given").input_value()


def test_a_figure_is_touched_together_with_its_unit(padded):
    assert touched(padded, "1", "2", "⌫", "5", "kt", "kt") == "15 kt"
    assert touched(padded, "⌫") == "15"
    assert touched(padded, "−") == "−15"


def test_a_digit_is_typed_where_the_cursor_is_also_beside_a_unit(padded):
    assert touched(padded, "1", "kt", "5") == "1 kt5"
    assert touched(padded, "⌫") == "1 kt"
    padded.locator("#given").evaluate("field => field.setSelectionRange(1, 1)")
    assert touched(padded, "6", "4") == "164 kt"
    assert touched(padded, "⌫", "⌫") == "1 kt"
    padded.locator("#given").evaluate("field => field.select()")
    assert touched(padded, "7") == "7"


NUMBER = """\
---
topic: eyes
---

## What is the crosswind? {#drift}

### Answer

```number
answer: 15
unit: kt
tolerance: 1
```
"""
