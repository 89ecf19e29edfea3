import pytest

from stickback.course import named
from stickback.refused import Refused


@pytest.mark.parametrize(
    ("name", "title"),
    [("2", "Lesson 2: Landing"), ("landing", "Lesson 2: Landing"), ("yaw-causes", "Why the nose swings")],
)
def test_a_section_is_a_lesson_by_number_or_id_or_a_topic_by_id(course, name, title):
    assert named.section(course(), name).title == title


@pytest.mark.parametrize("name", ["", "0", "3", "Landing", "tailwheel/landing"])
def test_anything_else_is_no_section(course, name):
    with pytest.raises(Refused, match="`stickback lesson` lists them"):
        named.section(course(), name)
