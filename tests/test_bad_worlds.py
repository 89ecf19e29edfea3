"""Every command in every bad world: it does its work or says in one sentence why not, and nothing is lost."""

import os
import re
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from click.testing import Result

import worlds
from stickback.store import dialect, engine
from worlds import COURSE, Place, Typist

NONE = "no aircraft sheet|it has none|no lesson or topic"
COMMANDS = {
    "glance": (),
    "review": ("review", "--questions", 1, "--seed", 1),
    "lesson": ("lesson",),
    "lesson ID": ("lesson", "feet"),
    "brief": ("brief", "1"),
    "debrief": ("debrief",),
    "debrief --json": ("debrief", "--json"),
    "aircraft": ("aircraft",),
    "aircraft NAME": ("aircraft", "cawdale"),
    "undo": ("undo",),
    "flown": ("flown", "1", "--error", "late-foot"),
    "student add": ("student", "add", "Cleo"),
    "student set": ("student", "set", "Bea", "--minutes", 20),
    "student list": ("student", "list"),
    "check": ("check",),
    "check --format json": ("check", "--format", "json"),
    "log export": ("log", "export"),
    "log import": ("log", "import", "-"),
    "log verify": ("log", "verify"),
    "readiness": ("readiness", "--format", "csv"),
    "tune": ("tune",),
    "student remove": ("student", "remove", "Bea"),
}
EVERY = set(COMMANDS)
DESK = {
    "glance",
    "review",
    "brief",
    "debrief",
    "debrief --json",
    "undo",
    "flown",
    "readiness",
}  # of a student, with an aeroplane
WRITES = {"review", "undo", "flown", "student add", "student set", "log import", "student remove"}
CHECK = {"check", "check --format json"}
STORE = EVERY - {"lesson", "aircraft", "aircraft NAME"}
NO_COURSE = DESK | CHECK | {"lesson ID", "aircraft NAME", "student set"}


@dataclass(frozen=True)
class World:
    """A bad world: what makes it, which commands fail there, and what their sentence says."""

    enter: Callable[[Place, Path], AbstractContextManager[dict[str, object]]]
    fail: set[str]
    says: str
    status: int


WORLDS: dict[str, World] = {}


def world(fail: set[str], says: str, status: int = 1) -> Callable[..., None]:
    """Enters a function below into the table; it yields the settings that differ from a good world's."""

    def enter(make: Callable[[Place, Path], Iterator[dict[str, object]]]) -> None:
        WORLDS[make.__name__] = World(contextmanager(make), fail, says, status)

    return enter


@world(EVERY - {"student list", "log export", "student remove", "tune"}, r"There is no .*folder .*nowhere\.")
def the_course_folder_is_not_there(place, tmp_path):
    yield {"course": tmp_path / "nowhere"}


@world(NO_COURSE, NONE)
def the_course_folder_is_empty(place, tmp_path):
    yield {"course": worlds.write(tmp_path / "empty", {})}


@world(CHECK, "")
def every_deck_is_broken(place, tmp_path):
    files = {name: text.replace("- [x]", "-[x]").replace("### Answer", "### Answers") for name, text in COURSE.items()}
    yield {"course": worlds.write(tmp_path / "broken", files)}


@world(NO_COURSE, NONE)
def the_course_is_noise(place, tmp_path):
    noise = {name: bytes((i * i + 7 * n + (i >> 2)) % 256 for i in range(900)) for n, name in enumerate(COURSE)}
    yield {"course": worlds.write(tmp_path / "noise", noise)}


@world(DESK | {"lesson ID", "log export", "tune"}, r"no student 'Zoe' \(there is: Bea.*me\)")
def nobody_has_the_name(place, tmp_path):
    yield {"student": "Zoe"}


@world(
    DESK | {"lesson ID", "student set", "log verify"},
    r"no aircraft sheet 'sold'(, which is set for (me|Bea))?; it has cawdale, dunmere",
)
def the_aeroplane_left_the_course(place, tmp_path):
    place.raw("UPDATE students SET aircraft = 'sold'")
    yield {}


@world(EVERY, "'2026-02-30' is not a date", status=2)
def the_day_is_no_date(place, tmp_path):
    yield {"today": "2026-02-30"}


@world(DESK | {"lesson ID", "student set", "tune", "log verify"}, "no time zone 'Nowhere/Atoll'")
def the_stored_zone_is_not_known(place, tmp_path):
    place.raw("UPDATE students SET zone = 'Nowhere/Atoll'")
    yield {}


@world(STORE, "no folder .*nowhere for the database")
def the_folder_of_the_database_is_not_there(place, tmp_path):
    yield {"db": tmp_path / "nowhere" / "school.db"}


