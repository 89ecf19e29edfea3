import json
from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import permutations

import pytest

from stickback import clock
from stickback.course import read as courses
from stickback.memory.entry import as_line
from stickback.refused import Refused
from stickback.services import log as logs
from stickback.services import undo
from stickback.store import log, people
from stickback.store.dialect import PostgreSQL
from stickback.study.student import Student

NOW = clock.clock_for("UTC", date(2026, 6, 20), source=lambda: datetime(2026, 6, 20, 12, tzinfo=UTC))


@pytest.fixture(scope="module")
def kept():
    """The lines below, once they were made."""
    return []


@pytest.fixture
def lines(school, hands, kept):
    """Lines of a log of `me`: answers right and wrong on three days, one taken back, and a lesson flown."""
    if kept:
        merge(school, kept)
        return [*kept]
    for day, right in ((0, True), (1, False), (4, True)):
        session = school.begin(day=day, topic="swing")
        for _ in range(2):
            session, _ = hands.answer(session, right=right, confidence="sure")
    undo.undo(session.desk)
    school.flown(4, "2", "late-foot")
    kept += [line.encode() for line in log.lines(school.store)]
    return [*kept]


@pytest.fixture
def other(school, kind, tmp_path):
    """Another device, where nothing was answered yet."""
    return replace(school, store=kind.empty(tmp_path, "other"))


def merge(device, lines, owner=None, now=NOW):
    return logs.merge(device.store, now, lines, owner)


def wrong(device, course):
    """What does not hold, by the name of the check."""
    found = logs.verify(device.store, course)
    assert [check.name for check in found] == ["guards", "counts", "days", "voids", "marks", "memory"]
    return {check.name: check.wrong for check in found if check.wrong}


def tamper(device, *statements):
    """Changes entries behind the program's back and puts the guards in place again."""
    with device.store.writing() as connection:
        device.store.dialect.remove(connection)
        for statement in statements:
            connection.exec_driver_sql(statement)
        device.store.dialect.install(connection)


def test_what_is_merged_is_the_same_log(school, other, lines):
    assert merge(other, lines) == log.Merged(8, 0)
    assert list(log.lines(other.store)) == [line.decode() for line in lines]


def test_parts_in_any_order_and_more_than_once_make_the_same_log(school, other, lines):
    whole = log.fingerprint(school.store)
    for number, parts in enumerate(permutations((lines[:3], lines[2:6], lines[4:]))):
        device = other.copied(f"device-{number}")
        for part in (*parts, parts[0]):
            merge(device, part[::-1])
        assert log.fingerprint(device.store) == whole


def test_empty_lines_and_windows_line_ends_are_no_matter(other, lines):
    assert merge(other, [b"", *(line + b"\r" for line in lines), b"  ", b""]).new == 8


def test_an_empty_file_brings_nothing(other):
    assert merge(other, [b""]) == log.Merged(0, 0)


@pytest.mark.parametrize("place", [1, 4, 8])
def test_a_bad_line_is_named_by_its_number_and_nothing_is_taken(other, lines, place):
    lines[place - 1] = lines[place - 1].replace(b'"what"', b'"that"')
    with pytest.raises(Refused, match=rf"Line {place} is no entry of a log: .*'that'.*Nothing was taken\."):
        merge(other, lines)
    assert other.log() == []


def test_tomorrow_is_taken_and_the_day_after_is_not(other, lines):
    last = max(json.loads(line)["day"] for line in lines)
    assert last == "2026-06-05"
    early, late = (clock.clock_for("UTC", date(2026, 6, day)) for day in (3, 4))
    with pytest.raises(Refused, match="after tomorrow"):
        merge(other, lines, now=early)
    assert other.log() == []
    assert merge(other, lines, now=late).new == 8


def test_a_name_says_whose_a_file_of_one_student_is(other, lines):
    merge(other, lines, owner="Ann")
    assert {name for name, _ in log.entries_of(other.store)} == {"Ann"}


def test_a_file_of_me_needs_a_name_only_where_others_study(other, lines):
    people.save(other.store, Student(name="Ann"))
    with pytest.raises(Refused, match="say whose it is with --as NAME"):
        merge(other, lines)
    assert merge(other, lines, owner="me").new == 8


def test_a_file_of_several_cannot_be_given_one_name(other, lines):
    with pytest.raises(Refused, match="holds 2 students"):
        merge(other, [*lines, lines[0].replace(b'"me"', b'"Ann"')], owner="Bea")
    assert other.log() == []


