import pytest

BROKEN = "---\ntopic: feet\n---\n\n## Which {{ fot }}? {#which-foot}\n\n- [x] Left\n- [ ] Right\n"


def test_the_course_shows_its_decks_and_what_is_asked_about_each_topic(browse, place):
    page = browse(place).get("/course").text
    assert 'href="/course/deck/' in page
    assert "What is asked about each topic" in page


def test_a_mistake_stands_with_its_line_until_it_is_mended(browse, place):
    browser, deck = browse(place), place.course / "more.md"
    before = browser.get("/course/stamp").text
    deck.write_text(BROKEN)
    try:
        page = browser.get("/course").text
        assert "No aircraft sheet has a value &#39;fot&#39;." in page
        assert "## Which {{ fot }}? {#which-foot}" in page
        assert browser.get("/course/stamp").text != before
        deck.write_text(BROKEN.replace("{{ fot }}", "foot"))
        assert "has a value" not in browser.get("/course").text
        assert "Which foot?" in browser.get("/course/deck/more.md").text
    finally:
        deck.unlink()


def test_a_question_is_tried_and_nothing_is_recorded(browse, place):
    browser = browse(place)
    marks = {"Right." in browser.get(f"/course/question/approach?given={letter}").text for letter in "ab"}
    assert marks == {True, False}
    assert "Not understood" in browser.get("/course/question/approach?given=zz").text
    assert place.stored() == []


def test_a_question_tried_says_how_much_of_its_answer_is_enough(browse, place):
    assert "3 points are listened for: right with all 3" in browse(place).get("/course/question/pushes").text


@pytest.mark.parametrize("seed", ["-1", "x", "9" * 40, ""])
def test_a_seed_that_is_none_draws_as_the_first(browse, place, seed):
    browser = browse(place)
    assert browser.get(f"/course/question/approach?seed={seed}").text == browser.get("/course/question/approach").text


@pytest.mark.parametrize("path", ["/course/question/nothing", "/course/deck/nothing.md", "/course/deck/../x.md"])
def test_what_the_course_lacks_is_said_on_a_page(browse, place, path):
    answer = browse(place).get(path)
    assert answer.status_code in {404, 409}
    assert "<h1>" in answer.text


def test_how_questions_behave_is_shown_for_those_to_look_at_or_for_all(browse, school):
    browser = browse(school)
    assert "none shown" in browser.get("/course/questions").text
    assert 'id="approach"' in browser.get("/course/questions?all=yes").text


def test_no_title_among_how_questions_behave_shows_a_value_by_its_name(browse, school):
    page = browse(school).get("/course/questions?all=yes").text
    assert "{{" not in page
