"""How long the export of a whole school takes and what memory it needs, from the database to the text of the CSV.

A thousand students, each with three thousand answers to all questions of the course that ships, are written straight
into the tables. The export runs in a process of its own. What it is compared with is the plain way: every entry as an
object of the tables, its answers one at a time through the memory library. That loop is measured on the entries of
twenty students (60,000 answers) and its time taken per entry, so its total is extrapolated; what it found there is what
the CSV must say. Both are measured in processor time of their process, which other programs on the machine disturb
least; what a PostgreSQL server does beside it counts for neither.
"""

import csv
import io
import json
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from statistics import median
from time import process_time

import numpy as np
import pytest
import sqlalchemy as sa
from fsrs import Card, Rating, Scheduler
from sqlmodel import Session, col, select

from stickback import clock
from stickback.course.course import variant
from stickback.memory.curve import lucky
from stickback.services import folder
from stickback.store.tables import ENTRIES, STUDENTS, Entries, Students

STEPS = (100, 333, 1000)  # students
EACH = 3000  # answers of each
SAMPLE = 20  # students
RUNS, LEAST_RATIO, MOST_MEMORY, MOST_BEND = 3, 7, 2**30, 1.5
LAST = date(2026, 5, 31)
ON = date(2026, 7, 1)
NOON = datetime(2000, 1, 1, 12, tzinfo=UTC)
DEVICE = "019e827e-8321-73d7-a0be-3836cc147f79"  # that stored them all
COLUMNS = (
    *("student", "id", "what", "day", "at", "zone", "question", "variant", "kind", "revision", "aircraft", "seed"),
    *("given", "confidence", "hinted", "score", "right", "marked_by", "seconds", "voids"),
    *("device", "number", "seal"),
)
SETTINGS = {"hidden": False, "phraseology": "uk", "minutes": 10, "target": 0.9}

EXPORT = """
import json, resource, sys
from datetime import date
from time import perf_counter, process_time
from stickback.export import table
from stickback.services import folder, readiness
from stickback.store import engine, people
from stickback.words import exports
course, on = folder.load(folder.shipped()), date.fromisoformat(sys.argv[2])
start, wall = process_time(), perf_counter()
store = engine.locate(sys.argv[1])
students = list(people.everyone(store).values())
text = table.as_csv(exports.by_topic(readiness.report(store, course, students, on, on, whole=False)))
seconds, wall = process_time() - start, perf_counter() - wall
with open(sys.argv[3], "w", newline="") as out:
    out.write(text)
print(json.dumps([seconds, wall, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss]))
"""

pytestmark = [pytest.mark.bench, pytest.mark.skipif(sys.platform == "win32", reason="memory is measured otherwise")]


@pytest.fixture(scope="module")
def course():
    return folder.load(folder.shipped())


# a school of any size


