import subprocess

import pytest

from small import FRONT, OPTIONS
from stickback.refused import Refused
from stickback.services import check

ONE = FRONT + b"## Which way? {#way}" + OPTIONS


def git(place, *words):
    about = ["-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "init.defaultBranch=main"]
    subprocess.run(["git", "-C", str(place), *about, *words], check=True, capture_output=True)


@pytest.fixture
def kept(written):
    """A course with one question, committed."""
    place = written(ONE + b"\n\n## And then? {#then}" + OPTIONS + b"\n\n## Last? {#last}" + OPTIONS)
    git(place, "init")
    git(place, "add", ".")
    git(place, "commit", "-m", "Begin")
    return place


def changed(place, *pairs):
    path = place / "deck.md"
    text = path.read_bytes()
    for find, put in pairs:
        assert find in text
        text = text.replace(find, put, 1)
    path.write_bytes(text)
    return [(one.how, one.question.id) for one in check.changes(place, "HEAD")]


def test_a_course_that_did_not_change_has_no_change(kept):
    assert changed(kept) == []


def test_another_answer_another_word_what_is_gone_and_what_is_new_are_told_apart(kept):
    pairs = [(b"Which way?", b"Which way now?"), (b"{#last}", b"{#latest}")]
    assert changed(kept, *pairs) == [("removed", "last"), ("reworded", "way"), ("new", "latest")]


def test_another_right_option_is_another_answer_and_another_wrong_one_is_other_words(kept):
    right, wrong = (line for line in OPTIONS.strip().split(b"\n")[:2])
    assert changed(kept, (right, right + b" indeed"))[0] == ("answer changed", "way")
    git(kept, "commit", "-am", "Go on")
    assert changed(kept, (wrong, wrong + b" indeed")) == [("reworded", "way")]


def test_a_question_that_moved_to_another_deck_has_not_changed(kept):
    (kept / "deck.md").rename(kept / "other.md")
    assert check.changes(kept, "HEAD") == []


@pytest.mark.parametrize("revision", ["nowhere", "-o/tmp/x", ""])
def test_a_revision_that_is_none_is_refused(kept, revision):
    with pytest.raises(Refused):
        check.changes(kept, revision)


def test_a_folder_that_no_git_knows_is_refused(written):
    with pytest.raises(Refused, match="git"):
        check.changes(written(), "HEAD")
