"""What is heard: spoken by the browser where it has a voice, and else shown for as long as it takes to say."""

import pytest
from playwright.sync_api import expect

from stickback import clock

ASKED = f"/s/me/review/taxi-clearance/{clock.uuid7(1_780_272_000_000, 1)}"

# A voice that says nothing, and remembers what it was to say.
VOICE = """
globalThis.said = [];
globalThis.SpeechSynthesisUtterance = class extends EventTarget {
  constructor(text) { super(); this.text = text; }
};
Object.defineProperty(globalThis, "speechSynthesis", { value: {
  getVoices: () => [{ lang: "de-DE", name: "other" }, { lang: "en_GB", name: "this" }],
  cancel: () => said.splice(0),
  speak: (one) => {
    said.push({ text: one.text, rate: one.rate, lang: one.lang, voice: one.voice?.name });
    one.dispatchEvent(new Event(globalThis.broken ? "error" : "end"));
  },
} });
"""


def voiced(page):
    page.clock.install()
    page.add_init_script(VOICE)


@pytest.fixture
def tuned(served, open_page, every_kind, tmp_path):
    """A student's page whose radio is set: `tuned("pace 120")`."""

    def page(how, **more):
        place = every_kind.copied(tmp_path / "here.db")
        place.does("student", "set", "me", "--listen", how)
        return open_page(served(place), prepared=voiced, **more)

    return page


def spoken(page):
    return page.evaluate("said")


@pytest.mark.parametrize("how", ["pace 120", "pace 90, noise heavy"])
def test_a_transmission_is_spoken_at_the_pace_that_was_set_and_not_shown(tuned, how):
    page = tuned(how)
    page.goto(ASKED)
    expect(page.locator(".heard")).to_be_hidden()
    assert spoken(page) == []  # a browser speaks only once its page was touched
    page.get_by_role("button", name="listen").click()
    (one,) = spoken(page)
    assert "holding point" in one["text"]
    assert "surface wind two four zero" in one["text"]
    assert one["rate"] == pytest.approx(int(how[5:8].rstrip(",")) / 180)
    assert (one["lang"], one["voice"]) == ("en-GB", "this")
    expect(page.locator(".heard")).to_be_hidden()
    expect(page.locator("#given")).to_be_focused()


def test_a_switch_that_is_pressed_late_loses_the_first_word(tuned):
    page = tuned("clipped")
    page.goto(ASKED)
    page.get_by_role("button", name="listen").click()
    whole = page.locator(".heard").get_attribute("data-speak")
    assert [one["text"] for one in spoken(page)] == [whole.partition(" ")[2]]


def test_what_is_said_again_is_spoken_once_more_and_stands_in_the_answer(tuned):
    page = tuned("on")
    page.goto(ASKED)
    page.get_by_role("button", name="listen").click()
    page.locator("#given").fill("G-TW")
    page.get_by_role("button", name="say again").click()
    assert len(spoken(page)) == 1
    assert page.locator("#given").input_value() == "say again: G-TW"


def test_where_the_voice_fails_the_words_are_shown(tuned):
    page = tuned("on")
    page.goto(ASKED)
    page.evaluate("globalThis.broken = true")
    page.get_by_role("button", name="listen").click()
    expect(page.locator(".heard")).to_be_visible()


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_without_a_voice_it_stands_there_for_its_speaking_time_and_comes_back_when_asked_for(tuned, size):
    page = tuned("off", size=size)
    page.goto(ASKED)
    heard = page.locator(".heard")
    seconds = float(heard.get_attribute("data-heard"))
    assert seconds > 2
    page.clock.run_for(int(1000 * seconds) - 500)
    expect(heard).to_be_visible()
    page.clock.run_for(1000)
    expect(heard).to_be_hidden()
    page.get_by_role("button", name="say again").click()
    expect(heard).to_be_visible()
    assert spoken(page) == []


def test_without_scripts_it_stays(tuned):
    page = tuned("on", scripts=False)
    page.goto(ASKED)
    expect(page.locator(".heard")).to_be_visible()