def rows_of(course, student, random):
    """The entries of a student, in the order of their ids: every question in turn, each time in another order."""
    sheet = course.sheets[aircraft(student)]
    asked = [(key, variant(one, sheet), one) for key, one in course.applicable(sheet, "uk").items()]
    order = np.concatenate([random.permutation(len(asked)) for _ in range(EACH // len(asked) + 1)])[:EACH]
    day = clock.day_number(LAST) - 364 + np.arange(EACH) * 365 // EACH
    at = day * 86_400_000 + 43_200_000 + (np.arange(EACH) % 60) * 20_000
    right, said = random.random(EACH) < 0.8, random.choice(["guess", "think", "sure"], EACH, p=[0.15, 0.45, 0.4])
    tails = random.integers(0, 2**62, EACH)
    ids = [clock.uuid7(moment, tail) for moment, tail in zip(at.tolist(), tails.tolist(), strict=True)]
    columns = (ids, day.tolist(), at.tolist(), order.tolist(), right.tolist(), said.tolist())
    for made, number, moment, place, good, confidence in zip(*columns, strict=True):
        key, digest, one = asked[place]
        head = student, made, "answer", number, moment, "UTC", key, digest, one.kind, one.revision, sheet.id
        yield (*head, 1, "a", confidence, False, float(good), good, "program", 14.5, None)
    voided = random.choice(EACH, 3, replace=False)
    for place in voided.tolist():
        yield void(student, ids[place], int(day[-1]), int(at[-1]) + place)


def void(student, voids, day, moment):
    made = clock.uuid7(moment + 86_000_000)
    return (student, made, "void", day, moment + 86_000_000, "UTC", *(None,) * 13, voids)


def aircraft(student):
    return ("brackle", "pendlewick")[student % 2]


def name(student):
    return f"Student {student:04d}"


def fill(store, course, students):
    """Adds students with all their entries; the guards, which would look at every entry, are put back."""
    with store.writing() as connection:
        store.dialect.remove(connection)
        for student in students:
            connection.execute(
                sa.insert(STUDENTS),
                {"key": student, "name": name(student), "aircraft": aircraft(student), "entries": EACH + 3, **SETTINGS},
            )
            rows = enumerate(rows_of(course, student, np.random.default_rng(student)), 1)
            sealed = ((*row, DEVICE, number, "0" * 64) for number, row in rows)
            connection.execute(sa.insert(ENTRIES), [dict(zip(COLUMNS, row, strict=True)) for row in sealed])
        store.dialect.install(connection)
    assert store.unguarded() == []


# the two ways


def export(store, out):
    """Processor seconds, seconds by the clock, peak memory in bytes, and the rows of the CSV."""
    made = subprocess.run(
        [sys.executable, "-c", EXPORT, store.dialect.url, ON.isoformat(), out],
        capture_output=True,
        text=True,
        check=True,
    )
    seconds, wall, memory = json.loads(made.stdout)
    memory *= 1 if sys.platform == "darwin" else 1024
    return seconds, wall, memory, list(csv.DictReader(io.StringIO(out.read_text(), newline="")))


def by_loop(store, course, students):
    """The plain way for some students: how many entries, the seconds, and the mean known by student and topic."""
    start = process_time()
    with store.reading() as connection, Session(connection) as session:
        names = dict(session.exec(select(Students.key, Students.name)).all())
        query = (
            select(Entries)
            .where(col(Entries.student).in_(students))
            .order_by(col(Entries.student), col(Entries.day), col(Entries.id))
        )
        entries = list(session.exec(query))
    voided = {entry.voids for entry in entries if entry.what == "void"}
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    cards, touched = {}, {}
    for entry in entries:
        history = entry.student, entry.question, entry.variant
        if entry.what != "answer" or touched.get(history) == entry.day:
            continue
        touched[history] = entry.day
        if entry.id in voided:
            continue
        grade = Rating.Again if not entry.right else Rating.Hard if entry.confidence == "guess" else Rating.Good
        card = cards.get(history, Card(card_id=1))
        cards[history], _ = scheduler.review_card(card, grade, NOON + timedelta(days=entry.day))
    known = known_by_topic(course, scheduler, names, cards)
    return len(entries), process_time() - start, known


def known_by_topic(course, scheduler, names, cards):
    questions = {course.log_name(one): (one.topic, float(lucky(one.guess))) for one in course.questions.values()}
    at, found = NOON + timedelta(days=clock.day_number(ON)), {}
    for (student, question, _), card in cards.items():
        topic, luck = questions[question]
        p = scheduler.get_card_retrievability(card, at)
        found.setdefault((names[student], topic), []).append(max(0.0, (p - luck) / (1 - luck)))
    return {key: sum(values) / len(values) for key, values in found.items()}


def test_a_schools_export_is_seven_times_as_fast_as_the_plain_way_small_and_linear(course, kind, tmp_path):
    store, curve, last = kind.empty(tmp_path), [], 0
    for many in STEPS:
        fill(store, course, range(last + 1, many + 1))
        last = many
        runs = [export(store, tmp_path / "out.csv") for _ in range(RUNS)]
        curve.append((many * (EACH + 3), median(run[0] for run in runs), max(run[2] for run in runs)))
        wall = median(run[1] for run in runs)
        print(f"\n{curve[-1][0]:>9,} entries: {curve[-1][1]:6.2f} s ({wall:.1f} by the clock), ", end="")
        print(f"peak {curve[-1][2] / 2**20:5.0f} MiB", end="")
    said = {
        (row["student"], row["topic"]): float(row["known_by_model"]) for row in runs[-1][3] if row["known_by_model"]
    }
    entries, seconds, known = by_loop(store, course, list(range(1, SAMPLE + 1)))
    total, export_seconds, memory = curve[-1]
    ratio = (seconds / entries) / (export_seconds / total)
    print(
        f"\nthe plain way: {seconds:.2f} s for {entries:,} entries, so about {seconds / entries * total:.0f} s for all"
    )
    print(f"{ratio:.1f} times as fast")
    assert len(known) > SAMPLE * 50
    assert max(abs(said[key] - value) for key, value in known.items()) < 1e-6
    assert ratio >= LEAST_RATIO
    assert memory < MOST_MEMORY
    assert export_seconds / total < MOST_BEND * curve[0][1] / curve[0][0]
