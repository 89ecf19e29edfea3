import pytest

from stickback.services import statements


def test_the_board_has_a_row_a_student_with_the_next_action(browse, school):
    page = browse(school).get("/school").text
    assert "Who needs what next" in page
    assert 'href="/school/Bea"' in page
    assert "certifies nothing" in page


def test_the_board_is_filtered_and_sorted_by_its_address(browse, school):
    browser = browse(school)
    assert 'href="/school/Bea"' not in browser.get("/school?verdict=sound").text
    assert "selected>by name" in browser.get("/school?sort=name").text
    assert browser.get("/school?sort=nonsense&verdict=<b>").status_code == 200


def test_a_second_look_states_nothing_anew_and_one_after_an_answer_that_student_alone(browse, school, monkeypatch):
    browser, stated, made = browse(school), [], statements._made
    monkeypatch.setattr(statements, "_made", lambda *given: stated.append(len(given[2])) or made(*given))
    for _ in range(2):
        browser.get("/school")
    assert stated == [2]
    school.does("undo")
    browser.get("/school")
    assert stated == [2, 1]


def test_a_students_statement_is_a_page_of_its_own_that_can_do_nothing(browse, school):
    answer = browse(school).get("/school/Bea")
    assert "Bea" in answer.text
    assert "sandbox" in answer.headers["content-security-policy"]
    assert "<script" not in answer.text


@pytest.mark.parametrize(("form", "begins"), [("csv", b"\xef\xbb\xbf"), ("json", b"{"), ("xlsx", b"PK")])
def test_the_report_is_taken_along_as_a_file(browse, school, form, begins):
    answer = browse(school).get(f"/school/readiness.{form}")
    assert answer.content.startswith(begins)
    assert answer.headers["content-disposition"] == f'attachment; filename="readiness.{form}"'


@pytest.mark.parametrize("path", ["/school/Nobody", "/school/readiness.exe"])
def test_what_is_not_there_is_said(browse, school, path):
    assert browse(school).get(path).status_code in {404, 409}


def test_a_school_without_students_says_so(browse, place):
    text = browse(place).get("/school").text
    assert "There is no student to show." in text
    assert "0 students ·" in text


def test_a_student_is_handed_over_on_one_page(browse, school):
    browser = browse(school)
    assert 'href="/school/Bea/handover"' in browser.get("/school").text
    assert "Bea" in browser.get("/school/Bea/handover").text
