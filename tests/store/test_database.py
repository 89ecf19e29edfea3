import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
import sqlalchemy as sa

from stickback.refused import Refused
from stickback.store import database, guards, log, people
from stickback.store.database import Database
from stickback.study.student import Student

NOBODY = 65534


@pytest.fixture
def filled(store, answer, close):
    """A database with three answers, all of them in its file."""
    for n in (1, 2, 3):
        log.append(store, "ann", answer(n))
    close(store)
    return store


@pytest.fixture
def tries(answer):
    """What anyone does with a database, by name: what reads it, and what writes."""
    reads = {
        "read": lambda store: log.read(store, "ann"),
        "export": lambda store: list(log.lines(store)),
        "students": people.everyone,
        "guards": database.unguarded,
    }
    writes = {
        "append": lambda store: log.append(store, "ann", answer(9)),
        "merge": lambda store: log.merge(store, [("ann", answer(9))]),
        "save": lambda store: people.save(store, Student("ann", minutes=15)),
        "hide": lambda store: people.hide(store, "ann"),
        "erase": lambda store: people.erase(store, "ann"),
    }
    return reads, writes


def sentences(store, actions):
    """What each action is refused with, by the action's name."""
    found = {}
    for name, action in actions.items():
        with pytest.raises(Refused) as refusal:
            action(store)
        found[name] = refusal.value.message
    return found


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


# Making and opening


@pytest.mark.parametrize("before", [None, b""])
def test_there_is_nothing_to_read_before_something_was_stored(tmp_path, tries, before):
    store = Database(tmp_path / "new.db")
    if before is not None:
        store.path.write_bytes(before)
    there = files(tmp_path)
    with store.reading() as connection:
        assert connection is None
    assert (log.read(store, "me").rows, list(log.lines(store)), people.everyone(store)) == ((), [], {})
    assert files(tmp_path) == there


@pytest.mark.parametrize("before", [None, b""])
def test_the_first_entry_makes_the_database(tmp_path, answer, before):
    store = Database(tmp_path / "new.db")
    if before is not None:
        store.path.write_bytes(before)
    log.append(store, "me", answer(1))
    assert [entry for _, entry in log.entries_of(Database(store.path))] == [answer(1)]
    assert database.unguarded(store) == []


def test_a_prepared_database_has_its_tables_and_guards(tmp_path):
    store = Database(tmp_path / "new.db")
    store.prepare()
    with store.reading() as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
        assert guards.missing(connection) == []


def test_a_missing_guard_is_named(store, other):
    other.execute("DROP TRIGGER entries_are_never_deleted")
    assert database.unguarded(store) == ["entries_are_never_deleted"]


def test_who_reads_cannot_write(store):
    with pytest.raises(Refused, match="cannot be written"), store.reading() as connection:
        connection.execute("INSERT INTO students VALUES (1, 'ann', 0, NULL, 'uk', NULL, NULL, NULL, 10, 0.9, NULL, 0)")


def test_reading_does_without_what_only_writing_needs(filled):
    code = """
import sys
from pathlib import Path
from stickback.store import log
from stickback.store.database import Database
assert len(log.read(Database(Path(sys.argv[1])), "ann").rows) == 3
print({"sqlmodel", "sqlalchemy", "alembic"} & set(sys.modules))
"""
    run = subprocess.run([sys.executable, "-c", code, filled.path], capture_output=True, text=True, check=True)
    assert run.stdout == "set()\n"


# One transaction


def test_what_was_written_before_an_exception_is_taken_back(store):
    def interrupted():
        with store.writing() as session:
            people.row_of(session, "ann")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert people.everyone(store) == {}


