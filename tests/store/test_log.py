import tempfile
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import behind
from stickback import clock
from stickback.memory import entry as entries
from stickback.memory.curve import DEFAULTS
from stickback.memory.entry import CONFIDENCES, Entry
from stickback.refused import Refused
from stickback.store import engine, log, people, union
from stickback.store.union import Merged
from stickback.study.student import Student


def stored(store, student=None):
    return [entry for _, entry in log.entries_of(store, student)]


def imported(store, lines):
    return union.merge(store, [entries.from_line(line) for line in lines])


def bare(lines):
    """The lines without their seals."""
    return (entries.canonical(entry, name) for name, entry in map(entries.from_line, lines))


def counted(other):
    """What the counter of each student says."""
    return dict(other.exec_driver_sql("SELECT name, entries FROM students").all())


def made(store):
    """Whether there is a database yet."""
    with store.reading() as connection:
        return connection is not None


# Append


def test_an_appended_entry_is_stored_as_it_is(store, answer):
    whole = answer(1, "2026-03-01", aircraft="quillon", phraseology="uk", hinted=True, marked_by="self", right=False)
    assert log.append(store, "ann", whole) == whole
    assert stored(store) == [whole]


def test_the_first_entry_makes_its_student(store, answer):
    log.append(store, "me", answer(1))
    assert people.everyone(store) == {"me": Student(name="me")}


def test_an_entry_sent_twice_is_one(store, answer, other):
    for _ in range(2):
        log.append(store, "ann", answer(1))
    assert stored(store) == [answer(1)]
    assert counted(other) == {"ann": 1}


def test_an_entry_sent_again_with_another_content_changes_nothing(store, answer):
    log.append(store, "ann", answer(1, right=True))
    log.append(store, "ann", answer(1, right=False))
    assert stored(store) == [answer(1, right=True)]


def test_an_entry_sent_twice_is_given_back_as_it_is_stored(store, answer):
    log.append(store, "ann", answer(1, "2026-03-02"))
    once = log.append(store, "ann", answer(2, "2026-03-01"))
    assert log.append(store, "ann", answer(2, "2026-03-01")) == once


def test_the_same_id_is_another_entry_of_another_student(store, answer, other):
    for name in ("ann", "bob"):
        log.append(store, name, answer(1))
    assert list(log.entries_of(store)) == [("ann", answer(1)), ("bob", answer(1))]
    assert counted(other) == {"ann": 1, "bob": 1}


def test_the_entries_of_one_day_are_read_alone(store, answer):
    days = ("2026-03-01", "2026-03-02", "2026-03-02")
    _, *rest = [log.append(store, "ann", answer(number, day)) for number, day in enumerate(days, 1)]
    assert [entry for _, entry in log.entries_of(store, "ann", date(2026, 3, 2))] == rest


@pytest.mark.parametrize(
    "change",
    [
        {"id": "1"},
        {"id": "00000000-0000-4000-8000-000000000000"},
        {"what": "deleted"},
        {"what": "void"},
        {"day": date(1969, 12, 31)},
        {"at": -1},
        {"at": 10**15},
        {"zone": ""},
        {"question": None},
        {"given": None},
        {"given": "x" * 10_001},
        {"given": "a\0b"},
        {"confidence": "certain"},
        {"seed": 2**53},
        {"seed": -1},
        {"score": 1.5},
        {"score": float("nan")},
        {"seconds": float("inf")},
        {"right": 1},
        {"marked_by": "nobody"},
        {"voids": clock.uuid7(1, 1)},
        pytest.param(
            {"given": "\ud800"},
        ),
    ],
    ids=str,
)
def test_what_no_log_can_hold_is_a_mistake_before_anything_is_written(new, answer, change):
    with pytest.raises(ValueError):
        log.append(new, "ann", replace(answer(1), **change))
    assert not made(new)


