"""Every safeguard of the store, taken out on purpose: then what it is there for no longer holds, and a check says so.

`SAFEGUARDS` is the list: what each is called, how it is taken out, the check below that fails then, and the engines it
belongs to. The tests of the modules look more closely; this file shows that nothing here stands for nothing.
"""

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import sqlalchemy as sa

import behind
from engines import Engine, plain
from stickback import clock
from stickback.memory import entry as entries
from stickback.memory import seal
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import log as logs
from stickback.services import student as students
from stickback.store import (
    acts,
    backup,
    chain,
    connections,
    damage,
    dialect,
    engine,
    files,
    log,
    people,
    persons,
    postgresql,
    union,
)
from stickback.store.dialect import Dialect
from stickback.store.engine import Database
from stickback.store.postgresql import PostgreSQL
from stickback.store.sqlite import SQLite
from stickback.study.student import Student, settings_text

NOW = clock.clock_for("UTC", date(2026, 3, 1), source=lambda: datetime(2026, 3, 1, 12, tzinfo=UTC))
NOON = 1000 * int(NOW.now.timestamp())
CAUGHT = (AssertionError, pytest.fail.Exception, sa.exc.DBAPIError)  # how a check fails
BOTH = (SQLite, PostgreSQL)


@dataclass(frozen=True, kw_only=True)
class World:
    """What a check works with: an empty database, where others come from, and what takes a safeguard out."""

    store: Database
    kind: Engine
    folder: Path
    patch: pytest.MonkeyPatch
    answer: Callable[..., Entry]
    void: Callable[..., Entry]
    next_version: Callable[[], Path]

    def behind(self, *statements: str) -> list[Any]:
        """Runs statements as another program does, each kept at once; gives the rows of the last."""
        made = plain(self.store)
        with made.connect() as connection:
            found = [connection.exec_driver_sql(each) for each in statements]
            rows = list(found[-1]) if found[-1].returns_rows else []
        made.dispose()
        return rows

    def unguarded(self, *statements: str) -> None:
        """Runs statements with the guards off, and puts them back."""
        with self.store.writing() as connection:
            self.store.dialect.remove(connection)
            for each in statements:
                connection.exec_driver_sql(each)
            self.store.dialect.install(connection)

    def appended(self, *numbers: int) -> list[Entry]:
        """Answers of `ann`, as stored."""
        return [log.append(self.store, "ann", self.answer(n)) for n in numbers]

    def drop(self, name: str) -> None:
        """Takes one guard of the database away."""
        on = f" ON {dialect.guarded(name)}" if isinstance(self.store.dialect, PostgreSQL) else ""
        self.behind(f"DROP TRIGGER {name}{on}")

    def instead(self, where: object, name: str, made: object) -> None:
        """Puts something in the place of a safeguard until the test ends."""
        self.patch.setattr(where, name, made)

    def off(self, name: str, made: object) -> None:
        """Likewise, in the dialect of the database."""
        self.patch.setattr(type(self.store.dialect), name, made)

    def first(self, setting: str) -> None:
        """A setting that a writer of a file finds before ours, however SQLite was built."""
        told = SQLite.settings
        self.patch.setattr(SQLite, "settings", {**told, "write": (setting, *told["write"])})

    def without(self, purpose: str, word: str) -> None:
        """A setting that is left out when a file is opened, or a server is asked."""
        if isinstance(self.store.dialect, SQLite):
            told = SQLite.settings
            less = tuple(each for each in told[purpose] if not each.startswith(word))
            assert len(less) < len(told[purpose])
            self.patch.setattr(SQLite, "settings", {**told, purpose: less})
        else:
            self.off("begin", only_the_school)


def only_the_school(self, connection, _purpose, school):
    self.enter(connection, school)


@dataclass(frozen=True)
class Safeguard:
    """How a safeguard is taken out, the check that fails then, and the engines that have it."""

    out: Callable[[World], object]
    check: Callable[[World], None]
    engines: tuple[type, ...]


