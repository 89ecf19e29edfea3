from dataclasses import replace
from datetime import date

import pytest

from stickback.course import read as courses
from stickback.memory.curve import DEFAULTS
from stickback.services import log as logs
from stickback.services import student as students
from stickback.services import verify
from stickback.store import log, parameters, people
from stickback.store.postgresql import PostgreSQL

NAMES = ["guards", "counts", "entries", "voids", "seals", "rows", "keys", "memory"]


def wrong(device, course):
    """What does not hold, by the name of the check."""
    found = verify.verify(device.store, course)
    assert [check.name for check in found] == NAMES
    return {check.name: check.wrong for check in found if check.wrong}


def notes(device):
    return [note for check in verify.verify(device.store, device.course) for note in check.notes]


def tamper(device, *statements):
    """Changes entries behind the program's back and puts the guards in place again."""
    with device.store.writing() as connection:
        device.store.dialect.remove(connection)
        for statement in statements:
            connection.exec_driver_sql(statement)
        device.store.dialect.install(connection)


@pytest.fixture(scope="module")
def begun(open_school, hands, tmp_path_factory):
    """A school that stored all its answers itself: `me` eight of them in two days, and settings."""
    school = open_school(tmp_path_factory.mktemp("own"))
    students.set_(school.store, school.course, "me", {"minutes": 25}, date(2026, 5, 31))
    for day in (0, 2):
        session = school.begin(day=day, topic="swing")
        for _ in range(2):
            session, _ = hands.answer(session, right=day == 0, confidence="sure")
    session.desk.undo()
    school.flown(2, "2", "late-foot")
    return school


@pytest.fixture
def own(begun, tmp_path):
    """A copy of that school: making it takes longer than most tests."""
    return replace(begun, folder=tmp_path).copied("own")


def test_nothing_is_wrong_with_a_log_as_the_program_writes_it(own, taught):
    assert wrong(own, taught) == {}
    assert notes(own) == []


def test_nothing_is_wrong_with_no_log_at_all(taught, school, kind, tmp_path):
    assert wrong(school, taught) == {}
    assert wrong(replace(school, store=kind.nothing(tmp_path)), taught) == {}


def in_middle(n=3):
    return f"(SELECT id FROM entries WHERE number = {n})"


TAMPERINGS = {
    "given": (f"UPDATE entries SET given = 'c' WHERE id = {in_middle()}", "seals"),
    "mark": (f'UPDATE entries SET "right" = NOT "right" WHERE id = {in_middle()}', "seals"),
    "score": (f"UPDATE entries SET score = 0.5 WHERE id = {in_middle()}", "seals"),
    "confidence": (f"UPDATE entries SET confidence = 'guess' WHERE id = {in_middle()}", "seals"),
    "hint": (f"UPDATE entries SET hinted = NOT hinted WHERE id = {in_middle()}", "seals"),
    "seconds": (f"UPDATE entries SET seconds = 1 WHERE id = {in_middle()}", "seals"),
    "question": (f"UPDATE entries SET question = 'tw/stick' WHERE id = {in_middle()}", "seals"),
    "variant": (f"UPDATE entries SET variant = 'x' WHERE id = {in_middle()}", "seals"),
    "revision": (f"UPDATE entries SET revision = 'x' WHERE id = {in_middle()}", "seals"),
    "day": (f"UPDATE entries SET day = day + 1 WHERE id = {in_middle()}", "seals"),
    "moment": (f"UPDATE entries SET at = at + 1 WHERE id = {in_middle()}", "seals"),
    "zone": (f"UPDATE entries SET zone = 'Mars' WHERE id = {in_middle()}", "entries"),
    "what": ("UPDATE entries SET what = 'flag' WHERE what = 'flown'", "seals"),
    "void retargeted": ("UPDATE entries SET voids = (SELECT min(id) FROM entries) WHERE what = 'void'", "seals"),
    "void of itself": ("UPDATE entries SET voids = id WHERE what = 'void'", "voids"),
    "number": (f"UPDATE entries SET number = 40 WHERE id = {in_middle()}", "seals"),
    "seal": (f"UPDATE entries SET seal = '{'0' * 64}' WHERE id = {in_middle()}", "seals"),
    "installation": (f"UPDATE entries SET device = 'x' WHERE id = {in_middle()}", "entries"),
    "id": (f"UPDATE entries SET id = '019e827e-8321-73d7-a0be-3836cc147f79' WHERE id = {in_middle()}", "seals"),
    "deleted in the middle": (f"DELETE FROM entries WHERE id = {in_middle()}", "seals"),
    "deleted at the end": ("DELETE FROM entries WHERE number = (SELECT max(number) FROM entries)", "seals"),
    "counter": ("UPDATE students SET entries = 99", "counts"),
    "settings": ("UPDATE students SET minutes = 60", "rows"),
    "another installation": ("INSERT INTO installations (school, id) VALUES (1, 'x')", "rows"),
    "inserted": (
        (
            "INSERT INTO entries (school, student, id, what, day, at, zone, question, given, device, number, seal) "
            "SELECT school, student, '019e827e-8321-73d7-a0be-3836cc147f79', 'flown', day, at, zone, question, given, "
            f"device, 3, '{'0' * 64}' FROM entries WHERE what = 'flown'"
        ),
        "seals",
    ),
}


@pytest.mark.parametrize(("statement", "check"), TAMPERINGS.values(), ids=TAMPERINGS)
def test_whatever_is_done_to_an_entry_behind_the_programs_back_is_named(own, taught, statement, check):
    tamper(own, statement)
    assert check in wrong(own, taught)