@pytest.mark.parametrize("shared", [True, False])
def test_two_who_append_at_once_lose_nothing(store, answer, shared):
    stores = (store, store if shared else Database(store.path))
    failures = []

    def fifty(who, first):
        try:
            for n in range(first, first + 50):
                log.append(who, "ann", answer(n))
        except Refused as refusal:
            failures.append(refusal)

    threads = [threading.Thread(target=fifty, args=(who, 50 * index)) for index, who in enumerate(stores)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert [entry for _, entry in log.entries_of(store)] == [answer(n) for n in range(100)]


# Where a database is


@pytest.mark.parametrize("form", ["{}/a.db", "sqlite:///{}/a.db"])
def test_a_database_is_named_by_its_path_or_its_url(tmp_path, form):
    assert database.locate(form.format(tmp_path)) == Database(tmp_path / "a.db")


@pytest.mark.parametrize("form", ["~/a.db", "sqlite:///~/a.db"])
def test_a_path_may_begin_at_home(tmp_path, monkeypatch, form):
    monkeypatch.setenv("HOME", str(tmp_path))
    assert database.locate(form) == Database(tmp_path / "a.db")


@pytest.mark.parametrize(
    ("url", "sentence"),
    [
        (
            "postgresql://school/log",
            "This database cannot be opened; write sqlite:///path/to/file.db.",
        ),
        ("sqlite://", "This database cannot be opened; write sqlite:///path/to/file.db."),
        ("sqlite:///", "The database must be a file; write sqlite:///path/to/file.db."),
        ("", "The database must be a file; write sqlite:///path/to/file.db."),
        (":memory:", "The database must be a file; write sqlite:///path/to/file.db."),
        ("sqlite:///:memory:", "The database must be a file; write sqlite:///path/to/file.db."),
        ("{}", "{} is a folder; name a database file."),
        ("sqlite:///{}", "{} is a folder; name a database file."),
        ("{}/nowhere/a.db", "There is no folder {}/nowhere for the database."),
    ],
)
def test_what_cannot_be_a_database_is_refused(tmp_path, url, sentence):
    with pytest.raises(Refused) as refusal:
        database.locate(url.format(tmp_path))
    assert refusal.value.message == sentence.format(tmp_path)


@pytest.mark.parametrize("name", ["a" * 300, "a" * 10_000])
def test_a_name_that_no_file_can_have_is_refused(tmp_path, name):
    with pytest.raises(Refused, match=r"cannot be opened"):
        log.read(database.locate(f"{tmp_path}/{name}"), "ann")


def test_the_home_of_a_user_who_is_not_there_is_refused():
    with pytest.raises(Refused):
        database.locate("~nobody-of-that-name/a.db")


# Made afresh


def test_a_database_made_afresh_is_empty(filled, other):
    """Also when the old one was not closed."""
    other.execute("UPDATE students SET minutes = 15")
    assert filled.path.with_name("school.db-wal").exists()
    store = database.afresh(filled.path)
    assert files(filled.path.parent) == {}
    assert people.everyone(store) == {}


def test_a_database_that_is_not_there_can_be_made_afresh(tmp_path):
    assert database.afresh(tmp_path / "new.db") == Database(tmp_path / "new.db")


def test_a_folder_is_not_made_afresh(tmp_path):
    with pytest.raises(Refused, match="cannot be opened"):
        database.afresh(tmp_path)
    assert tmp_path.is_dir()


# Bad worlds: whatever a file is, it is refused in one sentence and left as it is.


def of_another_program(path):
    path.unlink()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE entries (id INTEGER)")


def of_another_program_that_migrates_too(path):
    of_another_program(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num TEXT)")


def newer(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()


def folder(path):
    path.unlink()
    path.mkdir()


def written(content):
    return lambda path: path.write_bytes(content)


def cut(keep):
    return lambda path: os.truncate(path, keep(path.stat().st_size))


DAMAGED = "{} is damaged; put back a copy of it."
NO_DATABASE = "{} is damaged or not a database of stickback."
FOREIGN = "{} is a database of another program."
WORLDS = {
    "of another program": (of_another_program, FOREIGN),
    "of another program with versions": (of_another_program_that_migrates_too, FOREIGN),
    "newer": (newer, "{} was written by a newer stickback; update this one to open it."),
    "a folder": (folder, "{} cannot be opened; check its permissions and those of its folder."),
    "a text": (written(b"Notes on tailwheels, not a database.\n" * 40), NO_DATABASE),
    "a few bytes": (written(b"hello"), NO_DATABASE),
    "any bytes": (written(bytes(7 * n % 256 for n in range(9000))), NO_DATABASE),
    "zeros": (written(bytes(9000)), NO_DATABASE),
    "cut within its first page": (cut(lambda size: 1000), DAMAGED),
    "cut after its first page": (cut(lambda size: 4096), DAMAGED),
    "cut in half": (cut(lambda size: size // 2), DAMAGED),
    "cut by one page": (cut(lambda size: size - 4096), DAMAGED),
}


@pytest.mark.parametrize(("spoil", "sentence"), WORLDS.values(), ids=WORLDS)
def test_what_is_no_sound_database_is_refused_and_left_as_it_is(filled, tries, spoil, sentence):
    reads, writes = tries
    spoil(filled.path)
    before = files(filled.path.parent)
    found = sentences(Database(filled.path), reads | writes)
    assert set(found.values()) == {sentence.format(filled.path)}
    assert files(filled.path.parent) == before


def test_a_damaged_page_of_entries_is_refused_and_left_as_it_is(store, answer, close, tries):
    """Reading stops at it; half a log would be taken for the whole."""
    log.merge(store, [("ann", answer(n)) for n in range(100)])
    close(store)
    with closing(sqlite3.connect(store.path)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entries'").fetchone()
    with store.path.open("r+b") as file:
        file.seek(4096 * (root - 1))
        file.write(b"\xff" * 4096)
    before = store.path.read_bytes()
    _, writes = tries
    found = sentences(Database(store.path), {"export": lambda each: list(log.lines(each)), "append": writes["append"]})
    assert set(found.values()) == {DAMAGED.format(store.path)}
    assert store.path.read_bytes() == before


def test_while_another_writes_reading_goes_on_and_writing_is_refused(filled, other, tries, impatient):
    before, (_, writes) = list(log.lines(filled)), tries
    other.execute("BEGIN IMMEDIATE")
    assert set(sentences(Database(filled.path), writes).values()) == {
        f"{filled.path} is in use by another program; try again in a moment."
    }
    assert list(log.lines(filled)) == before
    other.execute("ROLLBACK")
    writes["append"](filled)
    assert len(list(log.lines(filled))) == 4


def test_a_new_database_that_another_makes_at_the_moment_is_refused(store, tries, impatient):
    path = store.path.with_name("new.db")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        _, writes = tries
        assert set(sentences(Database(path), writes).values()) == {
            f"{path} is in use by another program; try again in a moment."
        }


@pytest.fixture
def open_folder():
    """A folder that everyone may enter, which the folders of tests are not."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)
        Path(name).chmod(0o755)


@contextmanager
def anyone():
    """As a user whom permissions bind."""
    if os.geteuid():
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


posix = pytest.mark.skipif(os.name != "posix", reason="permissions and limits of POSIX")


@posix
@pytest.mark.parametrize("mode", [0o755, 0o555])
def test_a_file_that_cannot_be_written_is_refused_when_it_is_written(filled, tries, open_folder, mode):
    path = shutil.copy(filled.path, open_folder / "school.db")
    path.chmod(0o444)
    open_folder.chmod(mode)
    before = files(open_folder)
    with anyone():
        found = sentences(Database(path), tries[1])
    assert set(found.values()) == {f"{path} cannot be written; check its permissions."}
    assert files(open_folder)["school.db"] == before["school.db"]


@posix
def test_a_folder_in_which_no_database_can_be_made_is_refused(tries, open_folder):
    path = open_folder / "new.db"
    open_folder.chmod(0o555)
    with anyone():
        found = sentences(Database(path), tries[1])
    assert set(found.values()) == {f"{path} cannot be opened; check its permissions and those of its folder."}
    assert files(open_folder) == {}


@posix
def test_words_in_a_path_are_not_taken_for_the_error(open_folder):
    path = open_folder / "full-stop" / "school.db"
    path.parent.mkdir()
    path.parent.chmod(0o600)
    with anyone(), pytest.raises(Refused) as refusal:
        log.read(Database(path), "ann")
    assert "room" not in refusal.value.message


@contextmanager
def full_disk():
    """Nothing more can be written to any file."""
    resource = pytest.importorskip("resource")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, limits[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)


@posix
@pytest.mark.parametrize("opened", [True, False])
def test_on_a_full_disk_every_writing_is_refused_and_what_was_stored_is_safe(filled, answer, tries, opened):
    if opened:
        log.append(filled, "ann", answer(4))
    before, (_, writes) = list(log.lines(filled)), tries
    with full_disk():
        found = sentences(filled, writes)
    assert set(found.values()) == {f"The disk of {filled.path} failed or is full; what was stored before is safe."}
    assert list(log.lines(filled)) == before
    writes["append"](filled)
    assert [entry for _, entry in log.entries_of(filled)][len(before) :] == [answer(9)]


@posix
def test_a_database_that_a_full_disk_kept_from_being_made_can_be_made_later(tmp_path, tries, answer):
    store = Database(tmp_path / "new.db")
    with full_disk():
        found = sentences(store, tries[1])
    assert set(found.values()) == {f"The disk of {store.path} failed or is full; what was stored before is safe."}
    log.append(store, "ann", answer(1))
    assert [entry for _, entry in log.entries_of(store)] == [answer(1)]


def test_a_disk_that_fills_while_merging_leaves_none_of_the_file(filled, answer):
    before = list(log.lines(filled))
    engine = filled._engine
    sa.event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("PRAGMA max_page_count = 20"))
    with pytest.raises(Refused) as refusal:
        log.merge(filled, [("bob", answer(n, given="x" * 900)) for n in range(100)])
    assert refusal.value.message == (
        f"There is no room left on the disk of {filled.path}; what was stored before is safe."
    )
    assert list(log.lines(filled)) == before
    assert list(people.everyone(filled)) == ["ann"]


@posix
def test_an_answer_whose_file_was_moved_away_is_refused_or_stored(filled, answer, tmp_path):
    log.append(filled, "ann", answer(4))
    for path in tmp_path.glob("school.db*"):
        path.rename(tmp_path / f"moved-{path.name}")
    shutil.copy(tmp_path / "moved-school.db", filled.path)
    try:
        log.append(filled, "ann", answer(5))
    except Refused:
        return
    assert answer(5) in [entry for _, entry in log.entries_of(filled)]


@pytest.mark.parametrize(
    ("error", "sentence"),
    [
        ("database is locked", "is in use by another program"),
        ("attempt to write a readonly database", "cannot be written"),
        ("database or disk is full", "There is no room left"),
        ("disk I/O error", "failed or is full"),
        ("database disk image is malformed", "is damaged"),
        ("file is not a database", "is damaged or not a database of stickback"),
        ("no such column: club", "school.db cannot be opened: no such column: club."),
    ],
)
def test_what_the_driver_says_is_told_in_one_sentence(error, sentence):
    told = database.sentence(Path("school.db"), error)
    assert sentence in told
    assert "school.db" in told
    assert told.endswith(".")


def test_a_mistake_of_the_program_is_not_taken_for_a_bad_file(store):
    with pytest.raises(sa.exc.IntegrityError), store.writing() as session:
        session.connection().exec_driver_sql("INSERT INTO students (name) VALUES ('ann')")
