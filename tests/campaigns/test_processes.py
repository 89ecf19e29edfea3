"""Processes that are killed, and processes that write at once: what was told to be stored is stored, whole and once."""

import signal
import time
from collections import Counter
from dataclasses import dataclass, fields

import pytest

import behind
import seats
from stickback.services import folder, verify
from stickback.study.student import Student

KILLS, WRITERS, SECONDS = 200, 8, 60.0
MOST = 12  # marks that are waited for before a kill
LATER = 0.03  # seconds that it comes after the last of them, at most


@dataclass
class Counted:
    """What came of many kills; all but the first three should be 0.

    Args:
        marked: kills before which a mark was shown; `marks`, how many were shown in all.
    """

    kills: int = 0
    marked: int = 0
    marks: int = 0
    lost: int = 0
    doubled: int = 0
    torn: int = 0
    beyond: int = 0
    tracebacks: int = 0
    escapes: int = 0

    def faults(self):
        return {each.name: getattr(self, each.name) for each in fields(self)[3:] if getattr(self, each.name)}


def killed(store, course, chance, kills):
    """Kills reviews at random moments: at the start, while asking, while storing; counts what came of it."""
    found, names = Counted(), [f"Student {n}" for n in range(kills)]
    for name in names:
        behind.put(store, Student(name=name, minutes=120))
    seen = {}
    for name in names:
        sitting = seats.sit(store, course, name)
        if chance.random() < 0.1:
            time.sleep(chance.uniform(0, 0.6))  # while it starts
        else:
            sitting.read(chance.randint(1, MOST))
            time.sleep(chance.uniform(0, LATER))
        status = sitting.end(kill=True)
        found.kills += status == -signal.SIGKILL
        found.marked += bool(sitting.marks)
        found.marks += len(sitting.marks)
        found.tracebacks += "Traceback" in sitting.errors
        found.escapes += any("\x1b" in line for line in sitting.shown)
        seen[name] = sitting.marks
    stored = seats.by_student(store)
    for name, marks in seen.items():
        there = [entry.right for entry in stored.get(name, [])]
        found.lost += sum(mark != right for mark, right in zip(marks, there, strict=False)) + max(
            0, len(marks) - len(there)
        )
        found.beyond += max(0, len(there) - len(marks) - 1)
    found.doubled = doubled(store)
    found.torn = len(wrong(store, course))
    return found


def doubled(store):
    """Ids of one student that stand twice."""
    counts = Counter((name, entry.id) for name, found in seats.by_student(store).items() for entry in found)
    return sum(number - 1 for number in counts.values())


def wrong(store, course):
    """What `log verify` finds."""
    return [each for check in verify.verify(store, folder.load(course)) for each in check.wrong]


@pytest.mark.campaign
def test_kills(store, course, chance, many, tell):
    found = killed(store, course, chance, many(KILLS))
    tell(**vars(found))
    assert found.faults() == {}
    assert found.kills == many(KILLS)
    assert found.marked >= 0.6 * found.kills


def test_a_review_that_was_killed_has_stored_what_it_marked(files, tmp_path, course, chance):
    """Two of the kills of the campaign."""
    found = killed(files.empty(tmp_path), course, chance, 2)
    assert (found.kills, found.faults()) == (2, {})


def written(store, course, writers, seconds):
    """Lets writers write at once; gives how many answers they were told are stored, and what is wrong with that."""
    found = seats.write(store, course, writers, seconds)
    there = Counter((name, entry.id, entry.right) for name, each in seats.by_student(store).items() for entry in each)
    told = Counter(found.told)
    assert found.errors == ""
    assert all("in use by another program" in each for each in found.refused), found.refused
    return (
        len(found.told),
        len(found.refused),
        {
            "lost": sum((told - there).values()),
            "doubled": sum(number - 1 for number in (*told.values(), *there.values())),
            "unasked": sum((there - told).values()),
            "torn": len(wrong(store, course)),
        },
    )


@pytest.mark.campaign
def test_writers(store, course, many, tell):
    answers, refused, faults = written(store, course, WRITERS, many(int(SECONDS)))
    tell(writers=WRITERS, seconds=many(int(SECONDS)), answers=answers, told_to_try_again=refused, **faults)
    assert answers > WRITERS
    assert refused < answers / 20
    assert set(faults.values()) == {0}


def test_two_processes_that_write_at_once_lose_nothing(files, tmp_path, course):
    answers, _, faults = written(files.empty(tmp_path), course, 2, 0.3)
    assert answers >= 2
    assert set(faults.values()) == {0}


def test_a_lost_answer_would_be_counted(files, tmp_path, course, chance):
    """So the counts above can be other than 0."""
    store = files.empty(tmp_path)
    sitting = seats.sit(store, course, "me", "--questions", 2)
    assert sitting.end(kill=False) == 0
    assert (len(sitting.marks), sitting.errors) == (2, "")
    assert [entry.right for entry in seats.by_student(store)["me"]] == sitting.marks
    with store.writing() as connection:
        store.dialect.remove(connection)
        connection.exec_driver_sql("DELETE FROM entries WHERE number = 1")
        store.dialect.install(connection)
    assert len(seats.by_student(store)["me"]) == 1
    assert wrong(store, course) != []
