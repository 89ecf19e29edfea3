import pytest

from stickback.course import craft, prove
from stickback.kinds.table import KINDS
from stickback.refused import Refused
from stickback.services import check, folder


def test_a_new_course_checks_clean_also_of_craft_and_has_every_kind(tmp_path):
    place = tmp_path / "course"
    assert "lesson-plan.md" in folder.begin(place)
    read = folder.load(place, prove.MANY)
    assert (read.problems, craft.problems(read)) == ((), [])
    assert {each.kind for each in read.questions.values()} == KINDS.keys()
    assert {each.topic for each in read.questions.values()} == read.plan.topics.keys()


def test_a_new_course_has_its_footnotes_behind_each_file(tmp_path):
    folder.begin(tmp_path / "course")
    assert check.write_notes(tmp_path / "course", folder.load(tmp_path / "course")) == []


@pytest.mark.parametrize("name", ["full", "file"])
def test_nothing_is_written_where_something_is(tmp_path, name):
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.md").write_text("mine")
    (tmp_path / "file").write_text("mine")
    with pytest.raises(Refused, match="is there already"):
        folder.begin(tmp_path / name)
    assert [each.name for each in (tmp_path / "full").iterdir()] == ["mine.md"]
