"""What a school does on a page, in a real browser: looks over everyone, takes the figures along, takes answers in."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.windows import follow

WITH_AND_WITHOUT = pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
BEGINS = {"CSV": b"", "JSON": b"{", "XLSX": b"PK", "PDF": b"%PDF"}


@WITH_AND_WITHOUT
@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_a_board_is_put_in_order_and_narrowed_and_taken_along(served, open_page, school, size, scripts):
    page = open_page(served(school), size, scripts=scripts)
    page.goto("/school")
    students = page.locator("td.who")
    page.get_by_label("Order", exact=True).select_option("by name")
    follow(page.get_by_role("button", name="Show"))
    assert students.all_inner_texts() == ["Bea", "me"]
    page.get_by_label("Verdict", exact=True).select_option("no estimate")
    follow(page.get_by_role("button", name="Show"))
    assert page.get_by_label("Order", exact=True).input_value() == "name"
    expect(students.first).to_be_visible()
    for form, begins in BEGINS.items():
        with page.expect_download() as coming:
            page.get_by_role("link", name=form, exact=True).click()
        raw = Path(coming.value.path()).read_bytes()
        assert coming.value.suggested_filename == f"readiness.{form.lower()}"
        assert raw.startswith(begins)
        assert len(raw) > 200


def test_a_row_of_the_board_leads_to_a_statement_and_a_handover_to_print(served, open_page, school):
    page = open_page(served(school), "laptop")
    page.goto("/school")
    follow(page.get_by_role("link", name="Bea", exact=True))
    expect(page.get_by_role("heading", name="Bea")).to_be_visible()
    page.go_back()
    follow(page.get_by_role("link", name="Handover of Bea"))
    expect(page.get_by_role("heading", name="Handover: Bea")).to_be_visible()


@WITH_AND_WITHOUT
def test_a_file_that_is_handed_in_is_looked_at_first_and_taken_in_once(
    served, open_page, school, place, tmp_path, scripts
):
    file = tmp_path / "phone.jsonl"
    file.write_text(school.does("log", "export"))
    page = open_page(served(place), scripts=scripts)
    page.goto("/school")
    follow(page.get_by_role("link", name="Hand in answers of other devices"))
    page.locator("#files").set_input_files(file)
    follow(page.get_by_role("button", name="See what is new"))
    expect(page.get_by_role("status")).to_contain_text("would be new")
    assert place.stored() == []
    follow(page.get_by_role("button", name="Take in"))
    expect(page.get_by_role("heading", name="Taken in")).to_be_visible()
    assert place.does("log", "export") == school.does("log", "export")
    page.goto("/school")
    expect(page.get_by_role("link", name="Bea", exact=True)).to_be_visible()


def test_a_file_that_is_none_is_named_and_nothing_is_taken(served, open_page, place, tmp_path):
    file = tmp_path / "holiday.jsonl"
    file.write_text("no answers here")
    page = open_page(served(place))
    page.goto("/school/hand-in")
    page.locator("#files").set_input_files(file)
    follow(page.get_by_role("button", name="See what is new"))
    expect(page.get_by_role("status")).to_contain_text("holiday.jsonl")
    assert place.stored() == []