SAFEGUARDS: dict[str, Safeguard] = {}


def holds(name: str, out: Callable[[World], object], *engines: type) -> Callable[..., Any]:
    """Enters the check below it into the list, under the name of what it tries.

    Args:
        engines: both, where none is named; what is the same on both is tried on files, which are quicker.
    """

    def enter(made: Callable[[World], None]) -> Callable[[World], None]:
        SAFEGUARDS[name] = Safeguard(out, made, engines or BOTH)
        return made

    return enter


# The database itself refuses


@holds("trigger against changing an entry", lambda world: world.drop("entries_are_never_changed"))
def an_entry_is_never_changed(world):
    world.appended(1)
    with pytest.raises(sa.exc.DBAPIError, match="never changed"):
        world.behind("UPDATE entries SET given = '1'")


@holds("trigger against deleting an entry", lambda world: world.drop("entries_are_never_deleted"))
def an_entry_is_never_deleted(world):
    world.appended(1)
    with pytest.raises(sa.exc.DBAPIError, match="never deleted"):
        world.behind("DELETE FROM entries")


@holds("trigger against replacing an entry", lambda world: world.drop("entries_are_never_replaced"), SQLite)
def an_entry_is_never_replaced(world):
    world.appended(1)
    with pytest.raises(sa.exc.DBAPIError, match="never replaced"):
        world.behind("REPLACE INTO entries SELECT * FROM entries")


@holds("trigger against emptying the table", lambda world: world.drop("entries_are_never_emptied"), PostgreSQL)
def the_entries_are_never_emptied(world):
    world.appended(1)
    with pytest.raises(sa.exc.DBAPIError, match="never emptied"):
        world.behind("TRUNCATE entries")


@holds("trigger against changing an act", lambda world: world.drop("acts_are_never_changed"))
def an_act_is_never_changed(world):
    acts.note(world.store, "exported", "ann")
    with pytest.raises(sa.exc.DBAPIError, match="never changed"):
        world.behind("UPDATE acts SET who = 'bob'")


@holds("trigger against deleting an act", lambda world: world.drop("acts_are_never_deleted"))
def an_act_is_never_deleted(world):
    acts.note(world.store, "exported", "ann")
    with pytest.raises(sa.exc.DBAPIError, match="never deleted"):
        world.behind("DELETE FROM acts")


@holds("trigger against replacing an act", lambda world: world.drop("acts_are_never_replaced"), SQLite)
def an_act_is_never_replaced(world):
    acts.note(world.store, "exported", "ann")
    with pytest.raises(sa.exc.DBAPIError, match="never replaced"):
        world.behind("REPLACE INTO acts SELECT * FROM acts")


@holds("trigger against emptying the acts", lambda world: world.drop("acts_are_never_emptied"), PostgreSQL)
def the_acts_are_never_emptied(world):
    acts.note(world.store, "exported", "ann")
    with pytest.raises(sa.exc.DBAPIError, match="never emptied"):
        world.behind("TRUNCATE acts")


@holds(
    "triggers put back after a migration, an erasure, a restore", lambda world: world.off("install", lambda *_: None)
)
def the_guards_come_back(world):
    world.appended(1)
    people.erase(world.store, "ann")
    after_erasing = world.store.unguarded()
    world.store.upgrade()
    assert (after_erasing, world.store.unguarded()) == ([], [])


@holds("check for missing triggers", lambda world: world.off("missing", lambda *_: []))
def a_guard_that_is_missing_is_named(world):
    world.drop("entries_are_never_changed")
    assert world.store.unguarded() == ["entries_are_never_changed"]


def no_foreign_keys(world):
    if isinstance(world.store.dialect, SQLite):
        world.without("write", "foreign_keys")
    else:
        world.behind("ALTER TABLE entries DROP CONSTRAINT fk_entries_school_students")


