"""Every page held against WCAG 2.2 AA, as far as `axe-core` can tell, in light and dark, on a phone and a laptop."""

import pytest
from axe_playwright_python.sync_playwright import Axe

PATHS = (
    "/",
    "/s/me",
    "/s/me/lesson",
    "/s/me/lesson/feet",
    "/s/me/find?words=approach",
    "/course",
    "/course/question/approach?given=a",
    "/course/question/pushes",
    "/nowhere",
)


def faults(page):
    found = Axe().run(page)
    return [(each["id"], node["html"]) for each in found.response["violations"] for node in each["nodes"]]


@pytest.mark.parametrize("size", ["phone", "laptop"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_has_a_fault_that_can_be_found(served, open_page, school, size, scheme):
    page = open_page(served(school), size, scheme=scheme)
    for path in PATHS[:-1]:
        page.goto(path)
        assert faults(page) == [], path


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_question_and_no_mark_has_a_fault(served, open_page, place, scheme):
    page = open_page(served(place), scheme=scheme)
    page.get_by_role("link", name="Start").click()
    assert faults(page) == []
    for name in ("approach", "pushes", "steer"):
        asking = page.url.rpartition("/")[2].partition("?")[0]
        page.goto(f"/s/me/review/{name}/{asking}")
        assert faults(page) == [], name
