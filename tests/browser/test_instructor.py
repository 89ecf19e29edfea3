"""What an instructor does on a page, in a real browser: mends a deck, records a flight, reads what was flagged."""

import pytest
from playwright.sync_api import expect

import worlds
from browser.windows import follow
from worlds import exported

WITH_AND_WITHOUT = pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])


def timed(page):
    """Gives a page a clock that a test moves on: its script looks each second whether a file has changed."""
    page.clock.install()


def test_a_deck_error_is_shown_and_clears_when_it_is_mended(served, open_page, place, tmp_path):
    folder = worlds.write(tmp_path / "course")
    deck = folder / "more.md"
    deck.write_text("---\ntopic: feet\n---\n\n## Which foot? {#which-foot}\n\n- [ ] Left\n- [ ] Right\n")
    page = open_page(served(type(place)(folder, place.db)), "laptop", prepared=timed)
    page.goto("/course")
    page.get_by_text("No option is marked as right.").wait_for()
    deck.write_text(deck.read_text().replace("- [ ] Left", "- [x] Left"))
    page.clock.run_for(1000)
    page.get_by_text("No option is marked as right.").wait_for(state="detached")


def test_a_deck_is_loaded_again_when_its_question_is_mended(served, open_page, place, tmp_path):
    folder = worlds.write(tmp_path / "course")
    page = open_page(served(type(place)(folder, place.db)), "laptop", prepared=timed)
    page.goto("/course/deck/feet.md")
    deck = folder / "feet.md"
    deck.write_text(deck.read_text().replace("How fast is the approach?", "How fast do you come in?"))
    page.clock.run_for(1000)
    expect(page.get_by_role("heading", name="How fast do you come in?")).to_be_visible()


@WITH_AND_WITHOUT
def test_a_flight_is_recorded_from_its_lesson_and_what_went_wrong_leads_to_its_topics(
    served, open_page, place, scripts
):
    page = open_page(served(place), scripts=scripts)
    page.goto("/s/me/lesson/ground")
    follow(page.get_by_role("link", name="Record a flight"))
    page.get_by_label("Who saw it").fill("Ina Vesper")
    page.get_by_text("with the instructor").click()
    page.get_by_text("Taxiing: the foot comes late").click()
    page.get_by_text("met with prompting").click()
    page.get_by_label("Landings to a full stop").fill("4")
    page.get_by_label("Wind").fill("240/12")
    page.get_by_label("Anything to remember").fill("Late on the left")
    follow(page.get_by_role("button", name="Record it"))
    expect(page.get_by_role("status")).to_have_text("The flight is recorded.")
    expect(page.get_by_text("Taxiing: the foot comes late")).to_be_visible()
    (entry,) = exported(place)
    assert entry["what"] == "flown"
    assert "Ina Vesper" in str(entry)
    page.goto("/s/me")
    expect(page.get_by_text("seen in flight").first).to_be_visible()


def test_a_flight_that_is_not_understood_keeps_what_was_written(served, open_page, place):
    page = open_page(served(place), scripts=False)
    page.goto("/s/me/flown/ground")
    page.get_by_text("Taxiing: the foot comes late").click()
    page.get_by_label("Wind").fill("a breeze")
    with page.expect_response(lambda answer: answer.status == 422):
        follow(page.get_by_role("button", name="Record it"))
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label("Wind")).to_have_value("a breeze")
    expect(page.get_by_label("Taxiing: the foot comes late")).to_be_checked()
    assert place.stored() == []


@WITH_AND_WITHOUT
def test_a_note_on_a_question_leads_back_to_it_and_reaches_the_instructor(served, open_page, place, scripts):
    page = open_page(served(place), scripts=scripts)
    follow(page.get_by_role("link", name="Start"))
    title, asked = page.locator("h1").inner_text(), page.url
    follow(page.get_by_role("link", name="Flag"))
    page.get_by_label("A line for your instructor").fill("Our <b>school</b> teaches it otherwise")
    follow(page.get_by_role("button", name="Flag it"))
    assert page.url == asked
    expect(page.locator("form[data-manner]")).to_be_visible()
    page.goto("/course/questions")
    expect(page.get_by_role("heading", name=title)).to_be_visible()
    expect(page.get_by_text("Our <b>school</b> teaches it otherwise")).to_be_visible()
