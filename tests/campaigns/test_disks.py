"""Disks that are full and disks that may only be read, as file systems of their own: nothing told as stored is lost."""

import os
import re
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

import behind
import seats
import worlds
from stickback.store import engine, log
from stickback.store.engine import Database
from stickback.study.student import Student
from worlds import Place

SENTENCE = re.compile(r"Error: [^\n]+\.\n")
ROOM = r"failed or is full|no room left|cannot be written: No space left"
LARGE = 4_000  # entries of a file that the disk cannot take in

pytestmark = [
    pytest.mark.campaign,
    pytest.mark.skipif(
        sys.platform != "linux" or os.geteuid() != 0, reason="small disks of memory are mounted by root on Linux"
    ),
]


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of one megabyte."""
    folder = tmp_path / "disk"
    folder.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", folder], check=True)
    try:
        yield folder
    finally:
        engine.close()
        subprocess.run(["umount", folder], check=True)


@pytest.fixture
def on_disk(template: Place, disk: Path) -> Database:
    """The school of the tests, on that disk."""
    return engine.locate(str(shutil.copy(template.db, disk / "school.db")))


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Place:
    return worlds.begun(tmp_path_factory.mktemp("disks"))


def run(store: Database, course: Path, *words: object, student: str = "me") -> subprocess.CompletedProcess[str]:
    """A command in a process of its own."""
    line = seats.command(store, course, *words, student=student, day="2026-06-02")
    done = subprocess.run(
        line, env=os.environ | seats.ALONE, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )
    assert "Traceback" not in done.stderr
    assert "\x1b" not in done.stdout + done.stderr
    return done


def refused(done: subprocess.CompletedProcess[str], says: str) -> None:
    assert done.returncode == 1
    assert SENTENCE.fullmatch(done.stderr), done.stderr
    assert re.search(says, done.stderr), done.stderr


@contextmanager
def filled(disk: Path, left: int = 0) -> Iterator[None]:
    """All of a disk taken, but for some bytes."""
    ballast = disk / "ballast"
    room = shutil.disk_usage(disk).free
    ballast.write_bytes(bytes(max(0, room - left)))
    try:
        yield
    finally:
        ballast.unlink()


def test_reviews_until_the_disk_is_full(on_disk, disk, course, tell):
    marks, kept = 0, [*log.lines(on_disk)]
    for n in range(40):
        behind.put(on_disk, Student(name=f"Full {n}", minutes=120))
    before, engines = len([*log.lines(on_disk)]), []
    with filled(disk, 160_000):
        for n in range(40):
            sitting = seats.sit(on_disk, course, f"Full {n}")
            status = sitting.end(kill=False)
            marks += len(sitting.marks)
            engines.append(status)
            assert "Traceback" not in sitting.errors
            if status:
                assert re.search(ROOM, sitting.errors), sitting.errors
                break
        assert engines[-1] == 1, "the disk never filled"
        assert run(on_disk, course, "log", "verify").returncode == 0
        assert run(on_disk, course, "readiness").returncode == 0
    there = len([*log.lines(on_disk)]) - before
    tell(sittings=len(engines), marks=marks, stored=there, lost=marks - there)
    assert there == marks
    assert {*kept} <= {*log.lines(on_disk)}
    assert run(on_disk, course, "student", "add", "Later").returncode == 0


def test_a_file_that_is_larger_than_the_room_left(on_disk, disk, course, tmp_path, tell):
    rows = [line.replace('"Bea"', f'"Bea {n}"') for n in range(LARGE // 2) for line in log.lines(on_disk, "Bea")]
    tmp_path.joinpath("coming.jsonl").write_text("\n".join(rows), "utf-8")
    before = [*log.lines(on_disk)]
    with filled(disk, 120_000):
        refused(run(on_disk, course, "log", "import", tmp_path / "coming.jsonl", "--new"), ROOM)
        assert [*log.lines(on_disk)] == before
        assert run(on_disk, course, "log", "verify").returncode == 0
    tell(lines=len(rows), taken=len([*log.lines(on_disk)]) - len(before))
    assert run(on_disk, course, "undo").returncode == 0


def test_new_files_on_a_full_disk(on_disk, disk, course, tell):
    before = sorted(path.name for path in disk.iterdir())
    with filled(disk, 8_192):
        refused(run(on_disk, course, "backup", disk / "copy.db"), ROOM)
        refused(run(engine.locate(str(disk / "new.db")), course, "student", "add", "Ann"), ROOM)
        refused(run(on_disk, course, "readiness", "--out", disk / "r.html"), ROOM)
        refused(run(on_disk, course, "undo"), ROOM)
        assert run(on_disk, course, "log", "export").returncode == 0
    left = {path.name for path in disk.iterdir()} - {*before, "school.db-wal", "school.db-shm"}
    tell(left_behind=len(left))
    assert left == set()
    assert run(on_disk, course, "backup", disk / "copy.db").returncode == 0


@pytest.mark.parametrize("torn", [False, True], ids=["whole", "with what was written ahead"])
def test_a_disk_that_may_only_be_read(on_disk, disk, course, tell, torn):
    if torn:  # as a machine that went off leaves it: what was written ahead still lies beside the file
        with closing(sqlite3.connect(on_disk.name, isolation_level=None)) as other:
            other.execute("PRAGMA journal_mode = WAL")
            other.execute("PRAGMA wal_autocheckpoint = 0")
            other.execute("INSERT INTO tombstones VALUES (1, '00', '00')")
            for end in ("", "-wal"):
                shutil.copy(f"{on_disk.name}{end}", disk / f"left{end}")
        on_disk = engine.locate(str(disk / "left"))
        assert (disk / "left-wal").stat().st_size
    engine.close()
    before = {path.name: path.read_bytes() for path in disk.iterdir()}
    subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
    read = {words: run(on_disk, course, *words.split()) for words in ("log export", "log verify", "readiness")}
    review = run(on_disk, course, "review")
    assert {words: (done.returncode, done.stderr) for words, done in read.items()} == dict.fromkeys(read, (0, ""))
    refused(review, "cannot be written|cannot be opened")
    assert review.stdout == ""
    assert {path.name: path.read_bytes() for path in disk.iterdir()} == before
    lines = read["log export"].stdout.splitlines()
    subprocess.run(["mount", "-o", "remount,rw", disk], check=True)
    assert [*log.lines(on_disk, "me")] == lines
    tell(entries_read=len(lines), changed=0)
