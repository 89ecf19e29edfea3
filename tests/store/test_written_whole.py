import errno
import os
from pathlib import Path

import pytest

from stickback.refused import Refused
from stickback.store import files


@pytest.fixture
def place(tmp_path):
    """A folder with one file in it, which holds `old`."""
    (tmp_path / "school.csv").write_bytes(b"old")
    return tmp_path


def everything(folder: Path):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def no_room(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


def test_files_are_written_over_old_ones_and_beside_them(place):
    files.write([(place / "school.csv", b"new"), (place / "school.json", b"also")])
    assert everything(place) == {"school.csv": b"new", "school.json": b"also"}


def test_a_new_file_may_be_read_by_whom_the_system_lets_read_new_files(place):
    (place / "plain").write_bytes(b"")
    files.write([(place / "new.csv", b"new")])
    assert (place / "new.csv").stat().st_mode == (place / "plain").stat().st_mode


def test_a_file_named_without_a_folder_goes_into_the_one_where_one_is(place, monkeypatch):
    monkeypatch.chdir(place)
    files.write([(Path("here.csv"), b"new")])
    assert everything(place)["here.csv"] == b"new"


@pytest.mark.parametrize("broken", ["replace", "fsync", "chmod"])
def test_what_cannot_be_written_leaves_the_old_file_and_nothing_else(place, monkeypatch, broken):
    target = os if broken == "fsync" else Path
    monkeypatch.setattr(target, broken, no_room)
    with pytest.raises(Refused, match=r"school.csv cannot be written: No space left on device\."):
        files.write([(place / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no disk that is always full")
def test_a_full_disk_leaves_the_old_file_and_nothing_else(place, monkeypatch):
    real = os.fdopen

    def full(handle, *rest):
        os.close(handle)
        return real(os.open("/dev/full", os.O_WRONLY), *rest)

    monkeypatch.setattr(os, "fdopen", full)
    with pytest.raises(Refused, match=r"school.csv cannot be written: No space left on device\."):
        files.write([(place / "school.csv", b"new" * 100_000)])
    assert everything(place) == {"school.csv": b"old"}


def test_an_interrupt_leaves_nothing_behind(place, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        files.write([(place / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


def test_a_folder_that_is_not_there_is_refused_and_not_made(place):
    with pytest.raises(Refused, match=r"school.csv cannot be written: No such file or directory\."):
        files.write([(place / "nowhere" / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


def test_a_reader_sees_the_old_file_until_the_new_one_is_whole(place, monkeypatch):
    seen = []
    real = os.fsync

    def look(handle):
        seen.append((place / "school.csv").read_bytes())
        real(handle)

    monkeypatch.setattr(os, "fsync", look)
    files.write([(place / "school.csv", b"new")])
    assert seen == [b"old"]