@pytest.mark.parametrize("name", ["", "x" * 81, "a\0b"])
def test_a_name_that_no_log_can_hold_is_a_mistake_before_anything_is_written(new, answer, name):
    with pytest.raises(ValueError, match="student"):
        log.append(new, name, answer(1))
    assert not made(new)


# Days


@pytest.mark.parametrize("day", ["2026-03-02", "2026-03-03", "2027-01-01"])
def test_an_answer_of_the_last_day_or_a_later_one_keeps_its_day(store, answer, day):
    log.append(store, "ann", answer(1, "2026-03-02"))
    assert log.append(store, "ann", answer(2, day)).day == date.fromisoformat(day)


def test_an_answer_one_day_behind_takes_the_last_day(store, answer):
    log.append(store, "ann", answer(1, "2026-03-02"))
    taken = log.append(store, "ann", answer(2, "2026-03-01"))
    assert taken == answer(2, "2026-03-02")
    assert stored(store) == [answer(1, "2026-03-02"), taken]


@pytest.mark.parametrize("day", ["2026-02-28", "2025-03-02"])
def test_an_answer_further_behind_is_refused_and_names_what_to_undo(store, answer, other, day):
    log.append(store, "ann", answer(1, "2026-03-02"))
    with pytest.raises(Refused) as refusal:
        log.append(store, "ann", answer(2, day))
    assert str(refusal.value) == (
        f"The last answer is dated 2026-03-02, after today ({day}): answer again from that day on; "
        "`stickback undo` takes it back if a wrong clock dated it."
    )
    assert stored(store) == [answer(1, "2026-03-02")]
    assert counted(other) == {"ann": 1}


def test_the_days_of_one_student_say_nothing_of_anothers(store, answer):
    log.append(store, "ann", answer(1, "2026-03-02"))
    log.append(store, "bob", answer(2, "2020-01-01"))
    assert stored(store, "bob") == [answer(2, "2020-01-01")]


def test_once_the_last_answer_is_voided_the_older_day_is_accepted(store, answer, void):
    log.append(store, "ann", answer(1, "2026-03-01"))
    log.append(store, "ann", answer(2, "2036-03-01"))
    log.append(store, "ann", void(3, answer(2).id, "2026-03-02"))
    log.append(store, "ann", answer(4, "2026-03-02"))
    assert log.append(store, "ann", answer(5, "2026-03-01")).day == date(2026, 3, 2)


def test_another_students_void_does_not_open_an_older_day(store, answer, void):
    log.append(store, "ann", answer(1, "2026-03-02"))
    log.append(store, "bob", void(2, answer(1).id))
    with pytest.raises(Refused, match="undo"):
        log.append(store, "ann", answer(3, "2026-02-01"))


def test_voids_and_flown_lessons_keep_their_day_and_hold_no_answer_back(store, answer, void):
    flown = replace(void(2, answer(1).id, "2026-01-01"), what="flown", voids=None, question="tailwheel/l5", given="")
    log.append(store, "ann", answer(1, "2026-03-02"))
    assert log.append(store, "ann", flown).day == date(2026, 1, 1)
    assert log.append(store, "ann", void(3, flown.id, "2026-01-01")).day == date(2026, 1, 1)
    log.append(store, "ann", replace(flown, id=void(4, flown.id).id, day=date(2027, 1, 1)))
    assert log.append(store, "ann", answer(5, "2026-03-03")).day == date(2026, 3, 3)


# Read


def test_the_past_is_that_of_one_student_in_the_order_of_day_and_id(store, answer, void):
    for n, day in ((2, "2026-03-01"), (1, "2026-03-01"), (4, "2026-03-02")):
        log.append(store, "ann", answer(n, day, right=n == 1))
    log.append(store, "bob", answer(3))
    log.append(store, "ann", void(5, answer(2).id, "2026-03-02"))
    past = log.read(store, "ann")
    assert [row.id for row in past.rows] == [answer(1).id, answer(2).id, answer(4).id, void(5, "").id]
    assert [bool(row.right) for row in past.answers] == [True, False, False]
    assert past.voided == {answer(2).id}
    assert past.last_day == clock.day_number(date(2026, 3, 2))


