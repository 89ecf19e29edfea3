"""What an answer, a day's plan and a student's report cost where a database has a hundred schools, and where one.

Every student has a hundred answers and every school as many students, so that one database holds a hundred times what
the other holds. The rows lie in the order of time, as they come in, and not one student behind the other. Short by
itself; `--bench-entries 10000000` is a hundred thousand students, and wants 12 GB of disk.
"""

from dataclasses import replace
from datetime import date, timedelta
from statistics import median
from time import perf_counter

import psycopg
import pytest
import sqlalchemy as sa

import behind
from stickback import clock
from stickback.course.course import variant
from stickback.memory.entry import Entry
from stickback.services import desk, folder, readiness, today
from stickback.store import engine, log, people, schools, union
from stickback.store.tables import ENTRIES, STUDENTS
from stickback.study.student import Student

SCHOOLS, EACH = 100, 100
LAST, CHECKRIDE = date(2026, 5, 31), date(2026, 7, 1)
MOST_RATIO = 1.2
TIMES = {"an answer": 200, "a day's plan": 40, "a student's report": 20}

pytestmark = pytest.mark.bench


def answers(course):
    """A hundred answers to questions of the course, over two months."""
    sheet = course.sheets["brackle"]
    asked = [(key, variant(one, sheet), one) for key, one in course.applicable(sheet, "uk").items()]
    for number in range(EACH):
        key, digest, one = asked[number * 7 % len(asked)]
        day = LAST - timedelta(days=60 - number // 2)
        at = clock.day_number(day) * 86_400_000 + 43_200_000 + number
        yield answer(clock.uuid7(at, number), key, digest, one, day=day, at=at, right=number % 4 != 0)


def answer(name, key, digest, one, **more):
    return Entry(
        id=name,
        what="answer",
        zone="UTC",
        question=key,
        variant=digest,
        kind=one.kind,
        revision=one.revision,
        aircraft="brackle",
        seed=1,
        given="0",
        confidence="think",
        hinted=False,
        score=1.0,
        marked_by="program",
        seconds=14.5,
        **more,
    )


def name(student):
    return f"Student {student:06d}"


def fill(store, server, course, many, students):
    """As many schools, each with as many students of the same answers, put there past the program."""
    behind.put(store, Student(name=name(1), aircraft="brackle", checkride=CHECKRIDE))
    union.merge(store, [(name(1), entry) for entry in answers(course)])
    for number in range(2, many + 1):
        schools.add(store, f"school-{number}")
    engine.close()
    url = server.url.set(drivername="postgresql", database=sa.make_url(store.dialect.url).database)
    with psycopg.connect(url.render_as_string(hide_password=False), autocommit=True) as one:
        ids = [each for (each,) in one.execute("SELECT id FROM entries ORDER BY id").fetchall()]
        one.execute("SET session_replication_role = replica")  # no foreign key is looked up for each row
        one.execute("SET maintenance_work_mem = '512MB'")
        one.execute("ALTER TABLE entries DROP CONSTRAINT pk_entries")
        one.execute("DROP INDEX ix_entries_student_day")
        one.execute(copied(STUDENTS, students, key="n", name="'Student ' || lpad(n::text, 6, '0')"))
        for each in ids:
            one.execute(copied(ENTRIES, students, student="n") + " AND t.id = %s", (each,))
        one.execute("ALTER TABLE entries ADD CONSTRAINT pk_entries PRIMARY KEY (school, student, id)")
        one.execute("CREATE INDEX ix_entries_student_day ON entries (school, student, day)")
        one.execute("VACUUM ANALYZE")
        return one.execute(
            "SELECT count(*), pg_table_size('entries'), pg_relation_size('pk_entries'), "
            "pg_relation_size('ix_entries_student_day') FROM entries"
        ).fetchone()


def copied(table, students, **new):
    """SQL that puts what is of the first student there for every other of every school."""
    new = {"school": "s.key", **new}
    names = ", ".join(f'"{each.name}"' for each in table.c)
    values = ", ".join(new.get(each.name, f't."{each.name}"') for each in table.c)
    own = next(name for name in new if name in {"key", "student"})
    return (
        f"INSERT INTO {table.name} ({names}) SELECT {values} FROM {table.name} t, schools s, "
        f"generate_series(1, {students}) n WHERE (s.key, n) != (1, 1) AND t.school = 1 AND t.{own} = 1"
    )


def uses(store, course, key, digest, one):
    """What is measured, as what it does for the n-th time."""

    def an_answer(n):
        made = answer(clock.uuid7(2_000_000_000_000 + n), key, digest, one, day=LAST, at=1_780_000_000_000, right=True)
        log.append(store, name(2 + n % 9), made)

    def a_plan(n):
        today.glance(desk.desk(course, store, name(2 + n % 9), LAST))

    def a_report(n):
        readiness.report(store, course, [people.find(store, name(2 + n % 9))], CHECKRIDE, LAST)

    return dict(zip(TIMES, (an_answer, a_plan, a_report), strict=True))


def test_what_a_student_does_costs_no_more_where_a_hundred_schools_are(server, tmp_path, request):
    course = folder.load(folder.shipped())
    students = request.config.getoption("--bench-entries") // SCHOOLS // EACH
    sheet = course.sheets["brackle"]
    key, one = next(iter(course.applicable(sheet, "uk").items()))
    stores = {}
    for what, many in (("small", 1), ("large", SCHOOLS)):
        store = server.empty(tmp_path)
        start = perf_counter()
        rows, table, own, day = fill(store, server, course, many, students)
        seconds, each = perf_counter() - start, (table + own + day) / rows
        print(f"\n{rows} entries, filled in {seconds:.0f} s; {each:.0f} bytes each on disk:")
        print(f"{table / rows:.0f} in the table, {own / rows:.0f} in its key, {day / rows:.0f} in the index by day")
        stores[what] = replace(store, school=f"school-{many // 2}") if many > 1 else store
    done = {what: uses(store, course, key, variant(one, sheet), one) for what, store in stores.items()}
    ratios = {}
    for use, times in TIMES.items():
        took = {what: [] for what in stores}
        for n in range(times + 2):
            for what in stores:
                start = perf_counter()
                done[what][use](n)
                took[what].append(perf_counter() - start)
        small, large = (median(took[what][2:]) for what in ("small", "large"))
        ratios[use] = large / small
        print(
            f"{use}: {1000 * small:.2f} ms with one school, {1000 * large:.2f} ms with all, {large / small:.2f} times"
        )
    assert max(ratios.values()) < MOST_RATIO
