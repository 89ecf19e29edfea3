import os
import shutil
import sqlite3
import tempfile
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
import sqlalchemy as sa

import behind
from stickback.refused import Refused
from stickback.store import dialect, engine, log, people, union
from stickback.store.engine import Database
from stickback.store.sqlite import SQLite
from stickback.study.student import Student

NOBODY = 65534


@pytest.fixture
def filled(file, answer):
    """A file with three answers, all of them in it."""
    for n in (1, 2, 3):
        log.append(file, "ann", answer(n))
    engine.close()
    return file


@pytest.fixture
def other(file, aside):
    """Another program's plain connection to the file."""
    with aside(file) as connection:
        yield connection


@pytest.fixture
def tries(answer):
    """What anyone does with a database, by name: what reads it, and what writes."""
    reads = {
        "read": lambda store: log.read(store, "ann"),
        "export": lambda store: list(log.lines(store)),
        "students": people.everyone,
        "guards": Database.unguarded,
    }
    writes = {
        "append": lambda store: log.append(store, "ann", answer(9)),
        "merge": lambda store: union.merge(store, [("ann", answer(9))]),
        "save": lambda store: behind.put(store, Student(name="ann", minutes=15)),
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


# Made afresh


def test_a_database_made_afresh_is_empty(filled, other):
    """Also when the old one was not closed."""
    other.exec_driver_sql("UPDATE students SET minutes = 15")
    assert filled.dialect.path.with_name("school.db-wal").exists()
    store = engine.afresh(filled.dialect.path)
    assert files(filled.dialect.path.parent) == {}
    assert people.everyone(store) == {}


def test_a_database_that_is_not_there_can_be_made_afresh(tmp_path):
    assert engine.afresh(tmp_path / "new.db") == Database(SQLite(tmp_path / "new.db"))


def test_a_folder_is_not_made_afresh(tmp_path):
    with pytest.raises(Refused, match="cannot be opened"):
        engine.afresh(tmp_path)
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


def version(*statements):
    def spoil(path):
        with closing(sqlite3.connect(path)) as connection:
            for statement in statements:
                connection.execute(statement)
            connection.commit()

    return spoil


def without_tables(path):
    path.unlink()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 1")


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
EMPTY = "{} holds no database; put back a copy of it, or remove it to begin anew."
VERSION_MISSING = "{} is damaged: the version of its form is missing; put back a copy of it."
VERSION = "{} is damaged: the version of its form reads {}; put back a copy of it."
WORLDS = {
    "of another program": (of_another_program, FOREIGN),
    "of another program with versions": (of_another_program_that_migrates_too, FOREIGN),
    "with no table": (without_tables, EMPTY),
    "of no bytes": (written(b""), EMPTY),
    "of one byte": (written(b"S"), EMPTY),
    "without a version": (version("DROP TABLE alembic_version"), VERSION_MISSING),
    "of no version": (version("DELETE FROM alembic_version"), VERSION.format("{}", "''")),
    "of a version of nonsense": (
        version("UPDATE alembic_version SET version_num = 'x\x1b'"),
        VERSION.format("{}", r"'x\x1b'"),
    ),
    "of two versions": (version("INSERT INTO alembic_version VALUES ('0001')"), VERSION.format("{}", "''")),
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
    spoil(filled.dialect.path)
    before = files(filled.dialect.path.parent)
    found = sentences(filled, reads | writes)
    assert set(found.values()) == {sentence.format(filled.dialect.path)}
    assert files(filled.dialect.path.parent) == before


def test_a_damaged_page_of_entries_is_refused_and_left_as_it_is(file, answer, tries):
    """Reading stops at it; half a log would be taken for the whole."""
    union.merge(file, [("ann", answer(n)) for n in range(100)])
    engine.close()
    path = file.dialect.path
    with closing(sqlite3.connect(path)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entries'").fetchone()
    with path.open("r+b") as raw:
        raw.seek(4096 * (root - 1))
        raw.write(b"\xff" * 4096)
    before = path.read_bytes()
    _, writes = tries
    found = sentences(file, {"export": lambda each: list(log.lines(each)), "append": writes["append"]})
    assert set(found.values()) == {DAMAGED.format(path)}
    assert path.read_bytes() == before


def test_while_another_writes_reading_goes_on_and_writing_is_refused(filled, other, tries, impatient):
    before, (_, writes) = list(log.lines(filled)), tries
    other.exec_driver_sql("BEGIN IMMEDIATE")
    assert set(sentences(filled, writes).values()) == {
        f"{filled.dialect.path} is in use by another program; try again in a moment."
    }
    assert list(log.lines(filled)) == before
    other.exec_driver_sql("ROLLBACK")
    writes["append"](filled)
    assert len(list(log.lines(filled))) == 4


def test_where_two_make_a_new_database_at_the_moment_one_of_them_stands(tmp_path, answer, monkeypatch):
    first, upgrade = Database(SQLite(tmp_path / "new.db")), Database._upgrade

    def overtaken(self):
        monkeypatch.setattr(Database, "_upgrade", upgrade)
        log.append(Database(SQLite(tmp_path / "new.db")), "bob", answer(1))
        upgrade(self)

    monkeypatch.setattr(Database, "_upgrade", overtaken)
    log.append(first, "ann", answer(2))
    assert list(people.everyone(first)) == ["ann", "bob"]
    assert set(files(tmp_path)) == {"new.db"}


def test_a_new_database_is_whole_when_it_has_its_name(tmp_path, monkeypatch):
    def interrupted(self):
        raise KeyboardInterrupt

    monkeypatch.setattr(Database, "_upgrade", interrupted)
    with pytest.raises(KeyboardInterrupt):
        Database(SQLite(tmp_path / "new.db")).prepare()
    assert files(tmp_path) == {}


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
    path = shutil.copy(filled.dialect.path, open_folder / "school.db")
    path.chmod(0o444)
    open_folder.chmod(mode)
    before = files(open_folder)
    with anyone():
        found = sentences(Database(SQLite(path)), tries[1])
    assert set(found.values()) == {f"{path} cannot be written; check its permissions."}
    assert files(open_folder)["school.db"] == before["school.db"]


@posix
def test_a_folder_in_which_no_database_can_be_made_is_refused(tries, open_folder):
    path = open_folder / "new.db"
    open_folder.chmod(0o555)
    with anyone():
        found = sentences(Database(SQLite(path)), tries[1])
    assert set(found.values()) == {f"{path} cannot be opened; check its permissions and those of its folder."}
    assert files(open_folder) == {}


@posix
def test_words_in_a_path_are_not_taken_for_the_error(open_folder):
    path = open_folder / "full-stop" / "school.db"
    path.parent.mkdir()
    path.parent.chmod(0o600)
    with anyone(), pytest.raises(Refused) as refusal:
        log.read(Database(SQLite(path)), "ann")
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
    assert set(found.values()) == {
        f"The disk of {filled.dialect.path} failed or is full; what was stored before is safe."
    }
    assert list(log.lines(filled)) == before
    writes["append"](filled)
    assert [entry for _, entry in log.entries_of(filled)][len(before) :] == [answer(9)]


@posix
def test_a_database_that_a_full_disk_kept_from_being_made_can_be_made_later(tmp_path, tries, answer):
    store = Database(SQLite(tmp_path / "new.db"))
    with full_disk():
        found = sentences(store, tries[1])
    assert set(found.values()) == {
        f"The disk of {store.dialect.path} failed or is full; what was stored before is safe."
    }
    log.append(store, "ann", answer(1))
    assert [entry for _, entry in log.entries_of(store)] == [answer(1)]


def test_a_disk_that_fills_while_merging_leaves_none_of_the_file(filled, answer, monkeypatch):
    before = list(log.lines(filled))
    crowded = {**SQLite.settings, "write": (*SQLite.settings["write"], "max_page_count = 20")}
    monkeypatch.setattr(SQLite, "settings", crowded)
    with pytest.raises(Refused) as refusal:
        union.merge(filled, [("bob", answer(n, given="x" * 900)) for n in range(100)])
    assert refusal.value.message == (
        f"There is no room left on the disk of {filled.dialect.path}; what was stored before is safe."
    )
    assert list(log.lines(filled)) == before
    assert list(people.everyone(filled)) == ["ann"]


@posix
def test_an_answer_whose_file_was_moved_away_is_refused_or_stored(filled, answer, tmp_path):
    log.append(filled, "ann", answer(4))
    for path in tmp_path.glob("school.db*"):
        path.rename(tmp_path / f"moved-{path.name}")
    shutil.copy(tmp_path / "moved-school.db", filled.dialect.path)
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
    told = SQLite(Path("school.db")).sentence(sqlite3.OperationalError(error))
    assert sentence in told
    assert "school.db" in told
    assert told.endswith(".")


@posix
def test_a_database_and_all_that_lies_beside_it_are_their_owners_alone(tmp_path, answer):
    store = Database(SQLite(tmp_path / "new.db"))
    with store.writing():
        log.append(Database(SQLite(tmp_path / "other.db")), "ann", answer(1))
        modes = {path.name: path.stat().st_mode & 0o777 for path in tmp_path.iterdir()}
    store.keep("kept")
    modes |= {path.name: path.stat().st_mode & 0o777 for path in tmp_path.iterdir()}
    assert set(modes) == {"new.db", "new.db-wal", "new.db-shm", "new.db.kept", "other.db"}
    assert set(modes.values()) == {0o600}


def test_a_file_is_written_ahead_synced_fully_and_keeps_foreign_keys(file):
    with file.writing() as connection:
        settings = ("journal_mode", "synchronous", "foreign_keys", "trusted_schema", "busy_timeout")
        found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() for name in settings]
    assert found == ["wal", 2, 1, 0, 1000 * dialect.BUSY_SECONDS]


def test_a_writer_keeps_other_writers_out_before_it_writes(file, other):
    other.exec_driver_sql("PRAGMA busy_timeout = 0")
    with file.writing(), pytest.raises(sa.exc.OperationalError, match="locked"):
        other.exec_driver_sql("BEGIN IMMEDIATE")
    other.exec_driver_sql("BEGIN IMMEDIATE")
    other.exec_driver_sql("ROLLBACK")


# One connection for a piece of work


def opened(monkeypatch):
    """Counts the connections that are opened from now on."""
    found, connect = [], SQLite._connect
    monkeypatch.setattr(SQLite, "_connect", lambda self: found.append(self.path) or connect(self))
    return found


def test_what_belongs_together_takes_one_connection_which_is_closed_after_it(filled, answer, monkeypatch):
    found = opened(monkeypatch)
    with filled.held():
        log.read(filled, "ann")
        log.append(filled, "ann", answer(4))
        assert [entry for _, entry in log.entries_of(filled)][-1] == answer(4)
        assert filled.dialect.path.with_name("school.db-wal").exists()
    assert len(found) == 1
    assert set(files(filled.dialect.path.parent)) == {"school.db"}


def test_a_writer_looks_at_the_version_and_writes_on_one_connection(filled, answer, monkeypatch):
    found = opened(monkeypatch)
    log.append(filled, "ann", answer(4))
    assert len(found) == 1


def test_what_reads_while_it_writes_has_a_connection_for_each(filled, answer):
    with filled.held(), filled.writing() as connection:
        people.row_or_new(connection, "bob")
        assert list(people.everyone(filled)) == ["ann"]
    assert list(people.everyone(filled)) == ["ann", "bob"]


def test_after_an_error_the_connection_is_another(filled, answer, monkeypatch):
    found = opened(monkeypatch)
    with filled.held():
        with pytest.raises(sa.exc.IntegrityError), filled.writing() as connection:
            connection.exec_driver_sql("INSERT INTO students (name) VALUES ('bob')")
        log.append(filled, "ann", answer(4))
    assert len(found) == 2
    assert len(list(log.lines(filled))) == 4


@posix
def test_a_file_put_in_the_place_of_one_that_is_held_takes_what_comes_after(filled, answer, tmp_path, aside):
    """The old one keeps what it had; nothing of it comes into the new one, nor is anything of the new one removed."""
    path, other = filled.dialect.path, SQLite(tmp_path / "other.db")
    shutil.copy(path, other.path)
    log.append(Database(other), "bob", answer(7))
    with filled.held():
        log.append(filled, "ann", answer(4))
        for end in ("", "-wal", "-shm"):
            path.with_name(f"school.db{end}").rename(tmp_path / f"moved.db{end}")
        other.path.rename(path)
        with aside(filled) as connection:  # someone has the new one open, with what is written ahead of it
            connection.exec_driver_sql("UPDATE students SET minutes = 15 WHERE name = 'bob'")
            log.append(filled, "ann", answer(5))
            assert path.with_name("school.db-wal").exists()
    found = [entry for _, entry in log.entries_of(filled)]
    assert sorted(found, key=lambda entry: entry.id) == [answer(n) for n in (1, 2, 3, 5, 7)]
    assert people.everyone(filled)["bob"].minutes == 15
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert [entry for _, entry in log.entries_of(Database(SQLite(tmp_path / "moved.db")))] == [
        answer(n) for n in (1, 2, 3, 4)
    ]


@posix
def test_a_held_file_that_was_removed_is_made_anew(filled, answer):
    with filled.held():
        log.append(filled, "ann", answer(4))
        engine.afresh(filled.dialect.path)
        log.append(filled, "ann", answer(5))
    assert [entry for _, entry in log.entries_of(filled)] == [answer(5)]
    assert filled.unguarded() == []
