import json
import random
from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import permutations

import pytest

import behind
from stickback import clock
from stickback.memory import entry as entries
from stickback.memory.entry import as_line
from stickback.refused import Refused
from stickback.services import log as logs
from stickback.services import student as students
from stickback.services import verify
from stickback.store import chain, log, people
from stickback.store.union import Merged
from stickback.study.student import Student

NOW = clock.clock_for("UTC", date(2026, 6, 20), source=lambda: datetime(2026, 6, 20, 12, tzinfo=UTC))


def take(device, lines, owner=None, now=NOW, **options):
    found = logs.read(device.course, now, lines, owner)
    return logs.merge(device.store, found, named=owner is not None, **options)


def merge(device, lines, owner=None, now=NOW):
    return take(device, lines, owner, now).merged


def unsealed(line, **changes):
    """A line as a person may write it: without its seal, and with other values."""
    row = {key: value for key, value in json.loads(line).items() if key not in entries.SEAL}
    return json.dumps({**row, **changes}).encode()


def broken(device):
    return {check.name: check.wrong for check in verify.verify(device.store, device.course) if check.wrong}


def test_what_is_merged_is_the_same_log(school, other, lines):
    assert merge(other, lines) == Merged(8, 0)
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
    assert merge(other, [b""]) == Merged(0, 0)


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
    behind.put(other.store, Student(name="Ann"))
    with pytest.raises(Refused, match="say whose it is with --as NAME"):
        merge(other, lines)
    assert merge(other, lines, owner="me").new == 8


def test_a_file_of_several_cannot_be_given_one_name(other, lines):
    with pytest.raises(Refused, match="holds 2 students"):
        merge(other, [*lines, lines[0].replace(b'"me"', b'"Ann"')], owner="Bea")
    assert other.log() == []


def test_entries_of_a_removed_student_are_merged_all_the_same(other, lines):
    behind.put(other.store, Student(name="Ann"))
    people.hide(other.store, "Ann")
    assert merge(other, [line.replace(b'"me"', b'"Ann"') for line in lines]).new == 8
    assert people.everyone(other.store) == {}


# The door


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"zone": "Mars"}, "there is no time zone 'Mars' then"),
        ({"day": "2026-06-09"}, "it is dated 2026-06-09, at a moment of 2026-06-01"),
        ({"question": "tw"}, "its question does not read course/question"),
        ({"right": False}, "it is stored as wrong and marks otherwise"),
        ({"score": 0.25}, "it is stored as right and marks otherwise"),
        ({"given": "nonsense"}, "it is stored as right and marks otherwise"),
        ({"what": "settings", "given": "{"}, "it gives no settings"),
        ({"what": "settings", "given": '{"minutes":"many"}'}, "it gives no settings"),
        ({"what": "settings", "given": '{"minutes":1000}'}, "it gives minutes that cannot be"),
        ({"what": "settings", "given": '{"listen":"loud"}'}, "'loud' is none of them"),
    ],
)
def test_what_the_check_of_a_log_would_not_let_pass_is_refused_at_the_door(other, lines, change, says):
    row = {"what": "answer", **json.loads(lines[0]), **change}
    if row["what"] == "settings":
        row = {key: row[key] for key in ("id", "student", "what", "day", "at", "zone", "given")}
    lines[0] = unsealed(json.dumps(row))
    with pytest.raises(Refused, match=rf"^Line 1 is no entry of a log: {says}"):
        merge(other, lines)
    assert other.log() == []


def test_a_line_changed_after_it_was_sealed_is_refused(other, lines):
    lines[1] = lines[1].replace(b'"seconds":5', b'"seconds":6')
    with pytest.raises(Refused, match="was changed after it was sealed"):
        merge(other, lines)
    assert other.log() == []


def test_a_line_without_a_seal_is_sealed_here(other, lines):
    assert merge(other, [unsealed(line) for line in lines]) == Merged(8, 0)
    assert broken(other) == {}
    assert [each.number for each in sorted(other.log(), key=lambda one: one.id)] == list(range(1, 9))


def test_a_day_far_ahead_that_the_file_takes_back_itself_is_taken(other, lines):
    early = clock.clock_for("UTC", date(2026, 6, 3))
    kept = [line for line in lines if json.loads(line)["day"] < "2026-06-05"]
    ahead = next(json.loads(line) for line in lines if json.loads(line)["day"] == "2026-06-05")
    void = {key: ahead[key] for key in ("student", "day", "at", "zone")} | {
        "id": clock.uuid7(1_780_000_000_000, 1),
        "what": "void",
        "voids": ahead["id"],
        "day": "2026-06-02",
        "at": "2026-06-02T12:00:00Z",
    }
    with pytest.raises(Refused, match="after tomorrow"):
        merge(other, [*kept, unsealed(json.dumps(ahead))], now=early)
    assert merge(other, [*kept, unsealed(json.dumps(ahead)), json.dumps(void).encode()], now=early).new == len(kept) + 2
    assert other.desk(2).past.last_day == clock.day_number(date(2026, 6, 2))


def test_a_void_of_a_void_is_refused(other, lines):
    (void,) = [line for line in lines if json.loads(line)["what"] == "void"]
    again = unsealed(void, id=clock.uuid7(1_780_000_000_000, 1), voids=json.loads(void)["id"])
    with pytest.raises(Refused, match="is a void, which nothing can void"):
        merge(other, [*lines, again])
    assert other.log() == []