@holds("foreign keys", no_foreign_keys)
def an_entry_has_its_student(world):
    world.appended(1)
    with pytest.raises(sa.exc.IntegrityError), world.store.writing() as connection:
        connection.exec_driver_sql(
            "INSERT INTO entries (school, student, id, what, day, at, zone, device, number, seal) "
            "SELECT 1, 999, id, what, day, at, zone, device, number, seal FROM entries"
        )


# One transaction


def unlocked(world):
    """Writers begin as readers do: they take the lock when they write, or never."""
    if isinstance(world.store.dialect, SQLite):
        world.off("begin", lambda self, connection, *_: connection.exec_driver_sql("BEGIN") and None)
    else:
        world.off("begin", only_the_school)


@holds("lock taken before a writer reads", unlocked)
def a_second_writer_waits_before_it_reads(world):
    world.patch.setattr("stickback.store.dialect.BUSY_SECONDS", 0)
    with (
        world.store.writing(),
        pytest.raises(Refused, match="in use by another program"),
        world.store.writing() as second,
    ):
        second.execute(sa.select(people.STUDENTS))


def never_rolled_back(world):
    @contextmanager
    def transaction(dialect: Dialect, purpose: str, school: int = 1) -> Iterator[sa.Connection]:
        with connections.engine_of(dialect).execution_options(purpose=purpose, school=school).connect() as connection:
            try:
                yield connection
            finally:
                connection.commit()

    world.instead(engine, "transaction", transaction)


@holds("rollback of what broke off", never_rolled_back)
def what_broke_off_leaves_nothing(world):
    def broken_off():
        with world.store.writing() as connection:
            people.row_or_new(connection, "ann")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken_off()
    assert people.everyone(world.store) == {}


def no_snapshot(world):
    world.off("begin", only_the_school)


@holds("one state for a reader", no_snapshot)
def who_reads_sees_one_state(world):
    many = sa.select(sa.func.count()).select_from(people.STUDENTS)
    with world.store.reading() as connection:
        before = connection.scalar(many)
        world.behind(INSERT_BOB)
        assert connection.scalar(many) == before


INSERT_BOB = (
    "INSERT INTO students "
    "(school, key, name, hidden, phraseology, minutes, target, abroad, listen, entries, number, seal) "
    "VALUES (1, 99, 'bob', false, 'uk', 10, 0.9, false, 'off', 0, 0, '')"
)


@holds("readers that cannot write", lambda world: world.without("read", "query_only"))
def who_reads_cannot_write(world):
    with pytest.raises(Refused, match="cannot be written"), world.store.reading() as connection:
        connection.exec_driver_sql(INSERT_BOB)


# The disk


@holds("commits that wait for the disk", lambda world: world.without("write", "synchronous"))
def a_commit_waits_for_the_disk(world):
    """A file is synced as SQLite was built, and the server of the tests not at all, unless it is said."""
    world.first("synchronous = OFF")
    asked = "PRAGMA synchronous" if isinstance(world.store.dialect, SQLite) else "SHOW synchronous_commit"
    with world.store.writing() as connection:
        assert connection.exec_driver_sql(asked).scalar_one() in {2, "on"}


@holds("writing ahead of the file", lambda world: world.without("write", "journal_mode"), SQLite)
def readers_go_on_while_another_writes(world):
    world.behind("PRAGMA journal_mode = DELETE")
    with world.store.writing() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar_one() == "wal"


@holds("overwriting of what was erased", lambda world: world.without("write", "secure_delete"), SQLite)
def what_was_erased_is_nowhere_in_the_file(world):
    world.first("secure_delete = OFF")
    said = "words that nobody else says"
    for n in range(1, 40):
        log.append(world.store, "ann", world.answer(n, given=said * 9))
    people.erase(world.store, "ann")
    world.behind("PRAGMA wal_checkpoint(TRUNCATE)")
    assert said.encode() not in Path(world.store.name).read_bytes()


def open_to_all(world):
    world.instead(files, "PRIVATE", 0o644)
    made = files.tempfile.mkstemp

    def readable(*args: Any, **more: Any) -> tuple[int, str]:
        handle, name = made(*args, **more)
        Path(name).chmod(0o644)
        return handle, name

    world.instead(files.tempfile, "mkstemp", readable)


