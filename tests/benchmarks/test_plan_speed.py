"""How long the plans of a whole school take: what comes of keeping to the plan, and the minutes a day it is short by.

A thousand students with a date one to twelve weeks ahead, each with a share of the course that ships answered in the
last sixty days, from a twentieth to all of it. The export runs in a process of its own, as a school runs it, once with
the plans and once where no date is that of the end of a course, so that nothing is planned.
"""

import json
import subprocess
import sys
from datetime import date, timedelta

import numpy as np
import pytest
import sqlalchemy as sa

from stickback import clock
from stickback.course.course import variant
from stickback.services import folder
from stickback.store.tables import ENTRIES, STUDENTS

STUDENTS_THERE, LAST = 1000, date(2026, 5, 31)
DEVICE = "019e827e-8321-73d7-a0be-3836cc147f79"
DAYS, WRONG, BUDGETS = 60, 0.25, (10, 15, 20, 30)
MOST_RATIO = 25.0  # processor seconds with the plans beside those without them
EXPORT = """
import json, os, sys
from datetime import date
from time import perf_counter
from stickback.services import folder, readiness
from stickback.store import engine, people
if __name__ == "__main__":
    course, today = folder.load(folder.shipped()), date.fromisoformat(sys.argv[2])
    store = engine.locate(sys.argv[1])
    students = list(people.everyone(store).values())
    on = date.fromisoformat(sys.argv[3]) if sys.argv[3] else None
    start = perf_counter()
    made = readiness.report(store, course, students, on, today, whole=False)
    seconds, used = perf_counter() - start, os.times()
    told = [[page.statement.student.name, *(page.statement.if_kept or (None, None))[:2]] for page in made.pages]
    print(json.dumps([seconds, sum(used[:4]), sorted(told)]))
"""

pytestmark = pytest.mark.bench


def rows_of(course, student, random):
    sheet = course.sheets[("brackle", "pendlewick")[student % 2]]
    asked = [(key, variant(one, sheet), one) for key, one in course.applicable(sheet, "uk").items()]
    share = random.uniform(0.05, 1.0)
    for at in np.flatnonzero(random.random(len(asked)) < share).tolist():
        key, digest, one = asked[at]
        for back in sorted({int(each) for each in random.integers(1, DAYS, random.integers(1, 5))}, reverse=True):
            day = clock.day_number(LAST) - back
            at_ms = day * 86_400_000 + 43_200_000 + int(random.integers(0, 3_000_000))
            right = bool(random.random() > WRONG)
            yield {
                "student": student,
                "id": clock.uuid7(at_ms, int(random.integers(0, 2**62))),
                "what": "answer",
                "day": day,
                "at": at_ms,
                "zone": "UTC",
                "question": key,
                "variant": digest,
                "kind": one.kind,
                "revision": one.revision,
                "aircraft": sheet.id,
                "seed": 1,
                "given": "a",
                "confidence": "think",
                "hinted": False,
                "score": float(right),
                "right": right,
                "marked_by": "program",
                "seconds": 14.5,
                "device": DEVICE,
                "seal": "0" * 64,
            }


def fill(store, course):
    with store.writing() as connection:
        store.dialect.remove(connection)
        for student in range(1, STUDENTS_THERE + 1):
            random = np.random.default_rng(student)
            rows = [{**row, "number": at} for at, row in enumerate(rows_of(course, student, random), 1)]
            settings = {
                "key": student,
                "name": f"Student {student:04d}",
                "aircraft": ("brackle", "pendlewick")[student % 2],
                "entries": len(rows),
                "hidden": False,
                "phraseology": "uk",
                "minutes": BUDGETS[student % len(BUDGETS)],
                "target": 0.9,
                "checkride": LAST + timedelta(days=int(random.integers(7, 84))),
            }
            connection.execute(sa.insert(STUDENTS), settings)
            connection.execute(sa.insert(ENTRIES), rows)
        store.dialect.install(connection)


def export(store, script, on=""):
    """Seconds, processor seconds of all processes, and what was told."""
    arguments = [sys.executable, script, store.dialect.url, LAST.isoformat(), on]
    made = subprocess.run(arguments, capture_output=True, text=True, check=True)
    return json.loads(made.stdout)


def test_the_plans_of_a_thousand_students_take_a_minute_and_come_out_the_same_again(tmp_path, kind):
    course, store, script = folder.load(folder.shipped()), kind.empty(tmp_path), tmp_path / "export.py"
    script.write_text(EXPORT)
    fill(store, course)
    plain, without, nothing = export(store, script, "2026-09-30")
    seconds, used, told = export(store, script)
    short = sum(bool(each[2]) for each in told)
    print(f"\n{len(told)} students: {seconds:.1f} s with plans ({used:.0f} s of processors), {plain:.1f} s without;")
    print(f"{short} short by some minutes, {sum(each[2] is None for each in told)} by more than there are")
    assert all(each[1] is None for each in nothing)
    assert all(each[1] is not None for each in told)
    assert used < MOST_RATIO * without
    assert export(store, script)[2] == told
