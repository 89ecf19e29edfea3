import re
from html import unescape

import pytest

import worlds
from worlds import answer_wrong, exported, squeezed


def test_with_no_one_but_me_the_first_page_is_today(browse, place):
    text = browse(place).get("/").text
    assert 'href="/s/me/review"' in text
    assert "Study material, not for flight" in text
    assert '<a href="/s/me" aria-current="page">Today</a>' in text
    assert 'href="/course"' in text  # nobody else is there who could write it


def test_where_several_study_the_first_page_asks_who(browse, school):
    text = browse(school).get("/").text
    assert 'href="/s/me"' in text
    assert 'href="/s/Bea"' in text
    assert '<a href="/">Students</a>' in browse(school).get("/s/Bea").text


@pytest.mark.parametrize(
    "path", ["/s/Nobody", "/s/Nobody/review", "/s/me/lesson/nothing", "/s/me/review?topic=nothing"]
)
def test_what_is_not_there_is_said_on_a_page(browse, place, path):
    answer = browse(place).get(path)
    assert answer.status_code in {404, 409}
    assert "<h1>" in answer.text
    assert "Traceback" not in answer.text
    assert "stickback " not in answer.text  # what is typed at a terminal leads nowhere on a page


def test_where_nothing_can_be_asked_today_leads_to_what_is_wrong_with_the_course(browse, place, tmp_path):
    files = {name: text for name, text in worlds.COURSE.items() if "/" in name or "lesson" in name or "sources" in name}
    page = browse(place, worlds.write(tmp_path / "bare", files)).get("/s/me").text
    assert "No question of this course can be asked on this aeroplane." in page
    assert "stickback check" not in page
    assert 'href="/course"' in page


def test_the_plan_a_lesson_and_a_topic_lead_to_each_other(browse, place):
    browser = browse(place)
    plan = browser.get("/s/me/lesson").text
    assert 'href="/s/me/lesson/feet"' in plan
    topic = browser.get("/s/me/lesson/feet").text
    assert 'href="/s/me/review?topic=feet"' in topic


def test_words_are_found_and_those_that_are_nowhere_said_to_be(browse, place):
    browser = browse(place)
    assert "/s/me/" in browser.get("/s/me/find?words=approach").text
    assert (
        "Nothing in this course and your notes holds “zeppelin &lt;b&gt;”."
        in browser.get("/s/me/find?words=zeppelin+<b>").text
    )


@pytest.mark.parametrize(
    "path", ["../pyproject.toml", "%2e%2e/x.svg", "lesson-plan.md", "figures/none.svg", "/etc/x.png"]
)
def test_nothing_but_a_picture_of_the_course_is_given_out(browse, place, path):
    assert browse(place).get(f"/picture/{path}").status_code == 404


def test_a_picture_of_the_course_can_do_nothing(browse, place, tmp_path):
    (place.course / "figures").mkdir(exist_ok=True)
    (place.course / "figures" / "web.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    answer = browse(place).get("/picture/figures/web.svg")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/svg+xml")
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert "sandbox" in answer.headers["content-security-policy"]


def test_the_debrief_says_what_was_wrong_today_and_leads_to_the_lesson(browse, school):
    page = browse(school).get("/s/me/debrief").text
    assert "<h2>" in page
    assert 'href="/s/me/lesson/' in page


def test_the_debrief_of_someone_who_answered_nothing_says_what_begins(browse, place):
    assert "Nothing was answered yet; begin with a review." in browse(place).get("/s/me/debrief").text


def test_what_was_sure_and_wrong_is_listed_once_in_the_debrief(browse, place):
    answer_wrong(place, "sure")
    page = browse(place).get("/s/me/debrief").text
    assert page.count("Where do you look at bend") == 1
    assert "before today" not in page


def test_the_outlook_shows_the_days_to_a_date_and_without_one_the_weeks_to_come(browse, school):
    browser = browse(school)
    said, _, rest = squeezed(school.does("outlook")).partition("No date is set")
    assert rest
    page = squeezed(unescape(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", browser.get("/s/me/outlook").text, flags=re.DOTALL)))
    assert page.partition("No date is set")[0].endswith(said.partition("Lessons begun")[2])
    assert 'href="/s/me/settings"' in browser.get("/s/me/outlook").text
    school.does("student", "set", "me", "--checkride", "2026-12-24")
    page = browser.get("/s/me/outlook").text
    assert "<svg" in page
    assert "certifies nothing" in page


def test_progress_is_shown_lesson_by_lesson_with_what_went_wrong(browse, school):
    page = browse(school).get("/s/me/progress").text
    assert "of the course known" in page
    assert "<svg" in page
    assert "The whole course" in page


def test_progress_without_an_answer_offers_the_first(browse, place):
    assert 'href="/s/me/review"' in browse(place).get("/s/me/progress").text


def test_a_note_of_ones_own_is_kept_once_shown_with_the_topic_and_taken_away(browse, place):
    browser = browse(place)
    name = re.search(r'name="id" value="([^"]+)"', browser.get("/s/me/lesson/feet").text)[1]
    for _ in range(2):
        answer = browser.post("/s/me/lesson/feet/note", data={"id": name, "note": "short <b> jabs"})
        assert (answer.status_code, answer.headers["location"]) == (303, "/s/me/lesson/feet#own")
    page = browser.get("/s/me/lesson/feet").text
    assert page.count("short &lt;b&gt; jabs") == 2  # the note, and the form that takes it away
    for _ in range(2):
        browser.post("/s/me/lesson/feet/note", data={"do": "away", "text": "short <b> jabs"})
    assert "jabs" not in browser.get("/s/me/lesson/feet").text
    assert [entry["what"] for entry in exported(place)] == ["note", "void"]


@pytest.mark.parametrize("sent", [{}, {"id": "nonsense", "note": "x"}])
def test_a_note_without_an_id_is_none_of_ours(browse, place, sent):
    assert browse(place).post("/s/me/lesson/feet/note", data=sent).status_code == 422


def test_a_lesson_is_a_card_to_print(browse, place):
    answer = browse(place).get("/s/me/lesson/ground/card")
    assert "The ground" in answer.text
    assert "sandbox" in answer.headers["content-security-policy"]


def test_a_note_is_taken_away_only_beside_a_topic_of_the_plan(browse, place):
    answer = browse(place).post("/s/me/lesson/nowhere/note", data={"do": "away", "text": "x"})
    assert answer.status_code == 409
