import gc
import os

import pytest

from small import FRONT, OPTIONS
from stickback.refused import Refused
from stickback.services import folder

# The user's data


def test_without_a_database_there_is_one_in_the_data_folder_which_is_made(tmp_path, monkeypatch):
    monkeypatch.setattr("platformdirs.user_data_path", lambda name: tmp_path / "data" / name)
    assert folder.database(None) == str(tmp_path / "data" / "stickback" / "stickback.db")
    assert folder.data("demo.db") == tmp_path / "data" / "stickback" / "demo.db"
    assert (tmp_path / "data" / "stickback").is_dir()


@pytest.mark.parametrize("named", ["school.db", "postgresql://host/name", ""])
def test_a_database_that_is_named_is_that_one(named):
    assert folder.database(named) == named


def test_a_data_folder_that_cannot_be_made_is_refused_with_the_way_out(tmp_path, monkeypatch):
    (tmp_path / "data").write_text("a file in its place")
    monkeypatch.setattr("platformdirs.user_data_path", lambda name: tmp_path / "data" / name)
    with pytest.raises(Refused, match=r"cannot be made: .*; name a database with --db"):
        folder.database(None)


# Reading


def test_a_folder_is_read_with_its_decks_and_sheets(written):
    read = folder.load(written())
    assert (list(read.questions), list(read.sheets), read.problems) == (["q"], ["a"], ())


def test_a_readme_is_not_a_deck(written):
    read = folder.load(written(**{"README.md": b"# About this course\n"}))
    assert ([deck.file for deck in read.decks], read.problems) == (["deck.md"], ())


def test_a_picture_in_the_folder_is_found(written):
    place = written(FRONT + b"## Q {#q}\n\n![disc](disc.svg)" + OPTIONS, **{"disc.svg": b"<svg/>"})
    assert folder.load(place).problems == ()


@pytest.mark.parametrize("name", ["nowhere", "deck.md", "a\0b"])
def test_a_folder_that_is_not_there_is_refused(written, name):
    with pytest.raises(Refused, match="no course folder"):
        folder.load(written() / name)


def test_a_file_that_cannot_be_opened_is_refused(written, monkeypatch):
    place = written()

    def refuse(path):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(type(place), "read_bytes", refuse)
    with pytest.raises(Refused, match=r"cannot be read: Permission denied\."):
        folder.load(place)


def test_the_course_that_ships_is_there():
    assert folder.load(folder.shipped()).questions


IMPOSSIBLE = FRONT + b"## Q {#q}\n\n```given\nx: 1\nwhere: x > 1\n```" + OPTIONS


def test_what_a_course_draws_is_tried_when_it_is_read(written):
    assert [problem.code for problem in folder.load(written(IMPOSSIBLE)).problems] == ["given-impossible"]


def test_the_course_that_ships_was_proven_before_and_is_not_tried_again(written, monkeypatch):
    place = written(IMPOSSIBLE)
    monkeypatch.setattr(folder, "shipped", lambda: place)
    assert folder.load(place).problems == ()
    assert [problem.code for problem in folder.load(place, 1).problems] == ["given-impossible"]


def test_reading_leaves_the_garbage_collector_as_it_was(written):
    for switch in (gc.disable, gc.enable):
        switch()
        before = gc.isenabled()
        folder.load(written())
        assert gc.isenabled() is before


def named(problems):
    return [(each.file, each.code, each.severity) for each in problems]


def test_what_is_named_like_a_deck_and_is_none_is_told_and_hides_nothing_else(written):
    place = written()
    (place / "folder.md").mkdir()
    (place / "loop.md").symlink_to("loop.md")
    (place / "nowhere.md").symlink_to("gone.md")
    os.mkfifo(place / "pipe.md")
    found = folder.load(place)
    assert named(found.problems) == [
        (name, "file-unread", "error") for name in ("folder.md", "loop.md", "nowhere.md", "pipe.md")
    ]
    assert found.questions


def test_a_deck_that_lies_or_is_named_where_none_is_read_is_told(written):
    place = written()
    (place / "more").mkdir()
    for name in ("more/deck.md", "deck.markdown", "more/README.md"):
        (place / name).write_text("## Which way? {#way}\n\n- [x] A\n- [ ] B\n")
    assert named(folder.load(place).problems) == [
        (name, "file-place", "warning") for name in ("deck.markdown", "more/deck.md")
    ]
