import json
import re

import pytest

ADDRESS = "/school/hand-in"


@pytest.fixture
def lines(school):
    """What a device of `me` and Bea exports."""
    return school.does("log", "export").encode()


def sent(browser, *files, **more):
    return browser.post(ADDRESS, files=[("files", (name, raw)) for name, raw in files], data=more)


def unsealed(line):
    """A line as a device writes it that seals nothing."""
    return {name: value for name, value in line.items() if name not in {"device", "number", "seal"}}


def held(page):
    return re.search(r'name="held" value="([^"]+)"', page)[1]


def test_files_are_first_looked_at_and_taken_in_when_told_so(browse, place, lines):
    browser = browse(place)
    page = sent(browser, ("phone.jsonl", lines)).text
    assert re.search(r"phone\.jsonl: \d+ would be new", page)
    assert "new here: Bea" in page
    assert place.stored() == []
    page = browser.post(ADDRESS, data={"held": held(page), "do": "take"}).text
    assert re.search(r"phone\.jsonl: \d+ new, 0 there already", page)
    assert place.does("log", "export").encode() == lines


def test_taken_in_twice_nothing_is_doubled(browse, place, lines):
    browser = browse(place)
    name = held(sent(browser, ("a", lines), ("b", lines)).text)
    for _ in range(2):
        browser.post(ADDRESS, data={"held": name, "do": "take"})
    assert place.does("log", "export").encode() == lines


def test_a_bad_file_is_named_and_the_others_are_taken(browse, place, lines):
    browser = browse(place)
    page = sent(browser, ("bad <b>.jsonl", b"nonsense\n"), ("good", lines)).text
    assert "bad &lt;b&gt;.jsonl" in page
    assert "Line 1 is no entry of a log" in page
    page = browser.post(ADDRESS, data={"held": held(page), "do": "take"}).text
    assert "0 there already" in page
    assert place.does("log", "export").encode() == lines


def test_a_file_of_two_for_one_student_is_refused_without_a_word_of_the_terminal(browse, school, lines):
    browser = browse(school)
    page = sent(browser, ("both", lines)).text
    page = browser.post(ADDRESS, data={"held": held(page), "do": "look", "owner": "Bea"}).text
    assert "The file holds 2 students, so it cannot all be Bea&#39;s.<" in page
    assert "--as" not in page


def test_a_name_that_is_nearly_anothers_is_asked_about(browse, school, lines):
    browser = browse(school)
    found = [json.loads(line) for line in lines.splitlines() if b'"Bea"' in line]
    raw = "\n".join(json.dumps(unsealed({**line, "student": "Beah"})) for line in found).encode()
    page = sent(browser, ("phone", raw)).text
    assert "&#39;Beah&#39; is not here, and &#39;Bea" in page
    page = browser.post(ADDRESS, data={"held": held(page), "do": "take", "new": "yes"}).text
    assert "new here: Beah" in page


def test_two_contents_are_shown_and_wait_for_a_person(browse, school, lines):
    browser = browse(school)
    line = next(json.loads(each) for each in lines.split(b"\n") if b'"answer"' in each)
    page = sent(browser, ("other", json.dumps(unsealed({**line, "seconds": 99.0})).encode())).text
    assert "One entry, two contents" in page
    before = school.does("log", "export")
    browser.post(ADDRESS, data={"held": held(page), "do": "take"})
    assert school.does("log", "export") == before
    browser.post(ADDRESS, data={"held": held(page), "do": "take", "keep": "there"})
    assert "99.0" in school.does("log", "export")


@pytest.mark.parametrize("more", [{}, {"held": "gone"}, {"held": "gone", "do": "take", "keep": "both"}])
def test_without_a_file_or_with_one_no_longer_held_the_form_asks_again(browse, place, more):
    answer = browse(place).post(ADDRESS, data=more)
    assert answer.status_code == 422
    assert 'type="file"' in answer.text


def test_more_than_is_taken_at_once_is_refused_unread(browse, place):
    answer = browse(place).post(ADDRESS, content=b"x", headers={"content-length": "32000001"})
    assert answer.status_code == 413


def test_who_was_erased_is_taken_in_again_only_by_the_box_that_says_so(browse, school, lines):
    school.does("student", "remove", "Bea", "--erase", "--yes")
    browser = browse(school)
    page = sent(browser, ("phone", lines)).text
    assert "Bea was erased here." in page
    assert "--bring-back" not in page
    assert "Take in students who were erased here; nothing keeps their old log out from then on" in page
    page = browser.post(ADDRESS, data={"held": held(page), "do": "take", "back": "yes"}).text
    assert "new here: Bea" in page