@holds("files of their owner alone", open_to_all, SQLite)
def a_database_is_its_owners_alone(world):
    Database(SQLite(world.folder / "new.db")).prepare()
    files.private(world.folder / "other.db")
    modes = {(world.folder / name).stat().st_mode & 0o777 for name in ("new.db", "other.db")}
    assert modes == {0o600}


@contextmanager
def at_once(path: Path, *, over: bool = False) -> Iterator[Path]:
    """A file written where it will stand."""
    path.touch()
    yield path


@holds("files in their place only when whole", lambda world: world.instead(files, "whole", at_once), SQLite)
def a_database_half_made_is_not_there(world):
    def interrupted(self: Database, revision: str = "head") -> None:
        raise KeyboardInterrupt

    with world.patch.context() as patch:
        patch.setattr(Database, "_upgrade", interrupted)
        with pytest.raises(KeyboardInterrupt):
            Database(SQLite(world.folder / "new.db")).prepare()
    assert not (world.folder / "new.db").exists()


def broken_sync(handle: int) -> None:
    raise OSError(errno.EIO, "Input/output error")


@holds("files synced before they are named", lambda world: world.instead(files, "_synced", lambda path: None), SQLite)
def a_file_is_on_disk_before_it_has_its_name(world):
    with world.patch.context() as patch:
        patch.setattr(os, "fsync", broken_sync)
        with pytest.raises(OSError, match="Input/output"), files.whole(world.folder / "new") as unfinished:
            unfinished.write_bytes(b"x")
    assert not (world.folder / "new").exists()


@holds(
    "nothing written over", lambda world: world.instead(Path, "hardlink_to", lambda self, to: to.replace(self)), SQLite
)
def what_is_there_is_not_written_over(world):
    path = world.folder / "there"

    def written_over():
        with files.whole(path) as unfinished:
            path.write_bytes(b"before")
            unfinished.write_bytes(b"after")

    with pytest.raises(FileExistsError):
        written_over()
    assert path.read_bytes() == b"before"


def straight(written):
    for path, content in written:
        path.write_bytes(content)


@holds("exports written whole or not at all", lambda world: world.instead(files, "write", straight), SQLite)
def an_export_that_fails_leaves_the_old_one(world):
    path = world.folder / "readiness.csv"
    path.write_bytes(b"before")
    with world.patch.context() as patch:
        patch.setattr(os, "fsync", broken_sync)
        with pytest.raises(Refused, match="cannot be written"):
            files.write([(path, b"after")])
    assert path.read_bytes() == b"before"


# Versions and copies


