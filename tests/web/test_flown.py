import json
import re

import pytest

from worlds import exported


def form(browser, **more):
    """What the form of a lesson sends."""
    name = re.search(r'name="id" value="([^"]+)"', browser.get("/s/me/flown/ground").text)[1]
    return {"id": name, "by": "", "on": "2026-05-31", **more}


def test_a_lesson_leads_to_the_form_that_records_its_flight(browse, place):
    browser = browse(place)
    assert 'href="/s/me/flown/ground"' in browser.get("/s/me/lesson/ground").text
    page = browser.get("/s/me/flown/ground").text
    assert "Taxiing: the foot comes late" in page
    assert 'max="2026-06-01"' in page


def test_a_flight_is_recorded_once_however_often_its_form_is_sent(browse, place):
    browser = browse(place)
    sent = form(browser, error=["late-foot"], seat="dual", by="Ina Vesper", full_stop="4", wind="240/12")
    answers = [browser.post("/s/me/flown/ground", data=sent) for _ in range(3)]
    assert {answer.status_code for answer in answers} == {303}
    page = browser.get(answers[0].headers["location"]).text
    assert "The flight is recorded." in page
    assert "Taxiing: the foot comes late" in page
    (entry,) = exported(place)
    assert (entry["day"], entry["marked_by"]) == ("2026-05-31", "instructor")
    assert json.loads(entry["given"])["full_stop"] == 4


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"on": "2026-06-02"}, "still to come"),
        ({"on": "yesterday"}, "no day"),
        ({"wind": "strong"}, "no wind"),
        ({"wheel": "many"}, "no number"),
        ({"wheel": "999"}, "at the most"),
        ({"error": ["loop"]}, "no error"),
        ({"note": "two\nlines"}, "one line"),
        ({"by": "\u202ebob"}, "a name"),
    ],
)
def test_what_no_log_can_hold_is_said_above_the_form_which_keeps_the_rest(browse, place, wrong, said):
    browser = browse(place)
    answer = browser.post("/s/me/flown/ground", data=form(browser, **{"note": "gusty <b>", **wrong}))
    assert answer.status_code == 422
    assert said in answer.text
    assert "note" in wrong or "gusty &lt;b&gt;" in answer.text
    assert place.stored() == []


@pytest.mark.parametrize("sent", [{}, {"id": "nonsense"}, {"id": "../../x"}])
def test_a_form_without_an_id_is_none_of_ours(browse, place, sent):
    assert browse(place).post("/s/me/flown/ground", data=sent).status_code == 422
    assert place.stored() == []