@world(STORE, "is a folder; name a database file")
def the_database_is_a_folder(place, tmp_path):
    yield {"db": tmp_path}


@world(STORE, "The server of postgresql://127.0.0.1/stickback cannot be reached")
def the_server_of_the_database_is_not_there(place, tmp_path):
    yield {"db": "postgresql://127.0.0.1:1/stickback"}


@world(STORE, "school.db is damaged or not a database of stickback")
def the_database_is_noise(place, tmp_path):
    place.db.write_bytes(bytes((i * i + (i >> 3)) % 256 for i in range(20_000)))
    yield {}


@world(STORE, "school.db is damaged; put back a copy")
def the_database_is_cut_off(place, tmp_path):
    os.truncate(place.db, 9000)
    yield {}


@world(STORE, "school.db is a database of another program")
def the_database_is_of_another_program(place, tmp_path):
    place.db.unlink()
    place.raw("CREATE TABLE songs (title)", "INSERT INTO songs VALUES ('Blue')")
    yield {}


@world(STORE, "school.db was written by a newer stickback")
def the_database_is_of_a_newer_program(place, tmp_path):
    place.raw("UPDATE alembic_version SET version_num = '9999'")
    yield {}


@world(WRITES, "school.db is in use by another program")
def another_program_is_writing(place, tmp_path):
    with closing(sqlite3.connect(place.db, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield {}


@world(STORE, "school.db is in use by another program")
def another_program_has_locked_the_database(place, tmp_path):
    with closing(sqlite3.connect(place.db, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        yield {}


@contextmanager
def read_only(place: Place, file: int, folder: int) -> Iterator[dict[str, object]]:
    """A copy of the place with these permissions, seen without the rights that would override them."""
    if not hasattr(os, "geteuid"):
        pytest.skip("permissions are another matter on this system")
    with tempfile.TemporaryDirectory() as made:
        moved = replace(place.copied(Path(made) / "school.db"), course=worlds.write(Path(made) / "course"))
        moved.db.chmod(file)
        Path(made).chmod(folder)
        before, superuser = moved.db.read_bytes(), os.geteuid() == 0
        try:
            if superuser:
                os.seteuid(65534)
            yield {"db": moved.db, "course": moved.course}
        finally:
            if superuser:
                os.seteuid(0)
            Path(made).chmod(0o777)
        assert moved.db.read_bytes() == before


@world(WRITES, "school.db cannot be written; check its permissions")
def the_database_may_only_be_read(place, tmp_path):
    with read_only(place, 0o444, 0o777) as settings:
        yield settings


@world(WRITES, "school.db cannot be (written; check its permissions|opened)")
def the_folder_of_the_database_may_only_be_read(place, tmp_path):
    with read_only(place, 0o644, 0o555) as settings:
        yield settings


@world(WRITES, "school.db cannot be (written; check its permissions|opened)")
def the_database_and_its_folder_may_only_be_read(place, tmp_path):
    with read_only(place, 0o444, 0o555) as settings:
        yield settings


@world(WRITES, "The disk of .*school.db failed or is full")
def the_disk_is_full(place, tmp_path):
    with no_file_larger_than(0):
        yield {}


@world(STORE, "school.db holds no database; put back a copy of it")
def the_database_is_a_file_of_no_bytes(place, tmp_path):
    place.db.write_bytes(b"")
    yield {}


@world(STORE, "school.db is damaged: the version of its form reads")
def the_version_of_the_database_is_nonsense(place, tmp_path):
    place.raw("UPDATE alembic_version SET version_num = 'nonsense'")
    yield {}


@world(STORE, "school.db is damaged: the version of its form is missing")
def the_version_of_the_database_is_missing(place, tmp_path):
    place.raw("DROP TABLE alembic_version")
    yield {}


@contextmanager
def no_file_larger_than(size: int) -> Iterator[None]:
    """As on a disk without room: whatever would grow a file beyond so many bytes fails."""
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Place:
    return worlds.begun(tmp_path_factory.getbasetemp())


@pytest.fixture(scope="module")
def of_dora(good: Place) -> str:
    """What `log import` reads: entries that are not there yet."""
    return good.does("log", "export", student="Bea").replace('"Bea"', '"Dora"')


@pytest.fixture
def place(good: Place, tmp_path: Path) -> Place:
    return good.copied(tmp_path / "school.db")


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for a lock."""
    monkeypatch.setattr(dialect, "BUSY_SECONDS", 0)


def run(place: Place, command: str, of_dora: str, **env: object) -> Result:
    typed = {"review": Typist(), "log import": of_dora}.get(command)
    result = place(*COMMANDS[command], typed=typed, **env)
    assert isinstance(result.exception, SystemExit | None), (command, result.exc_info)
    assert "Traceback" not in result.output
    return result


@pytest.fixture(scope="module")
def results(good: Place, of_dora: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Result]:
    place = good.copied(tmp_path_factory.mktemp("results") / "school.db")
    return {command: run(place, command, of_dora) for command in COMMANDS}


def test_every_command_does_its_work_in_a_good_world(results):
    assert {command: result.stderr for command, result in results.items() if result.exit_code or result.stderr} == {}


@pytest.mark.usefixtures("impatient", "results")
@pytest.mark.parametrize("name", WORLDS)
def test_every_command_does_its_work_or_says_in_one_sentence_why_not(name, good, place, of_dora, tmp_path):
    bad, before = WORLDS[name], set(good.stored())
    with bad.enter(place, tmp_path) as settings:
        foreign = None if "course" in settings else place.db.read_bytes()
        results = {command: run(place, command, of_dora, **settings) for command in COMMANDS}
    failed = {command for command, result in results.items() if result.exit_code}
    assert failed == bad.fail
    assert {results[command].exit_code for command in failed} == {bad.status}
    for command in failed:
        if command not in CHECK | {"log verify"} or results[command].stderr:
            assert re.search(bad.says, worlds.sentence(results[command])), command
    # Nothing is lost, whatever it is.
    assert place.db.read_bytes() == foreign or before <= set(place.stored())


@pytest.mark.usefixtures("impatient")
@pytest.mark.parametrize(
    "name", [name for name, bad in WORLDS.items() if bad.fail == WRITES and name != "another_program_is_writing"]
)
def test_a_review_that_could_not_be_stored_says_so_before_its_first_question(name, place, tmp_path):
    with WORLDS[name].enter(place, tmp_path) as settings:
        result = place("review", typed=Typist(), **settings)
    assert (result.exit_code, result.stdout) == (1, "")


@contextmanager
def left(*files: Path) -> Iterator[Path]:
    """Copies of files in a folder in which nothing can be written."""
    with tempfile.TemporaryDirectory() as made:
        folder, superuser = Path(made), os.geteuid() == 0
        for file in files:
            folder.joinpath(file.name).write_bytes(file.read_bytes())
        folder.chmod(0o555)
        try:
            if superuser:
                os.seteuid(65534)
            yield folder
        finally:
            if superuser:
                os.seteuid(0)
            folder.chmod(0o777)


def test_what_was_written_ahead_is_read_from_a_folder_that_may_only_be_read(place):
    """As it is left behind by a machine that went off."""
    with closing(sqlite3.connect(place.db, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("PRAGMA wal_autocheckpoint = 0")
        other.execute("UPDATE students SET name = 'Beatrix' WHERE name = 'Bea'")
        with left(place.db, Path(f"{place.db}-wal")) as folder:
            assert "Beatrix" in place("student", "list", db=folder / place.db.name).output


def test_a_database_of_an_older_form_is_read_where_it_cannot_be_brought_to_todays(place, tmp_path):
    engine.locate(str(tmp_path / "old.db")).upgrade("0002")
    with left(tmp_path / "old.db") as folder:
        assert "No one studies here yet" in place("student", "list", db=folder / "old.db").output


def test_a_full_disk_ends_the_sitting_and_keeps_every_answer_that_was_marked(place):
    before, marks = set(place.stored()), 0
    with no_file_larger_than(max(place.db.stat().st_size, 32_768)):
        for day in range(1, 9):
            result = place("review", "--minutes", 120, typed=Typist(), today=f"2026-06-0{day}")
            marks += len(re.findall("^[✓✗] (?:Right|Not right)", result.stdout, re.MULTILINE))
            if result.exit_code:
                break
    assert re.search("school.db failed or is full|no room left", worlds.sentence(result))
    assert before <= set(place.stored())
    assert len(place.stored()) == len(before) + marks
    assert "WRONG" not in place.does("log", "verify")
    place.does("review", "--questions", 1, typed=Typist(), today="2026-06-09")


def test_a_database_that_cannot_be_made_for_want_of_room_is_made_later(place, tmp_path):
    new = replace(place, db=tmp_path / "new.db")
    with no_file_larger_than(20_000):
        assert re.search("new.db failed or is full|no room left", new.fails("student", "add", "Bea"))
    new.does("student", "add", "Bea")


def test_a_reader_who_leaves_ends_the_run_without_a_word(good):
    read, write = os.pipe()
    os.close(read)
    options = ["--db", str(good.db), "--course", str(good.course), "log", "export"]
    program = [sys.executable, "-c", "from stickback.cli.main import main; main()", *options]
    done = subprocess.run(program, stdout=write, stderr=subprocess.PIPE, check=False)
    os.close(write)
    assert (done.returncode, done.stderr) == (1, b"")