def test_entries_of_a_removed_student_are_merged_all_the_same(other, lines):
    people.save(other.store, Student(name="Ann"))
    people.hide(other.store, "Ann")
    assert merge(other, [line.replace(b'"me"', b'"Ann"') for line in lines]).new == 8
    assert people.everyone(other.store) == {}


def test_nothing_is_wrong_with_a_log_as_the_program_writes_it(school, taught, lines):
    assert wrong(school, taught) == {}


def test_nothing_is_wrong_with_no_log_at_all(taught, school, kind, tmp_path):
    assert wrong(school, taught) == {}
    assert wrong(replace(school, store=kind.nothing(tmp_path)), taught) == {}


@pytest.mark.parametrize("trigger", ["changed", "deleted"])
def test_a_dropped_guard_is_found(school, taught, lines, trigger):
    on_entries = " ON entries" if isinstance(school.store.dialect, PostgreSQL) else ""
    with school.store.writing() as connection:
        connection.exec_driver_sql(f"DROP TRIGGER entries_are_never_{trigger}" + on_entries)
    assert wrong(school, taught) == {"guards": (f"entries_are_never_{trigger}",)}


def test_a_counter_that_is_off_is_found(school, taught, lines):
    tamper(school, "UPDATE students SET entries = 9")
    assert wrong(school, taught) == {"counts": ("me: 8 entries, 9 counted",)}


def test_a_day_that_disagrees_with_its_moment_is_found(school, taught, lines):
    flown = school.log()[-1]
    assert flown.what == "flown"
    tamper(school, f"UPDATE entries SET day = day + 2 WHERE id = '{flown.id}'")
    assert wrong(school, taught) == {"days": (f"me {flown.id}: dated 2026-06-07, at a moment of 2026-06-05",)}


def test_a_day_beside_its_moment_is_a_travellers(school, taught, lines):
    tamper(school, "UPDATE entries SET day = day + 1 WHERE what = 'flown'")
    assert wrong(school, taught) == {}


def test_a_zone_that_is_not_there_is_found(school, taught, lines):
    tamper(school, "UPDATE entries SET zone = 'Mars' WHERE what = 'flown'")
    assert wrong(school, taught).keys() == {"days"}


@pytest.mark.parametrize(
    ("target", "says"), [("'019e827e-8321-73d7-a0be-3836cc147f79'", "which is not here"), ("id", "which is a void")]
)
def test_a_void_without_a_target_is_found(school, taught, lines, target, says):
    tamper(school, f"UPDATE entries SET voids = {target} WHERE what = 'void'")
    (said,) = wrong(school, taught)["voids"]
    assert said.endswith(says)


def test_a_mark_that_does_not_hold_is_found(school, taught, lines):
    (answer,) = [each for each in school.log() if each.what == "answer"][-1:]
    assert answer.right
    tamper(school, f"UPDATE entries SET \"right\" = false WHERE id = '{answer.id}'")
    assert wrong(school, taught) == {"marks": (f"me {answer.id}: stored as wrong, marks otherwise",)}


def test_marks_are_held_only_to_questions_that_read_as_they_did(school, taught, course_folder, lines):
    tamper(school, 'UPDATE entries SET "right" = NOT "right" WHERE what = \'answer\'')
    files = [(path.relative_to(course_folder).as_posix(), path.read_bytes()) for path in course_folder.rglob("*.md")]
    reworded = courses.read([(name, raw.replace(b"?", b", please?")) for name, raw in files])
    assert reworded.problems == ()
    assert "marks" in wrong(school, taught)
    assert wrong(school, reworded) == {}


def test_the_fold_agrees_in_pieces_at_once_and_with_the_library(school, taught, hands):
    for day in (0, 1, 3, 8, 20, 21, 60):
        hands.finish(school.begin(day=day, lesson="2"), lambda name: (len(name) % 2 == 0, "think"))
    assert wrong(school, taught) == {}


def test_a_fold_that_differs_is_found(school, taught, lines, monkeypatch):
    real = logs._by_library

    def off(past):
        state = real(past)
        state.stability[0] *= 1 + 1e-8
        return state

    monkeypatch.setattr(logs, "_by_library", off)
    assert wrong(school, taught) == {"memory": ("me: folded by the library it differs",)}


def test_every_students_log_is_checked(school, taught, other, lines):
    merge(other, lines, owner="Ann")
    merge(other, lines, owner="Bea")
    tamper(
        other, "DELETE FROM entries WHERE what = 'flown' AND student = (SELECT key FROM students WHERE name = 'Bea')"
    )
    assert wrong(other, taught) == {"counts": ("Bea: 7 entries, 8 counted",)}


def test_a_line_of_the_log_is_read_back_as_it_was_written(school, lines):
    assert [as_line("me", each).encode() for each in school.log()] == lines