# One id, two contents


def test_one_id_with_two_contents_is_named_with_both_and_neither_is_taken(other, lines):
    merge(other, lines[:1])
    taken = take(other, [unsealed(lines[0], seconds=7.0), *lines[1:]])
    assert (taken.merged.new, len(taken.merged.conflicts)) == (7, 1)
    here, there = taken.conflicts[0].splitlines()
    assert (here.startswith('here: {"id"'), there.startswith('line 1: {"id"')) == (True, True)
    assert '"seconds":7.0' in there
    assert lines[0].decode() in log.lines(other.store)
    assert broken(other) == {}


def test_two_contents_in_one_file_are_named_by_their_lines(other, lines):
    taken = take(other, [unsealed(lines[0]), *lines[1:], unsealed(lines[0], seconds=7.0)])
    assert [each.split(":")[0] for each in taken.conflicts[0].splitlines()] == ["line 1", "line 9"]
    assert len(other.log()) == 7


@pytest.mark.parametrize(("keep", "seconds"), [("here", 5.0), ("there", 7.0)])
def test_a_conflict_ends_once_it_was_said_which_to_keep(other, lines, keep, seconds):
    merge(other, lines)
    changed = [unsealed(lines[0], seconds=7.0)]
    assert take(other, changed, keep=keep).conflicts == ()
    assert next(each for each in other.log() if each.id == json.loads(lines[0])["id"]).seconds == seconds
    assert broken(other) == {}
    assert other.store.unguarded() == []
    assert take(other, changed).conflicts == () if keep == "there" else len(take(other, changed).conflicts) == 1


@pytest.mark.parametrize("seed", range(6))
def test_files_merged_in_any_order_give_one_fingerprint_and_one_list_of_conflicts(other, kind, lines, tmp_path, seed):
    chance = random.Random(seed)
    parts = [[unsealed(line) for line in chance.sample(lines, 4)] for _ in range(6)]
    changed = [unsealed(line, seconds=9.0) for line in chance.sample(lines, 2) if json.loads(line)["what"] == "answer"]
    prints, conflicts = set(), set()
    for number in range(3):
        device = replace(other, store=kind.empty(tmp_path, f"device-{number}"))
        chain.renew(device.store)
        for part in chance.sample(parts, len(parts)):
            merge(device, part)
        prints.add(log.fingerprint(device.store))
        merge(device, lines)
        found = {each.there[0].id for each in merge(device, changed).conflicts}
        conflicts.add(frozenset(found))
        assert broken(device) == {}
    assert len(prints) == len(conflicts) == 1
    assert conflicts == {frozenset(json.loads(line)["id"] for line in changed)}


# Whose it is


def test_a_dry_run_says_the_same_and_takes_nothing(other, lines):
    assert take(other, lines, dry=True).merged == Merged(8, 0)
    assert other.log() == []
    assert people.everyone(other.store) == {}


def test_settings_travel_with_the_log_and_the_newest_day_wins(school, other):
    students.add(school.store, school.course, "Ann", {"minutes": 25}, date(2026, 6, 1))
    students.set_(school.store, school.course, "Ann", {"aircraft": "bircham", "target": 0.85}, date(2026, 6, 3))
    students.set_(school.store, school.course, "Ann", {"abroad": True, "listen": "pace 90"}, date(2026, 6, 3))
    lines = [line.encode() for line in log.lines(school.store)]
    assert take(other, lines[1:]).created == ("Ann",)
    take(other, lines[:1])
    assert people.everyone(other.store) == {
        "Ann": Student(name="Ann", aircraft="bircham", minutes=25, target=0.85, abroad=True, listen="pace 90")
    }
    assert broken(other) == {}


@pytest.mark.parametrize("name", ["ann lee", "ANN LEE", "Ａnn Lee"])
def test_a_name_that_differs_only_in_case_or_form_is_refused(other, lines, name):
    behind.put(other.store, Student(name="Ann Lee"))
    with pytest.raises(Refused, match="differs from 'Ann Lee' only in case or in how it is written"):
        logs.near(other.store, [name])


def test_a_name_that_is_nearly_anothers_is_to_be_asked_about(other):
    behind.put(other.store, Student(name="Ann Lee"))
    behind.put(other.store, Student(name="Zoe Hart"))
    assert logs.near(other.store, ["Ann Lee", "Anne Lee", "Bob Quill", "me"]) == {"Anne Lee": "Ann Lee"}


def test_who_was_erased_comes_back_only_when_that_is_asked_for(other, lines):
    merge(other, lines, owner="Ann")
    people.erase(other.store, "Ann")
    with pytest.raises(Refused, match="Ann was erased here; --bring-back takes in"):
        merge(other, lines, owner="Ann")
    with pytest.raises(Refused, match="was erased here"):
        merge(other, lines, owner="ANN")
    assert other.log() == []
    assert take(other, lines, owner="Ann", back=True).merged.new == 8
    people.hide(other.store, "Ann")
    assert merge(other, lines, owner="Ann") == Merged(0, 8)


def test_a_line_of_the_log_is_read_back_as_it_was_written(school, lines):
    assert [as_line("me", each).encode() for each in school.log()] == lines