@holds("check of the version", lambda world: world.instead(Database, "_version", lambda *_: engine.VERSIONS[-1]))
def a_newer_database_is_refused(world):
    world.appended(1)
    world.behind("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(Refused, match="newer stickback"):
        people.everyone(world.store)
    world.behind("UPDATE alembic_version SET version_num = 'nonsense'")
    with pytest.raises(Refused, match="the version of its form reads"):
        people.everyone(world.store)


@holds("copy before a migration", lambda world: world.off("copy", lambda *_: "nowhere"))
def a_copy_stands_before_a_migration(world):
    old = world.kind.nothing(world.folder, "old")
    old.upgrade(engine.VERSIONS[-2])
    people.everyone(old)
    mark = f"before-{engine.VERSIONS[-1]}"
    if isinstance(old.dialect, SQLite):
        assert Path(f"{old.name}.{mark}").exists()
    else:
        with old.reading() as connection:
            assert mark in sa.inspect(connection).get_schema_names()


@holds("migration in one transaction", never_rolled_back)
def a_migration_that_fails_changes_nothing(world):
    script = world.next_version()
    script.write_text(f'{script.read_text()}    raise ValueError("the next version is not finished")\n')
    with pytest.raises(ValueError, match="not finished"):
        world.store.upgrade()
    with pytest.raises(sa.exc.DBAPIError, match="club"):
        world.behind("SELECT club FROM students")


@holds("check for orphans after a migration", lambda world: world.off("orphans", lambda *_: False), SQLite)
def a_migration_leaves_no_entry_without_its_student(world):
    world.appended(1)
    script = world.next_version()
    script.write_text(f'{script.read_text()}    op.execute("DELETE FROM students")\n')
    with pytest.raises(Refused, match="without their student"):
        people.everyone(world.store)


@holds("copy before a restore", lambda world: world.instead(Database, "keep", lambda *_: None))
def what_was_there_is_kept_before_a_restore(world):
    world.appended(1)
    backup.save(world.store, world.folder / "saved")
    with backup.coming(world.folder / "saved") as copy:
        assert backup.put_back(world.store, copy) is not None


@holds(
    "row-level security of a copy",
    lambda world: world.instead(postgresql, "_APART", "DISABLE ROW LEVEL SECURITY"),
    PostgreSQL,
)
def of_a_copy_in_the_database_no_row_is_seen(world):
    world.appended(1)
    world.store.keep("before-9999")
    assert world.behind('SELECT 1 FROM "before-9999".entries') == []


@holds("tombstones behind a restore", lambda world: world.instead(backup, "_later", lambda *_: set()), SQLite)
def who_was_erased_since_a_backup_and_is_not_in_it_stays_erased(world):
    backup.save(world.store, world.folder / "saved")
    world.appended(1)
    people.erase(world.store, "ann")
    with backup.coming(world.folder / "saved") as copy:
        backup.put_back(world.store, copy)
    assert behind.erased(world.store, ["ann"]) == {"ann"}


@holds("persons shut out behind a restore", lambda world: world.instead(persons, "keep_out", lambda *_: None), SQLite)
def who_was_shut_out_since_a_backup_stays_out(world):
    persons.save(world.store, "Ina", "ina", "school", [])
    backup.save(world.store, world.folder / "saved")
    known = persons.find(world.store, "ina")
    assert known
    persons.remove(world.store, known.person)
    with backup.coming(world.folder / "saved") as copy:
        backup.put_back(world.store, copy)
    assert persons.find(world.store, "ina") is None


@holds("new chains behind a restore", lambda world: world.instead(chain, "renew", lambda database: None))
def behind_a_restore_new_chains_begin(world):
    (before,) = world.appended(1)
    backup.save(world.store, world.folder / "saved")
    with backup.coming(world.folder / "saved") as copy:
        backup.put_back(world.store, copy)
    (after,) = world.appended(2)
    assert (after.device != before.device, after.number) == (True, 1)


# One law of the log


@holds("one entry an id", lambda world: world.instead(chain, "some", lambda connection, key, ids: {}), SQLite)
def an_entry_sent_twice_is_one(world):
    world.appended(1, 1)
    assert len(list(log.entries_of(world.store))) == 1


def door_open(world):
    world.instead(entries, "_whole", lambda row: None)
    world.instead(entries, "_CHECKS", dict.fromkeys(entries._CHECKS, lambda value: True))


@holds("check of the form of an entry", door_open, SQLite)
def what_no_log_can_hold_is_not_appended(world):
    for change in ({"confidence": "certain"}, {"question": None}, {"score": 1.5}):
        with pytest.raises(ValueError):
            log.append(world.store, "ann", replace(world.answer(1), **change))


def line(entry: Entry, at: int = NOON) -> bytes:
    return entries.as_line("ann", replace(entry, at=at)).encode()


EMPTY = SimpleNamespace(questions={}, sheets={})  # a course in which nothing is known


@holds("law at the door of an import", lambda world: world.instead(entries, "unlawful", lambda entry: ""), SQLite)
def what_is_against_the_law_is_not_imported(world):
    with pytest.raises(Refused, match="no time zone"):
        logs.read(EMPTY, NOW, [line(replace(world.answer(1), zone="Mars"))])


def taught():
    """A course of one question, to which every answer is right."""
    mark = SimpleNamespace(right=True, score=1.0)
    question = SimpleNamespace(revision="ab12", body=SimpleNamespace(judge=lambda *_: (mark, None)))
    return SimpleNamespace(questions={"yaw": question}, sheets={"quillon": "any"}, log_name=lambda one: "tailwheel/yaw")


@holds("marking again at the door", lambda world: world.instead(logs, "law", lambda course: entries.unlawful), SQLite)
def a_mark_that_was_changed_is_not_imported(world):
    world.instead(logs, "variant", lambda *_: "")
    world.instead(logs.asking, "values", lambda *_: {})
    with pytest.raises(Refused, match="marks otherwise"):
        logs.read(taught(), NOW, [line(world.answer(1, right=False, aircraft="quillon"))])


@holds(
    "days after tomorrow at the door",
    lambda world: world.instead(logs, "timedelta", lambda days: timedelta(days=999)),
    SQLite,
)
def a_day_after_tomorrow_is_not_imported(world):
    with pytest.raises(Refused, match="after tomorrow"):
        logs.read(EMPTY, NOW, [line(world.answer(1, "2026-03-09"), NOON + 8 * 86_400_000)])


@holds("days in their order", lambda world: world.instead(log, "_study_day", lambda connection, key, day: day), SQLite)
def an_answer_far_behind_the_last_is_refused(world):
    log.append(world.store, "ann", world.answer(1, "2026-03-05"))
    with pytest.raises(Refused, match="undo"):
        log.append(world.store, "ann", world.answer(2, "2026-03-01"))


def settings_of(world, n, day):
    given = settings_text(Student(name="ann", minutes=10 + n))
    return Entry(id=world.answer(n).id, what="settings", day=date.fromisoformat(day), at=n, zone="UTC", given=given)


@holds("settings in the order of days", lambda world: world.instead(log, "_refuse_older", lambda *_: None), SQLite)
def older_settings_are_refused(world):
    log.append(world.store, "ann", settings_of(world, 1, "2026-03-05"))
    with pytest.raises(Refused, match="last changed on"):
        log.append(world.store, "ann", settings_of(world, 2, "2026-03-01"))


@holds("no void of a void", lambda world: world.instead(chain, "_refuse_voided_voids", lambda *_: None), SQLite)
def a_void_is_never_voided(world):
    world.appended(1)
    log.append(world.store, "ann", world.void(2, world.answer(1).id))
    with pytest.raises(Refused, match="is a void"):
        log.append(world.store, "ann", world.void(3, world.void(2, "").id))


@holds("counter of entries", lambda world: world.instead(people, "counted", lambda *_, **__: None), SQLite)
def every_entry_is_counted(world):
    world.appended(1, 2)
    assert people.counts(world.store) == {"ann": 2}


# Merging


def theirs(world):
    parted = union._parted
    world.instead(union, "_parted", lambda student, found, there, keep: parted(student, found, there, "there"))


@holds("conflict of two contents", theirs, SQLite)
def of_two_contents_neither_is_taken(world):
    world.appended(1)
    found = union.merge(world.store, [("ann", world.answer(1, seconds=9.0))])
    assert (found.new, len(found.conflicts)) == (0, 1)
    assert [each.seconds for _, each in log.entries_of(world.store)] == [4.5]


@holds("seals at the door", lambda world: world.instead(union, "_refuse_changed", lambda *_: None), SQLite)
def what_was_changed_after_it_was_sealed_is_not_merged(world):
    changed = replace(seal.sealed(world.answer(1), world.void(9, "").id, 1, ""), seconds=9.0)
    with pytest.raises(Refused, match="changed after it was sealed"):
        union.merge(world.store, [("ann", changed)])


@holds("tombstones", lambda world: world.instead(people, "of_name", lambda *_: set()), SQLite)
def who_was_erased_does_not_come_back(world):
    world.appended(1)
    people.erase(world.store, "ann")
    with pytest.raises(Refused, match="was erased here"):
        logs.merge(world.store, logs.read(EMPTY, NOW, [line(world.answer(1))]))


@holds("names that differ in more than case", lambda world: world.instead(people, "alike", lambda name: name), SQLite)
def a_name_that_differs_in_case_alone_is_refused(world):
    world.appended(1)
    with pytest.raises(Refused, match="only in case"):
        students.check_free(world.store, "ANN")


# What shows afterwards


def walked(world):
    return seal.walk([each for _, each in log.entries_of(world.store)])


@holds("seal over an entry", lambda world: world.instead(seal, "fits", lambda *_: True), SQLite)
def a_changed_entry_shows(world):
    world.appended(1, 2, 3)
    world.unguarded("UPDATE entries SET seconds = 1 WHERE number = 2")
    assert [each.number for each in walked(world).changed] == [2]


@holds("seal over the one before", lambda world: world.instead(seal, "fits", lambda *_: True), SQLite)
def an_entry_that_is_missing_shows(world):
    world.appended(1, 2, 3)
    world.unguarded("DELETE FROM entries WHERE number = 2")
    assert [number for (_, number), _ in walked(world).missing] == [2]


def headless(world):
    counted = people.counted
    world.instead(people, "counted", lambda connection, key, more, **_: counted(connection, key, more))


@holds("number of the last entry", headless, SQLite)
def an_entry_taken_off_the_end_shows(world):
    world.appended(1, 2)
    world.unguarded("DELETE FROM entries WHERE number = (SELECT max(number) FROM entries)")
    found = {"ann": [each for _, each in log.entries_of(world.store)]}
    assert len(list(damage.heads(world.store, found))) == 1


@holds("settings held to the log", lambda world: world.instead(damage, "_settings", lambda *_: iter(())), SQLite)
def settings_changed_behind_the_log_show(world):
    log.append(world.store, "ann", settings_of(world, 1, "2026-03-05"))
    world.behind("UPDATE students SET minutes = 60")
    assert list(damage.rows(world.store)) == ["ann: minutes is 60, and the log says 11"]


@holds("search for damaged rows", lambda world: world.instead(damage, "_wrong", lambda *_: ""), SQLite)
def a_damaged_row_is_named(world):
    world.appended(1)
    world.behind("UPDATE students SET minutes = 900")
    assert damage.first(world.store) == "The student ann is damaged: it gives minutes that cannot be."


ENGINES = {SQLite: "files", PostgreSQL: "server"}
ROWS = [
    pytest.param(of, name, id=f"{name} ({of.__name__})") for name, each in SAFEGUARDS.items() for of in each.engines
]


@pytest.fixture
def world(request, monkeypatch, tmp_path, answer, void):
    """An empty database of one engine; made before anything is taken out, since others are copied from it."""

    def build(of: type) -> World:
        kind = request.getfixturevalue(ENGINES[of])
        request.addfinalizer(kind.sweep())
        request.addfinalizer(engine.close)
        return World(
            store=kind.empty(tmp_path),
            kind=kind,
            folder=tmp_path,
            patch=monkeypatch,
            answer=answer,
            void=void,
            next_version=lambda: request.getfixturevalue("second_version"),
        )

    return build


@pytest.mark.parametrize(("of", "name"), ROWS)
def test_a_safeguard_does_what_it_is_there_for(world, of, name):
    SAFEGUARDS[name].check(world(of))


@pytest.mark.parametrize(("of", "name"), ROWS)
def test_without_a_safeguard_its_check_fails(world, of, name):
    made = world(of)
    SAFEGUARDS[name].out(made)
    with pytest.raises(CAUGHT):
        SAFEGUARDS[name].check(made)


def test_every_guard_of_either_engine_is_in_the_list():
    words = ("changing", "deleting", "replacing", "emptying")
    listed = [
        (of, name) for name, each in SAFEGUARDS.items() for of in each.engines if name.startswith("trigger against")
    ]
    assert all(any(word in name for word in words) for _, name in listed)
    assert {of: sum(one is of for one, _ in listed) for of in ENGINES} == {of: len(of.guards) for of in ENGINES}