def test_who_is_not_there_has_no_past(store, answer):
    log.append(store, "ann", answer(1))
    assert log.read(store, "bob").rows == ()


def test_lines_are_those_of_the_entries_sorted_by_name_day_and_id(store, answer):
    for name, entry in (
        ("bob", answer(3)),
        ("ann", answer(2, "2026-03-02")),
        ("ann", answer(4, "2026-03-02")),
        ("ann", answer(1, "2026-03-02")),
    ):
        log.append(store, name, entry)
    expected = [("ann", answer(n, "2026-03-02")) for n in (1, 2, 4)] + [("bob", answer(3))]
    assert [entries.from_line(line) for line in log.lines(store)] == expected
    assert [entries.from_line(line) for line in log.lines(store, "bob")] == [("bob", answer(3))]
    assert list(log.lines(store, "nobody")) == []


def test_the_fingerprint_follows_the_entries_and_nothing_else(store, answer):
    empty = log.fingerprint(store)
    log.append(store, "ann", answer(1))
    one = log.fingerprint(store)
    behind.put(store, Student(name="ann", minutes=20))
    assert log.fingerprint(store) == one != empty


@pytest.mark.parametrize("change", [{"right": False}, {"given": "1"}, {"day": date(2026, 3, 2)}, {"seconds": 4.6}])
def test_another_content_is_another_fingerprint(device, answer, change):
    found = []
    for each in (answer(1), replace(answer(1), **change)):
        store = device(f"device-{len(found)}")
        log.append(store, "ann", each)
        found.append(log.fingerprint(store))
    assert found[0] != found[1]


def test_a_fingerprint_never_changes_from_one_version_to_the_next(store, answer):
    """Two devices need not have the same version of the program."""
    log.append(store, "ann", answer(1))
    assert log.fingerprint(store) == "2c08-7dba-90d0-90b2"


# Columns


def as_rows(columns, names):
    """Name, question, day, grade and whether it was sure, of each answer."""
    questions = [question for question, _ in columns.histories]
    return [
        (names[student], questions[history], day, grade, sure)
        for student, history, day, grade, sure in zip(
            *(each.tolist() for each in (columns.student, columns.history, columns.day, columns.grade, columns.sure)),
            strict=True,
        )
    ]


def test_columns_hold_the_answers_of_those_asked_for_as_the_memory_takes_them(store, answer, void):
    for n, changes in enumerate(
        (
            {"confidence": "sure"},
            {"confidence": "think"},
            {"confidence": "guess"},
            {"confidence": "sure", "hinted": True},
            {"confidence": "sure", "right": False},
            {"confidence": "guess", "right": False, "hinted": True},
        )
    ):
        log.append(store, "ann", answer(n, question=f"tailwheel/{n}", **changes))
    log.append(store, "ann", void(6, answer(0).id))
    log.append(store, "bob", answer(7, "1970-01-03", question="tailwheel/0", confidence="sure"))
    log.append(store, "zoe", answer(8))
    day = clock.day_number(date(2026, 3, 1))
    assert as_rows(log.columns(store, dict.fromkeys(["bob", "ann"], DEFAULTS)), ["bob", "ann"]) == [
        ("bob", "tailwheel/0", 2, 3, True),
        ("ann", "tailwheel/0", day, 0, True),
        ("ann", "tailwheel/1", day, 3, False),
        ("ann", "tailwheel/2", day, 2, False),
        ("ann", "tailwheel/3", day, 2, True),
        ("ann", "tailwheel/4", day, 1, True),
        ("ann", "tailwheel/5", day, 1, False),
    ]


def test_another_aeroplane_is_another_history_in_columns(store, answer):
    for n, variant in enumerate(("", "left", "")):
        log.append(store, "ann", answer(n, variant=variant))
    columns = log.columns(store, {"ann": DEFAULTS})
    assert columns.histories == {("tailwheel/yaw", ""): 0, ("tailwheel/yaw", "left"): 1}
    assert columns.history.tolist() == [0, 1, 0]


