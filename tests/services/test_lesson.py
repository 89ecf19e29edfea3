import pytest

from stickback.course import read as courses
from stickback.refused import Refused
from stickback.services import lesson


@pytest.mark.parametrize(("name", "title"), [("2", "Lesson 2: Take-off"), ("take-off", "Lesson 2: Take-off")])
def test_a_lesson_is_found_by_number_or_id(taught, name, title):
    assert lesson.find(taught, name).title == title


def test_a_topic_is_found_by_id(taught):
    assert lesson.find(taught, "swing").title == "Why the nose swings"


@pytest.mark.parametrize("name", ["", "0", "4", "Take-off", "tw/take-off"])
def test_anything_else_is_refused(taught, name):
    with pytest.raises(Refused, match="`stickback lesson` lists them"):
        lesson.find(taught, name)


def test_sources_come_in_the_order_asked_for_and_unknown_ones_not_at_all():
    read = courses.read([("sources.md", b"[^a]: First.\n\n[^b]: Second.\n")])
    assert lesson.sources(read, ["b", "x", "a"]) == ["Second.", "First."]
