from dataclasses import asdict
from datetime import date

import pytest
import sqlalchemy as sa

import behind
from stickback import clock
from stickback.memory.curve import DEFAULTS
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.store import log, parameters, people, union
from stickback.store.union import Merged
from stickback.study.student import Student, settings_text

WHOLE = Student(
    name="Zoë O'Hara",
    aircraft="mossbank",
    phraseology="icao",
    checkride=date(2026, 6, 1),
    next_lesson="landing",
    next_on=date(2026, 5, 1),
    minutes=25,
    target=0.85,
    zone="Europe/London",
)


@pytest.fixture
def filled(store, answer, other):
    """Ann and Bob with two answers each; Ann has adopted parameters too."""
    for name in ("ann", "bob"):
        behind.put(store, Student(name=name, minutes=15))
        for n in (1, 2):
            log.append(store, name, answer(n))
    other.exec_driver_sql(
        'INSERT INTO parameters (school, student, id, at, answers, "values") '
        "SELECT school, key, 'p', 1, 400, '[]' FROM students WHERE name = 'ann'"
    )
    return store


def settings(answer, **said):
    """An entry with settings."""
    made, given = answer(3), settings_text(Student(name="ann", **said))
    return Entry(id=made.id, what="settings", day=made.day, at=made.at, zone=made.zone, given=given)


def rows(other):
    """How many rows each table has."""
    tables = ("students", "entries", "parameters")
    return [other.exec_driver_sql(f"SELECT count(*) FROM {table}").fetchone()[0] for table in tables]


# Settings


@pytest.mark.parametrize("student", [WHOLE, Student(name="ann")], ids=["all settings", "no settings"])
def test_a_student_is_found_with_the_settings_stored(store, answer, student):
    said = {name: value for name, value in asdict(student).items() if name != "name"}
    log.append(store, student.name, settings(answer, **said))
    assert people.find(store, student.name) == student


def test_new_settings_stand_in_the_place_of_the_old_and_the_entries_stay(filled, other, answer):
    before = list(log.lines(filled))
    log.append(filled, "ann", settings(answer, target=0.8))
    assert people.find(filled, "ann") == Student(name="ann", target=0.8)
    assert people.find(filled, "bob") == Student(name="bob", minutes=15)
    assert set(before) < set(log.lines(filled))
    assert sorted(other.exec_driver_sql("SELECT entries FROM students").fetchall()) == [(2,), (3,)]


def test_me_exists_without_asking(new):
    assert people.find(new, "me") == Student(name="me")
    assert people.everyone(new) == {}
    with new.reading() as connection:
        assert connection is None


def test_me_can_have_settings(store):
    behind.put(store, Student(name="me", minutes=20))
    assert people.find(store, "me") == Student(name="me", minutes=20)


def test_who_is_not_there_is_refused_and_who_is_there_is_said(new, filled):
    for store, there in ((filled, "ann, bob"), (new, "no one yet")):
        with pytest.raises(Refused) as refusal:
            people.find(store, "Ann")
        assert str(refusal.value) == (
            f"There is no student 'Ann' (there is: {there}); `stickback student add` adds one."
        )


def test_a_name_that_no_database_can_hold_is_nobodys(filled):
    with pytest.raises(Refused, match=r"^There is no student 'a\x00nn'"):
        people.find(filled, "a\0nn")


def test_everyone_comes_in_the_order_of_their_names(store):
    for name in ("zoe", "ann", "me"):
        behind.put(store, Student(name=name))
    assert list(people.everyone(store)) == ["ann", "me", "zoe"]


# Counts


def test_entries_are_counted_by_student(filled, answer, void):
    log.append(filled, "ann", void(3, answer(1).id))
    union.merge(filled, [("ann", answer(1)), ("ann", answer(4)), ("zoe", answer(5))])
    assert people.counts(filled) == {"ann": 4, "bob": 2, "zoe": 1}


def test_the_last_day_is_that_of_an_answer(filled, answer, void):
    log.append(filled, "ann", answer(3, "2026-03-04"))
    log.append(filled, "bob", void(4, answer(1).id, "2026-03-05"))
    behind.put(filled, Student(name="zoe"))
    assert people.last_days(filled) == {"ann": date(2026, 3, 4), "bob": date(2026, 3, 1)}


def test_an_answer_that_was_voided_is_not_the_last(filled, answer, void):
    log.append(filled, "ann", answer(3, "2036-03-01"))
    log.append(filled, "ann", void(4, answer(3).id, "2026-03-02"))
    assert people.last_days(filled)["ann"] == date(2026, 3, 1)


def test_nothing_is_counted_where_nothing_is_stored(new):
    assert (people.counts(new), people.last_days(new)) == ({}, {})


# Hiding


def test_a_hidden_student_is_in_no_list_and_keeps_the_entries(filled):
    before = list(log.lines(filled))
    assert people.hide(filled, "ann") == 2
    assert list(people.everyone(filled)) == ["bob"]
    assert people.everyone(filled, hidden=True) == {"ann": Student(name="ann", minutes=15)}
    assert list(log.lines(filled)) == before
    with pytest.raises(Refused, match=r"no student 'ann' \(there is: bob\)"):
        people.find(filled, "ann")


def test_settings_of_a_hidden_student_bring_back_the_student_with_the_entries(filled, answer):
    people.hide(filled, "ann")
    log.append(filled, "ann", settings(answer))
    assert people.find(filled, "ann") == Student(name="ann")
    assert [row.what for row in log.read(filled, "ann").rows] == ["answer", "answer", "settings"]


