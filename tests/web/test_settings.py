import pytest

from worlds import exported

SENT = {"aircraft": "", "phraseology": "uk", "minutes": "10", "listen": "off"}


def changed(browser, **form):
    return browser.post("/s/me/settings", data={**SENT, **form})


def test_settings_are_kept_and_shown_again(browse, place):
    browser = browse(place)
    answer = changed(
        browser, phraseology="faa", next_lesson="take-off", next_on="2026-06-08", minutes="20", abroad="yes"
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/s/me")
    page = browser.get("/s/me/settings").text
    selected = [f'value="{each}" selected' for each in ("faa", "take-off")]
    for shown in (*selected, 'value="2026-06-08"', 'value="20"', 'value="yes" checked'):
        assert shown in page
    assert [entry["what"] for entry in exported(place)] == ["settings"]


def test_what_is_left_empty_is_taken_away(browse, place):
    browser = browse(place)
    changed(browser, next_lesson="take-off", next_on="2026-06-08", checkride="2026-07-01")
    changed(browser)
    assert 'value="2026-' not in browser.get("/s/me/settings").text


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"checkride": "2026-05-31"}, "in the past"),
        ({"checkride": "soon"}, "no date"),
        ({"minutes": "0"}, "Minutes a day"),
        ({"minutes": "ten"}, "no number"),
        ({"aircraft": "nimbus"}, "nimbus"),
        ({"phraseology": "<b>"}, "&lt;b&gt;"),
        ({"next_lesson": "moon"}, "moon"),
        ({"listen": "loud"}, "loud"),
    ],
)
def test_what_cannot_be_set_is_said_and_nothing_is_kept(browse, place, wrong, said):
    answer = changed(browse(place), **wrong)
    assert answer.status_code == 422
    assert said in answer.text
    assert place.stored() == []
