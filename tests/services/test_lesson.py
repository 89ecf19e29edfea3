from stickback.course import read as courses
from stickback.services import lesson


def test_sources_come_in_the_order_asked_for_and_unknown_ones_not_at_all():
    read = courses.read([("sources.md", b"[^a]: First.\n\n[^b]: Second.\n")])
    assert lesson.sources(read, ["b", "x", "a"]) == ["Second.", "First."]
