"""A kept course is used where it is whole and one's own, which shows by its title; anything else only costs time."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import small
import worlds
from stickback.course import read as courses
from stickback.course.course import Course
from stickback.services import cache, folder


@pytest.fixture(autouse=True)
def cached(tmp_path_factory, monkeypatch):
    """The cache folder of a test's own."""
    place = tmp_path_factory.mktemp("cache")
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name: place / name)
    return place / "stickback" / "courses"


@pytest.fixture
def marked(written, monkeypatch):
    """A course folder whose kept course has another title than its files, so that using it shows."""
    place = written()
    real = courses.read

    def with_other_title(*given):
        read = real(*given)
        return replace(read, plan=replace(read.plan, title="As kept"))

    with monkeypatch.context() as patch:
        patch.setattr(courses, "read", with_other_title)
        folder.load(place)
    assert folder.load(place).plan.title == "As kept"
    return place


def file(cached):
    (found,) = cached.iterdir()
    return found


def is_read_anew(place):
    """Whether the files are read, and the course is the one that they hold."""
    return folder.load(place).plan.title == "T"


def test_a_kept_course_is_the_same_as_one_just_read(written):
    place = written()
    first, again = folder.load(place), folder.load(place)
    assert first == again
    assert first is not again
    assert [one.body for one in first.questions.values()] == [one.body for one in again.questions.values()]


def test_the_course_that_ships_comes_back_question_by_question():
    first, again = folder.load(folder.shipped()), folder.load(folder.shipped())
    assert first == again
    for one, other in zip(first.questions.values(), again.questions.values(), strict=True):
        inside = [(each.body, each.draws, each.prompt, each.why, each.hint) for each in (one, other)]
        assert inside[0] == inside[1], one.id


def test_an_unchanged_course_is_not_read_again_and_no_deck_is_parsed_until_a_question_is_asked(written, monkeypatch):
    place = written()
    folder.load(place)
    monkeypatch.setattr(courses, "read", None)
    parsed = []
    real = courses.deck.read
    monkeypatch.setattr(courses.deck, "read", lambda found: parsed.append(found.file) or real(found))
    course = folder.load(place)
    assert parsed == []
    assert course.questions["q"].body.describe() == "2 options, 1 right"
    assert (course.questions["q"].why, parsed) == ((), ["deck.md"])


def test_a_check_always_reads_the_files(marked):
    assert folder.load(marked, 5).plan.title == "T"
    assert folder.load(marked, 0).plan.title == "T"


@pytest.mark.parametrize("name", ["lesson-plan.md", "aircraft/a.md", "deck.md"])
def test_a_file_that_changed_is_seen(marked, name):
    path = marked / name
    path.write_bytes(path.read_bytes() + b"\nMore.\n")
    assert is_read_anew(marked)


@pytest.mark.parametrize("name", ["other.md", "aircraft/b.md", "picture.svg"])
def test_a_file_that_came_or_went_is_seen(marked, name):
    (marked / name).write_bytes(b"")
    assert is_read_anew(marked)
    (marked / name).unlink()
    assert is_read_anew(marked)


def test_what_one_file_loses_and_the_next_one_gains_is_seen(marked):
    plan, deck = (marked / name for name in ("lesson-plan.md", "deck.md"))
    whole = deck.read_bytes() + plan.read_bytes()
    deck.write_bytes(whole[: len(deck.read_bytes()) - 1])
    plan.write_bytes(whole[len(deck.read_bytes()) :])
    assert folder.load(marked).plan.title != "As kept"


def test_what_another_program_read_is_not_used(marked, tmp_path, monkeypatch):
    package = tmp_path / "other" / "stickback"
    (package / "course").mkdir(parents=True)
    (package / "course" / "plan.py").write_text("")
    monkeypatch.setattr(cache.stickback, "__file__", str(package / "__init__.py"))
    assert is_read_anew(marked)