# Erasing


def test_erasing_deletes_the_student_every_entry_and_the_parameters_and_no_one_elses(filled, other):
    kept = list(log.lines(filled, "bob"))
    assert people.erase(filled, "ann") == 2
    assert list(people.everyone(filled)) == ["bob"]
    assert list(log.lines(filled)) == kept
    assert rows(other) == [1, 2, 0]


def test_guards_are_in_place_after_erasing(filled):
    people.erase(filled, "ann")
    assert filled.unguarded() == []


def test_a_hidden_student_can_be_erased(filled, other):
    people.hide(filled, "ann")
    assert people.erase(filled, "ann") == 2
    assert people.everyone(filled, hidden=True) == {}
    assert rows(other) == [1, 2, 0]


def test_erasing_happens_wholly_or_not_at_all(filled, other):
    before = list(log.lines(filled))
    other.exec_driver_sql(
        "CREATE TABLE clubs (school INTEGER, member INTEGER, "
        "FOREIGN KEY (school, member) REFERENCES students (school, key))"
    )
    other.exec_driver_sql("INSERT INTO clubs SELECT school, key FROM students WHERE name = 'ann'")
    with pytest.raises(sa.exc.IntegrityError):
        people.erase(filled, "ann")
    assert list(log.lines(filled)) == before
    assert rows(other) == [2, 4, 1]
    assert filled.unguarded() == []


def test_who_was_erased_can_begin_anew(filled, answer):
    people.erase(filled, "ann")
    behind.put(filled, Student(name="ann"))
    log.append(filled, "ann", answer(1, "2020-01-01"))
    assert people.find(filled, "ann") == Student(name="ann")
    assert [entry for _, entry in log.entries_of(filled, "ann")] == [answer(1, "2020-01-01")]


def test_who_was_erased_is_made_again_by_settings_only_where_that_is_said(filled, answer):
    people.erase(filled, "ann")
    log.append(filled, "ann", settings(answer, minutes=20), anew=True)
    assert people.find(filled, "ann").minutes == 20


@pytest.mark.parametrize(
    "store_it",
    [
        lambda store, answer: log.append(store, "ann", answer(3)),
        lambda store, answer: log.append(store, "ann", settings(answer)),
        lambda store, answer: parameters.adopt(store, "ann", DEFAULTS, 500, clock.clock_for("UTC", None)),
        lambda store, answer: people.hide(store, "ann"),
    ],
    ids=["answer", "settings", "parameters", "hide"],
)
def test_what_was_begun_before_an_erasure_does_not_bring_the_student_back(filled, answer, store_it):
    people.erase(filled, "ann")
    with pytest.raises(Refused, match=r"^ann was erased here, so nothing was stored\.$"):
        store_it(filled, answer)
    assert people.counts(filled) == {"bob": 2}


def test_what_was_erased_does_not_join_the_log_of_who_begins_anew(filled, answer):
    before = list(log.entries_of(filled, "ann"))
    people.erase(filled, "ann")
    behind.put(filled, Student(name="ann"))
    with pytest.raises(Refused, match="ann was erased here; --bring-back takes in"):
        union.merge(filled, before)
    assert union.merge(filled, before, back=True).new == 2
    assert union.merge(filled, before).known == 2


def test_a_file_with_nothing_new_of_who_began_anew_is_no_matter_and_the_tombstone_stays(filled, answer):
    people.erase(filled, "ann")
    log.append(filled, "ann", settings(answer), anew=True)
    log.append(filled, "ann", answer(4))
    known = list(log.entries_of(filled, "ann"))
    assert union.merge(filled, known) == union.merge(filled, known, back=True) == Merged(0, 2)
    with pytest.raises(Refused, match="ann was erased here"):
        union.merge(filled, [*known, ("ann", answer(1))])


def test_of_who_was_erased_not_even_the_name_comes_in_with_entries_in_conflict(filled, answer):
    people.erase(filled, "ann")
    with pytest.raises(Refused, match="ann was erased here"):
        union.merge(filled, [("ann", answer(1)), ("ann", answer(1, seconds=9.0))])


def test_a_file_is_refused_with_the_first_name_of_who_was_erased_and_the_tombstones_are_read_once(
    filled, answer, monkeypatch
):
    for name in ("bob", "ann"):
        people.erase(filled, name)
    read, stones = [], people.stones
    monkeypatch.setattr(people, "stones", lambda connection: read.append(1) or stones(connection))
    found = [(name, answer(n)) for n, name in enumerate(("cid", "bob", "ann", "Aaron"), 1)]
    with pytest.raises(Refused, match="ann was erased here"):
        union.merge(filled, found)
    assert union.merge(filled, found, back=True).new == len(found)
    assert len(read) == 2


def test_who_was_erased_is_brought_back_with_what_the_file_holds_or_not_at_all(filled, answer, void):
    """What was only tried, or taken back at a mistake, leaves the tombstone."""
    people.erase(filled, "ann")
    union.merge(filled, [("ann", answer(1))], dry=True, back=True)
    voids = [("ann", void(8, answer(1).id)), ("ann", void(9, void(8, answer(1).id).id))]
    with pytest.raises(Refused, match="which nothing can void"):
        union.merge(filled, voids, back=True)
    with pytest.raises(Refused, match="was erased here"):
        union.merge(filled, [("ann", answer(1))])