def test_a_changed_entry_is_named_with_its_neighbours(own, taught):
    first, second, third = (each.id for each in sorted(own.log(), key=lambda one: one.number)[1:4])
    tamper(own, f"UPDATE entries SET seconds = 1 WHERE id = '{second}'")
    assert wrong(own, taught) == {
        "seals": (f"me {second}: changed after it was sealed, after {first}, before {third}",)
    }


@pytest.mark.parametrize("trigger", ["changed", "deleted"])
def test_a_dropped_guard_is_found(own, taught, trigger):
    on_entries = " ON entries" if isinstance(own.store.dialect, PostgreSQL) else ""
    with own.store.writing() as connection:
        connection.exec_driver_sql(f"DROP TRIGGER entries_are_never_{trigger}" + on_entries)
    assert wrong(own, taught) == {"guards": (f"entries_are_never_{trigger}",)}


def test_what_has_not_come_yet_is_a_note_and_no_fault(other, taught, lines):
    now = other.desk(19).clock
    void = next(place for place, line in enumerate(lines) if b'"void"' in line)
    logs.merge(other.store, logs.read(taught, now, [lines[void]]))
    assert wrong(other, taught) == {}
    found = notes(other)
    assert any("which has not come yet" in note for note in found)
    assert any("before it is missing, of installation" in note for note in found)
    logs.merge(other.store, logs.read(taught, now, lines))
    assert (wrong(other, taught), notes(other)) == ({}, [])


def test_the_copy_of_a_whole_log_under_another_name_is_a_note(other, taught, lines):
    now = other.desk(19).clock
    for name in ("Ann", "Bea"):
        logs.merge(other.store, logs.read(taught, now, lines, name))
    assert wrong(other, taught) == {}
    assert len([note for note in notes(other) if note.endswith("also an entry of Ann")]) == 8


def test_a_database_that_was_copied_and_went_on_twice_is_a_note(own, taught, hands):
    copy = own.copied()
    for device, day in ((own, 5), (copy, 6)):
        hands.answer(device.begin(day=day))
    lines = [line.encode() for line in log.lines(copy.store)]
    logs.merge(own.store, logs.read(taught, own.desk(19).clock, lines))
    assert wrong(own, taught) == {}
    (note,) = notes(own)
    assert "both number 8 of installation" in note
    hands.answer(own.begin(day=8))
    assert wrong(own, taught) == {}


def test_of_a_student_who_began_anew_and_was_brought_back_the_note_says_how_it_may_be(own, taught, hands):
    hands.answer(own.begin(day=8))
    lines = [line.encode() for line in log.lines(own.store)]
    people.erase(own.store, "me")
    hands.answer(own.begin(day=9))
    assert (wrong(own, taught), notes(own)) == ({}, [])
    logs.merge(own.store, logs.read(taught, own.desk(19).clock, lines), back=True)
    assert wrong(own, taught) == {}
    (note,) = notes(own)
    assert "both number 1 of installation" in note
    assert note.endswith("as of a copied database, or of a student who was erased and came back")


def test_marks_are_held_only_to_questions_that_read_as_they_did(own, taught, course_folder):
    tamper(own, 'UPDATE entries SET "right" = NOT "right" WHERE what = \'answer\'')
    files = [(path.relative_to(course_folder).as_posix(), path.read_bytes()) for path in course_folder.rglob("*.md")]
    reworded = courses.read([(name, raw.replace(b"?", b", please?")) for name, raw in files])
    assert reworded.problems == ()
    assert "entries" in wrong(own, taught)
    assert "entries" not in wrong(own, reworded)


def test_the_fold_agrees_in_pieces_at_once_and_with_the_library(school, taught, hands):
    for day in (0, 1, 3, 8, 20, 21, 60):
        hands.finish(school.begin(day=day, lesson="2"), lambda name: (len(name) % 2 == 0, "think"))
    assert wrong(school, taught) == {}


def test_a_fold_that_differs_is_found(own, taught, monkeypatch):
    real = verify._by_library

    def off(past):
        state = real(past)
        state.stability[0] *= 1 + 1e-8
        return state

    monkeypatch.setattr(verify, "_by_library", off)
    assert wrong(own, taught) == {"memory": ("me: folded by the library it differs",)}


def test_a_set_of_parameters_that_cannot_be_read_is_named(own, taught):
    parameters.adopt(own.store, "me", DEFAULTS, 500, own.desk().clock)
    tamper(own, "UPDATE parameters SET \"values\" = '[1]'")
    assert wrong(own, taught) == {"rows": ("me: an adopted set of parameters cannot be read",)}


# A fingerprint on paper


def test_a_students_own_fingerprint_is_held_to_the_students_own_log(own):
    day = date(2026, 6, 3)
    log.append(own.store, "Zoe", own.begin(day=2).desk.entry("flag", question="tailwheel/yaw", given="?"))
    paper = log.fingerprint(own.store, day, student="me")
    assert paper != log.fingerprint(own.store, day)
    held = verify.against(own.store, paper, day)
    assert (held.wrong, held.holds) == ((), f"the log of me up to {day} is the one that was printed")


def test_a_fingerprint_on_paper_shows_what_no_seal_can(own, taught, hands):
    day = date(2026, 6, 3)
    paper = log.fingerprint(own.store, day)
    hands.answer(own.begin(day=9))
    assert verify.against(own.store, paper, day).wrong == ()
    assert verify.against(own.store, f" {paper.upper()}\n", day).wrong == ()
    tamper(own, "UPDATE students SET name = 'you'")
    assert wrong(own, taught) == {}
    (said,) = verify.against(own.store, paper, day).wrong
    assert said.endswith(f"not {paper}")