@pytest.mark.parametrize("keep", [0, 1, 40, 70, -1])
def test_a_torn_file_is_read_over(marked, cached, keep):
    file(cached).write_bytes(file(cached).read_bytes()[:keep])
    assert is_read_anew(marked)
    assert folder.load(marked).plan.title == "T"


def test_a_file_with_one_byte_changed_is_read_over(marked, cached):
    file(cached).write_bytes(file(cached).read_bytes().replace(b"As kept", b"As bent"))
    assert is_read_anew(marked)


@pytest.mark.parametrize("body", [b"", b"null", b"[]", b'["' + b"[" * 50_000, b"[" * 50_000, b"\xff", b"1e999"])
def test_a_file_that_someone_made_up_is_read_over(marked, cached, body):
    key = file(cached).read_bytes().split(b" ")[0]
    file(cached).write_bytes(cache._head(key, body) + b"\n" + body)
    assert is_read_anew(marked)


def test_what_others_may_write_is_not_used(marked, cached):
    file(cached).chmod(0o666)
    assert is_read_anew(marked)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="files have no owner on this system")
def test_the_file_of_another_user_is_not_used(marked, cached, monkeypatch):
    owner = file(cached).stat().st_uid
    monkeypatch.setattr(os, "geteuid", lambda: owner + 1)
    assert is_read_anew(marked)


def test_a_folder_in_its_place_costs_only_time(marked, cached):
    name = file(cached)
    name.unlink()
    name.mkdir()
    assert is_read_anew(marked)
    assert is_read_anew(marked)


def no_place(*_, **__):
    raise PermissionError(13, "Permission denied")


def test_a_cache_folder_that_cannot_be_made_costs_only_time(written, monkeypatch):
    place = written()
    monkeypatch.setattr(Path, "mkdir", no_place)
    assert is_read_anew(place)
    assert is_read_anew(place)


def test_a_cache_folder_that_cannot_be_written_costs_only_time(marked, cached, monkeypatch):
    (marked / "more.md").write_bytes(b"")
    before = file(cached).read_bytes()
    monkeypatch.setattr("tempfile.mkstemp", no_place)
    assert is_read_anew(marked)
    assert is_read_anew(marked)
    assert file(cached).read_bytes() == before


def test_a_file_in_place_of_the_cache_folder_costs_only_time(written, cached):
    cached.parent.parent.mkdir(exist_ok=True)
    cached.parent.write_text("no folder")
    assert is_read_anew(written())


def test_each_folder_is_kept_once_and_only_the_last_few_folders_are(tmp_path, cached):
    for number in range(cache.MOST + 3):
        place = worlds.write(tmp_path / str(number), {"lesson-plan.md": small.PLAN.decode()})
        folder.load(place)
        newest = max(cached.iterdir(), key=lambda path: path.stat().st_mtime_ns)
        os.utime(newest, (number, number))
    names = {path.name for path in cached.iterdir()}
    assert len(names) == cache.MOST
    folder.load(place)
    assert {path.name for path in cached.iterdir()} == names


def test_nobody_else_can_read_what_is_kept(marked, cached):
    assert cached.stat().st_mode & 0o077 == 0


def test_two_programs_at_once_both_get_the_course(written, cached, tmp_path):
    place = written()
    code = f"""
from pathlib import Path
from stickback.services import folder
for _ in range(20):
    assert list(folder.load(Path({str(place)!r})).questions) == ["q"]
    for path in Path({str(tmp_path / "shared")!r}).rglob("*.json"):
        path.unlink(missing_ok=True)
"""
    env = os.environ | {"XDG_CACHE_HOME": str(tmp_path / "shared")}
    running = [subprocess.Popen([sys.executable, "-c", code], env=env, stderr=subprocess.PIPE) for _ in range(2)]
    assert [(one.communicate()[1], one.returncode) for one in running] == [(b"", 0)] * 2


def test_what_is_kept_holds_nothing_but_plain_values(marked, cached):
    head, _, body = file(cached).read_bytes().partition(b"\n")
    assert len(head.split(b" ")) == 2
    assert body.startswith(b"[")
    assert isinstance(folder.load(marked), Course)