def test_columns_of_no_one_are_empty(new, store, answer):
    log.append(store, "ann", answer(1))
    for database, names in ((store, []), (store, ["nobody"]), (new, ["ann"])):
        assert as_rows(log.columns(database, dict.fromkeys(names, DEFAULTS)), names) == []


def test_a_void_is_of_one_student_where_two_were_given_the_same_file(store, answer, void):
    union.merge(store, [("ann", answer(1)), ("bob", answer(1))])
    log.append(store, "ann", void(2, answer(1).id))
    assert [len(log.read(store, name).graded) for name in ("ann", "bob")] == [0, 1]
    assert log.columns(store, dict.fromkeys(["ann", "bob"], DEFAULTS)).grade.tolist() == [0, 3]


# Merge


def test_what_is_new_and_what_was_there_already_is_counted(store, answer, other):
    log.append(store, "ann", answer(1))
    found = [("ann", answer(1)), ("ann", answer(2)), ("bob", answer(1)), ("bob", answer(1))]
    assert union.merge(store, found) == Merged(new=2, known=1)
    assert counted(other) == {"ann": 2, "bob": 1}
    assert union.merge(store, found) == Merged(new=0, known=3)
    assert counted(other) == {"ann": 2, "bob": 1}


def test_an_entry_that_is_there_is_not_changed_by_merging(store, answer):
    log.append(store, "ann", answer(1, right=True))
    (conflict,) = union.merge(store, [("ann", answer(1, right=False))]).conflicts
    assert (conflict.here, conflict.there) == (answer(1, right=True), (answer(1, right=False),))
    assert stored(store) == [answer(1, right=True)]


def test_merging_keeps_days_that_could_not_be_appended(store, answer):
    log.append(store, "ann", answer(1, "2026-03-02"))
    union.merge(store, [("ann", answer(2, "2020-01-01")), ("ann", answer(3, "2026-03-01"))])
    assert [entry.day.isoformat() for entry in stored(store)] == ["2020-01-01", "2026-03-01", "2026-03-02"]


def test_merging_nothing_changes_nothing(store):
    assert union.merge(store, []) == Merged(0, 0)
    assert people.everyone(store) == {}


def test_a_file_that_turns_out_to_be_bad_half_way_leaves_nothing(store, answer):
    lines = [entries.as_line("ann", answer(1)), "{}"]
    with pytest.raises(ValueError, match="missing"):
        union.merge(store, (entries.from_line(line) for line in lines))
    assert stored(store) == []


def test_a_line_that_passes_its_check_can_be_merged(store, answer):
    line = entries.as_line("ann", answer(1)).replace('"given":"0"', r'"given":"\ud800"')
    try:
        found = entries.from_line(line)
    except ValueError:
        return
    assert union.merge(store, [found]) == Merged(1, 0)


def test_a_void_may_arrive_before_what_it_voids(store, answer, void):
    union.merge(store, [("ann", void(2, answer(1).id, "2026-03-03"))])
    assert log.read(store, "ann").last_day is None
    union.merge(store, [("ann", answer(1, "2036-03-01"))])
    assert log.read(store, "ann").graded == ()
    log.append(store, "ann", answer(3, "2026-03-02"))
    assert [row.id for row in log.read(store, "ann").graded] == [answer(3).id]


@pytest.mark.parametrize(
    "moment",
    [
        0,
        1_772_000_000_001,
        pytest.param(
            29_321_095_714_176,
        ),
    ],
)
def test_a_moment_is_the_same_on_every_device_it_comes_to(store, device, answer, moment):
    log.append(store, "ann", replace(answer(1), at=moment))
    elsewhere = device("elsewhere")
    imported(elsewhere, log.lines(store))
    assert stored(elsewhere) == stored(store) == [replace(answer(1), at=moment)]


text = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), min_size=1, max_size=12)
answers = st.builds(
    Entry,
    id=st.builds(clock.uuid7, st.integers(0, 2**48 - 1), st.integers(0, 2**74 - 1)),
    what=st.just("answer"),
    day=st.dates(date(1970, 1, 1)),
    at=st.integers(0, 8_000_000_000_000),  # until 2223
    zone=text,
    question=text,
    variant=text | st.just(""),
    kind=text,
    revision=text,
    aircraft=st.none() | text,
    phraseology=st.none() | text,
    seed=st.integers(0, 2**53 - 1),
    given=text | st.just(""),
    confidence=st.sampled_from(CONFIDENCES),
    hinted=st.none() | st.booleans(),
    score=st.floats(0, 1).map(abs),
    right=st.booleans(),
    marked_by=st.none() | st.sampled_from(["program", "self", "instructor"]),
    seconds=st.floats(0, 1e7).map(abs),
)


names = st.text("abc éß-żÅ3", min_size=1, max_size=12).map(str.strip).filter(bool)


@contextmanager
def example(kind):
    """A folder for the databases of one example; the next one has them again."""
    away = kind.sweep()
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder)
        engine.close()
        away()


@given(st.lists(st.tuples(names, answers), max_size=20, unique_by=lambda each: (each[0], each[1].id)))
@settings(max_examples=15)
def test_whatever_lines_can_say_comes_back_as_the_same_lines(kind, said):
    lines = [entries.as_line(*each) for each in said]
    with example(kind) as folder:
        store = kind.empty(folder)
        assert imported(store, lines) == Merged(len(lines), 0)
        assert sorted(bare(log.lines(store))) == sorted(lines)


# Three devices

at, name, any_one = st.integers(0, 2), st.sampled_from(["ann", "bob", "me"]), st.integers(0, 99)
steps = st.one_of(
    st.tuples(st.just("answer"), at, name, st.integers(1, 5)),
    st.tuples(st.just("undo"), at, any_one),
    st.tuples(st.just("export"), at),
    st.tuples(st.just("take in"), at, any_one),
)


@pytest.fixture(scope="module")
def play(answer, void):
    """Lets the steps happen on some devices; gives everything that was stored on any of them.

    An undo voids whatever happened, also what its device has not seen yet.
    """

    def step(n, devices, happened, exports, what, at, *rest):
        store, entry = devices[at], None
        if what == "answer":
            name, entry = rest[0], answer(n, f"2026-03-0{rest[1]}")
        elif what == "undo" and happened:
            name, seen = happened[rest[0] % len(happened)]
            entry = None if seen.what == "void" else void(n, seen.id)
        elif what == "export":
            exports.append(list(log.lines(store)))
        elif what == "take in" and exports:
            imported(store, exports[rest[0] % len(exports)])
        if entry:
            with suppress(Refused):
                happened.append((name, log.append(store, name, entry)))

    def run(devices, taken):
        happened, exports = [], []
        for n, each in enumerate(taken):
            step(n, devices, happened, exports, *each)
        return happened

    return run


@given(st.lists(steps, max_size=25), st.permutations([(to, of) for to in range(3) for of in range(3)]))
@settings(max_examples=20)
def test_three_devices_end_with_the_same_log_whatever_the_order(kind, play, taken, last):
    with example(kind) as folder:
        devices = [kind.empty(folder, f"device-{index}") for index in range(3)]
        happened = play(devices, taken)
        exports = [list(log.lines(store)) for store in devices]
        for to, of in last:
            imported(devices[to], exports[of])
        happened.sort(key=lambda each: (each[0], each[1].day, each[1].id))
        expected = [entries.canonical(entry, name) for name, entry in happened]
        assert [list(bare(log.lines(store))) for store in devices] == [expected] * 3
        assert len({log.fingerprint(store) for store in devices}) == 1
        assert [imported(store, expected) for store in devices] == [Merged(0, len(expected))] * 3
        assert [list(bare(log.lines(store))) for store in devices] == [expected] * 3
