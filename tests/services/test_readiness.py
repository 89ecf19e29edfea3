"""The school's figures, held to the memory library called one answer at a time on the lines of `log export`."""

import csv
import io
import json
import os
import random
import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta
from importlib.metadata import version

import pytest

import behind
from stickback import clock
from stickback.course import read as courses
from stickback.course.course import variant
from stickback.export import table as tables
from stickback.memory import curve
from stickback.memory.curve import DEFAULTS
from stickback.memory.entry import Entry
from stickback.readiness.statement import Case
from stickback.refused import Refused
from stickback.services import plans, readiness, statements
from stickback.store import log, parameters, people, union
from stickback.study import candidate
from stickback.study.student import Student
from stickback.words import columns
from stickback.words import exports as sheets

DAY = date(2026, 6, 1)
WHOLE = ("pass_chance", "pass_low", "pass_high", "verdict")
STUDENTS = (
    Student(name="Ann", aircraft="aldwick", checkride=DAY + timedelta(days=40)),
    Student(name="Bob", aircraft="bircham", checkride=DAY + timedelta(days=3652)),
    Student(name="Cas", aircraft="bircham", checkride=DAY - timedelta(days=1)),
    Student(name="Dee", aircraft=None, checkride=DAY),
    Student(name="Eve", aircraft="aldwick"),
)
SILENT = Student(name="Fay", aircraft="bircham")


def answers(course, student, seed):
    """A log as it may be: several a day, voids before and behind, two aeroplanes, hints, some days left out."""
    rng = random.Random(seed)
    made = []
    asked = [question for question in course.questions.values() if question.topic != "recent"]
    asked += rng.sample([question for question in course.questions.values() if question.topic == "recent"], seed % 3)
    for back in sorted(rng.sample(range(200), 40), reverse=True):
        sheet = course.sheets[student.aircraft or "aldwick"] if back < 100 else course.sheets["aldwick"]
        for _ in range(rng.randrange(1, 12)):
            question = rng.choice(asked)
            right = rng.random() < (0.7 if question.topic != "recent" or seed % 2 == 0 else 1)
            made.append(entry(rng, DAY - timedelta(days=back), course, question, sheet, right))
    voided = rng.sample(made, 25)
    return rng.sample([*made, *(void(rng, each) for each in voided)], len(made) + 25)


def name(rng, day):
    moment = clock.day_number(day) * 86_400_000 + 43_200_000 + rng.randrange(3_600_000)
    return moment, clock.uuid7(moment, rng.getrandbits(74))


def entry(rng, day, course, question, sheet, right):
    moment, made = name(rng, day)
    return Entry(
        id=made,
        what="answer",
        day=day,
        at=moment,
        zone="UTC",
        question=course.log_name(question),
        variant=variant(question, sheet),
        kind=question.kind,
        revision=question.revision,
        aircraft=sheet.id,
        seed=1,
        given="a",
        confidence=rng.choice(["guess", "think", "sure", "sure"]),
        hinted=rng.random() < 0.1,
        score=float(right),
        right=right,
        marked_by="program",
        seconds=9.0,
    )


def void(rng, voided):
    moment, made = name(rng, voided.day)
    return Entry(id=made, what="void", day=voided.day, at=moment, zone="UTC", voids=voided.id)


@pytest.fixture(scope="module")
def filled(open_school, tmp_path_factory):
    """A school whose students have a long log each, but for one who never answered."""
    made = open_school(tmp_path_factory.mktemp("school"))
    for one in (*STUDENTS, SILENT):
        behind.put(made.store, one)
    union.merge(
        made.store,
        [(one.name, each) for at, one in enumerate(STUDENTS) for each in answers(made.course, one, at + 1)],
    )
    return made


REPORTS = {}  # made already, of a school that no test changes


def reported(school, on=None, students=(*STUDENTS, SILENT)):
    made = school.store.dialect.url, on, tuple(students)
    if made not in REPORTS:
        REPORTS[made] = readiness.report(school.store, school.course, students, on, DAY)
    return REPORTS[made]


def stated(school, student, on, today=DAY):
    return statements.statements(school.store, school.course, [Case(student, today, on)])


def exported(school, *args):
    return sheets.by_student(reported(school, *args))


def read(table):
    return list(csv.DictReader(io.StringIO(tables.as_csv(table), newline="")))


ROWS = {}


def rows(school, on=None, students=(*STUDENTS, SILENT)):
    """The rows of each student's topics, and then the one of the student, under the topic `overall`."""
    made = school.store.dialect.url, on, tuple(students)
    if made not in ROWS:
        ROWS[made] = _rows(reported(school, on, students), students)
    return ROWS[made]


def _rows(found, students):
    topics, whole = read(sheets.by_topic(found)), {row["student"]: row for row in read(sheets.by_student(found))}
    return [
        row
        for one in students
        for row in (*(each for each in topics if each["student"] == one.name), {**whole[one.name], "topic": "overall"})
    ]


# the oracle

# What guessing gives: one in the number of options; nobody explains by guessing.
GUESS = {"approach": 1 / 3, "dial": 1 / 2, "callsign": 0, "heels": 1 / 2, "nose": 1 / 4, "way": 1 / 2, "foot": 1 / 3}
GUESS |= {"why": 0, "stick": 1 / 2, "wheels": 1 / 3, "hold-off": 1 / 2, **{f"counts-{n}": 1 / 2 for n in range(1, 6)}}


class Library:
    """What a student knows, from the lines of the log, the course and the memory library alone."""

    def __init__(self, lines, student, course, oracle):
        found = [json.loads(line) for line in lines]
        mine = sorted((one for one in found if one["student"] == student.name), key=lambda one: (one["day"], one["id"]))
        self.voided = {one["voids"] for one in mine if one["what"] == "void"}
        self.answers = [one for one in mine if one["what"] == "answer"]
        self.student, self.course, self.oracle = student, course, oracle
        self.sheet = course.sheets[student.aircraft or "aldwick"]
        self.histories = {}
        for one in self.answers:
            self.histories.setdefault((one["question"], one["variant"]), []).append(one)

    def first_of_each_day(self, history):
        by_day = {}
        for one in self.histories.get(history, []):
            by_day.setdefault(one["day"], one)
        return [one for one in by_day.values() if one["id"] not in self.voided]

    def known(self, key, question, on):
        """None where it is unseen."""
        moved = self.first_of_each_day((key, variant(question, self.sheet)))
        if not moved:
            return None
        oracle = self.oracle()
        for one in moved:
            confidence = "guess" if one["hinted"] else one["confidence"]
            oracle.hear(question.id, self.day(one), right=one["right"], confidence=confidence)
        return oracle.known(max((on - DAY).days, self.day(moved[-1]) + 1))[question.id]

    @staticmethod
    def day(line):
        return (date.fromisoformat(line["day"]) - DAY).days

    def first_sight(self):
        """The rate of each topic, as a Beta distribution's two numbers: from every question's first answer."""
        questions = {self.course.log_name(one): one for one in self.course.questions.values()}
        right, luck, wrong = (dict.fromkeys(self.course.plan.topics, 0.0) for _ in range(3))
        for key, digest in self.histories:
            if moved := self.first_of_each_day((key, digest)):
                one = questions[key]
                luck[one.topic] += float(curve.lucky(GUESS[one.id]))
                (right if moved[0]["right"] else wrong)[one.topic] += 1
        knew = {topic: max(0, right[topic] - luck[topic]) for topic in right}
        pooled = (0.05 + sum(knew.values())) / (1 + sum(knew.values()) + sum(wrong.values()))
        return {topic: (6 * pooled + knew[topic], 6 * (1 - pooled) + wrong[topic]) for topic in knew}

    def topics(self, on):
        """By topic: how many questions count, how many of them were seen, and the mean known."""
        applicable = self.course.applicable(self.sheet, self.student.phraseology)
        found, rates = {}, self.first_sight()
        for topic in self.course.plan.topics.values():
            known = {key: self.known(key, one, on) for key, one in applicable.items() if one.topic == topic.id}
            if topic.assumed and not self.missed(known):
                quarter = candidate.sample(known, self.student.name)
                known = {key: value for key, value in known.items() if key in quarter or value is not None}
            seen = [value for value in known.values() if value is not None]
            rate = rates[topic.id][0] / sum(rates[topic.id])
            unseen = min(rate, *([sum(seen) / len(seen)] if seen else [1]))
            whole = sum(seen) + (len(known) - len(seen)) * unseen
            found[topic.id] = (len(known), len(seen), whole / len(known) if known else None)
        return found

    def missed(self, questions):
        moved = [
            one for key, digest in self.histories for one in self.first_of_each_day((key, digest)) if key in questions
        ]
        return not all(one["right"] for one in moved)

    def overall(self, on):
        weighed = [
            (self.course.plan.topics[topic].weight, known)
            for topic, (_, _, known) in self.topics(on).items()
            if known is not None
        ]
        return sum(weight * known for weight, known in weighed) / sum(weight for weight, _ in weighed)

    def told(self):
        """The chance told before each answer that moved its history but the first, and whether it was right; by id."""
        found = {}
        for history in self.histories:
            oracle, moved = self.oracle(), self.first_of_each_day(history)
            for at, one in enumerate(moved):
                if at:
                    card = oracle.cards["it"]
                    chance = oracle.scheduler.get_card_retrievability(card, oracle.noon(self.day(one)))
                    found[one["id"]] = (chance, one["right"])
                confidence = "guess" if one["hinted"] else one["confidence"]
                oracle.hear("it", self.day(one), right=one["right"], confidence=confidence)
        return [found[each] for each in sorted(found)]


def close(value):
    return pytest.approx(value, abs=1e-6, rel=0)


@pytest.mark.parametrize("on", [None, DAY, DAY + timedelta(days=30)], ids=["own dates", "today", "in a month"])
@pytest.mark.parametrize("student", [*STUDENTS, SILENT], ids=lambda one: one.name)
def test_the_figures_are_those_of_the_library_from_the_exported_log(filled, hands, student, on):
    library = Library(log.lines(filled.store), student, filled.course, hands.oracle)
    own = [row for row in rows(filled, on) if row["student"] == student.name]
    day = on or student.checkride or DAY
    assert {row["date"] for row in own} == {day.isoformat()}
    *topics, overall = own
    for row in topics:
        questions, seen, known = library.topics(day)[row["topic"]]
        assert (int(row["questions"]), int(row["seen"])) == (questions, seen), row["topic"]
        found = float(row["known_by_model"]) if row["known_by_model"] else None
        assert found == (known if known is None else close(known))
    assert float(overall["known_by_model"]) == close(library.overall(day))


@pytest.mark.parametrize("student", STUDENTS, ids=lambda one: one.name)
def test_what_was_told_of_each_answer_is_what_the_library_told_from_the_exported_log(filled, hands, student):
    library = Library(log.lines(filled.store), student, filled.course, hands.oracle)
    (one,) = stated(filled, student, DAY)
    assert one.foretold[0].tolist() == pytest.approx([chance for chance, _ in library.told()], rel=1e-9)
    assert one.foretold[1].tolist() == [right for _, right in library.told()]
    assert one.answers == sum(len(library.first_of_each_day(history)) for history in library.histories)


def test_the_log_of_these_tests_holds_everything_that_could_go_wrong(filled, hands):
    found = [Library(log.lines(filled.store), one, filled.course, hands.oracle) for one in STUDENTS]
    recent = [one.topics(DAY)["recent"][:2] for one in found]
    assert {questions for questions, _ in recent} >= {2, 5}, "nobody missed, or everybody did"
    for one in found:
        moved = sum(len(one.first_of_each_day(history)) for history in one.histories)
        assert moved < len(one.answers) - len(one.voided & {each["id"] for each in one.answers})
    assert any(len({digest for key, digest in one.histories if key == "tw/way"}) == 2 for one in found)


@pytest.mark.parametrize("student", STUDENTS, ids=lambda one: one.name)
def test_last_days_and_open_misbeliefs_are_those_of_the_exported_log(filled, hands, student):
    library = Library(log.lines(filled.store), student, filled.course, hands.oracle)
    own = {row["topic"]: row for row in rows(filled) if row["student"] == student.name}
    days, wrong = {}, dict.fromkeys(filled.course.plan.topics, 0)
    for key, question in filled.course.applicable(library.sheet, "uk").items():
        history = (key, variant(question, library.sheet))
        there = [one for one in library.histories.get(history, []) if one["id"] not in library.voided]
        days.setdefault(question.topic, []).extend(one["day"] for one in there)
        opened = max((one["day"] for one in there if not one["right"] and one["confidence"] == "sure"), default=None)
        mended = [
            one
            for one in library.first_of_each_day(history)
            if one["right"] and one["confidence"] != "guess" and not one["hinted"] and one["day"] > (opened or "")
        ]
        wrong[question.topic] += opened is not None and len(mended) < 2
    assert {topic: int(own[topic]["sure_but_wrong"]) for topic in wrong} == wrong
    assert {topic: own[topic]["last_day"] for topic in days} == {
        topic: max(found, default="") for topic, found in days.items()
    }
    assert int(own["overall"]["sure_but_wrong"]) == sum(wrong.values())
    assert own["overall"]["last_day"] == max(day for found in days.values() for day in found)


# the table


def test_the_columns_of_every_table_are_of_one_list_and_in_its_order(filled):
    names = {column.name for column in columns.COLUMNS}
    assert len(names) == len(columns.COLUMNS)
    for table in (sheets.by_student(reported(filled)), sheets.by_topic(reported(filled))):
        assert [name for name in table.names if name in names] == [
            column.name for column in columns.COLUMNS if column.name in table.names
        ]


def test_each_student_has_a_row_for_each_topic_in_plan_order_and_one_for_the_whole(filled):
    found = [(row["student"], row["topic"]) for row in rows(filled)]
    topics = [*filled.course.plan.topics, "overall"]
    assert found == [(one.name, topic) for one in (*STUDENTS, SILENT) for topic in topics]


def test_every_topic_with_a_question_has_its_band_and_the_whole_alone_the_chance_to_pass_and_the_verdict(filled):
    for row in rows(filled):
        whole = row["topic"] == "overall"
        assert all((column in row) is whole for column in WHOLE)
        assert bool(row["known_low"]) is bool(row["known_high"]) is bool(row["known"])
        for low, high in (("known_low", "known_high"), ("pass_low", "pass_high")):
            assert not row.get(low) or 0 <= float(row[low]) <= float(row[high]) <= 1


def test_the_verdict_follows_from_the_row_that_it_stands_in(filled):
    found = rows(filled)
    for one in (*STUDENTS, SILENT):
        *topics, whole = [row for row in found if row["student"] == one.name]
        (ready,) = stated(filled, one, one.checkride or DAY)
        must = [row for row in topics if row["must"] == "yes"]
        seen = all(int(row["seen"]) >= min(4, int(row["questions"])) for row in must)
        sound = float(whole["pass_low"]) >= 0.8 and seen and all(float(row["known_low"]) >= 0.7 for row in must)
        expected = "sound" if sound else "borderline" if float(whole["pass_chance"]) >= 0.8 else "not yet"
        assert whole["verdict"] == ready.verdict == (expected if one != SILENT else "no estimate")
        assert ready.obstacles or sound


def test_a_topic_says_its_lesson_title_weight_and_whether_it_is_a_must(filled):
    found = {row["topic"]: row for row in rows(filled)[:6]}
    said = [found["swing"][column] for column in ("lesson", "title", "weight", "must")]
    assert said == ["take-off", "Why the nose swings", "2", "yes"]


def test_json_and_csv_say_the_same(filled):
    found = reported(filled)
    outer, inner = sheets.by_student(found), sheets.by_topic(found)
    nested = json.loads(tables.as_json(outer, {"topics": inner}, "student"))["students"]
    flat = [{"student": one["student"], **row} for one in nested for row in one.pop("topics")]
    for row, other in zip([*read(outer), *read(inner)], [*nested, *flat], strict=True):
        assert list(row) == list(other)
        assert list(row.values()) == list(map(as_text, other.values()))


def as_text(value):
    """A value of JSON as CSV writes it."""
    if isinstance(value, list):
        return "; ".join(value)
    if value is None or isinstance(value, bool):
        return {None: "", True: "yes", False: "no"}[value]
    return str(value)


def test_without_an_answer_every_question_is_unseen_and_next_to_nothing_is_known(filled):
    found = [row for row in rows(filled) if row["student"] == "Fay"]
    assert {row["seen"] for row in found} == {"0"}
    assert {row["known"] for row in found} == {"0.05"}
    assert {row["last_day"] for row in found} == {""}
    assert float(found[-1]["pass_chance"]) < 0.001
    assert found[-1]["verdict"] == "no estimate"


def test_a_database_that_is_not_there_yet_holds_no_answers(filled, kind, tmp_path):
    nothing = replace(filled, store=kind.nothing(tmp_path))
    assert {row["seen"] for row in rows(nothing, None, [SILENT])} == {"0"}


def test_a_student_alone_has_the_figures_that_stand_among_all(filled):
    among = [row for row in rows(filled) if row["student"] == "Cas"]
    assert rows(filled, None, [STUDENTS[2]]) == among


@pytest.mark.parametrize(
    ("on", "checkride", "found"),
    [
        (None, None, DAY),
        (None, date(2027, 1, 1), date(2027, 1, 1)),
        (date(2028, 1, 1), date(2027, 1, 1), date(2028, 1, 1)),
    ],
)
def test_the_date_is_the_one_asked_for_else_the_checkride_else_today(on, checkride, found):
    (one,) = statements.cases_of([Student(name="Ann", checkride=checkride)], on, DAY)
    assert (one.today, one.date) == (DAY, found)


def test_an_unknown_aeroplane_is_refused(filled):
    with pytest.raises(Refused, match="no aircraft sheet 'spit'"):
        exported(filled, None, [Student(name="Ann", aircraft="spit")])


# today, and parameters of one's own


def test_the_chance_to_pass_today_stands_beside_that_on_the_date(filled):
    (ann,) = stated(filled, STUDENTS[0], DAY + timedelta(days=40))
    (now,) = stated(filled, STUDENTS[0], DAY)
    assert ann.pass_today == now.pass_chance
    assert ann.pass_today.middle > ann.pass_chance.middle
    assert now.pass_today == now.pass_chance


def test_each_student_is_forecast_by_the_parameters_adopted(filled):
    school = filled.copied()
    before = rows(filled)
    slow = tuple(value * 2 if at < 4 else value for at, value in enumerate(DEFAULTS))
    parameters.adopt(school.store, "Ann", slow, 400, clock.clock_for("UTC", DAY))
    after = rows(school)
    changed = {row["student"] for row, other in zip(before, after, strict=True) if row != other}
    assert changed == {"Ann"}
    overall = [next(r for r in each if (r["student"], r["topic"]) == ("Ann", "overall")) for each in (before, after)]
    assert float(overall[1]["known_by_model"]) > float(overall[0]["known_by_model"])


# on a day gone by


def test_a_day_gone_by_counts_only_what_was_answered_up_to_then(filled):
    then = DAY - timedelta(days=60)
    (found,) = stated(filled, STUDENTS[0], then, then)
    lines = [json.loads(line) for line in log.lines(filled.store, "Ann")]
    school = filled.copied()
    early = {one["id"] for one in lines if one["day"] <= then.isoformat()}
    kept = [each for each in log.entries_of(school.store, "Ann") if each[1].id in early or each[1].what == "void"]
    people.erase(school.store, "Ann")
    behind.put(school.store, STUDENTS[0])
    union.merge(school.store, kept, back=True)
    (alone,) = stated(school, STUDENTS[0], then, then)
    assert 0 < found.answers == alone.answers < len(lines)
    assert (found.known, found.pass_chance) == (alone.known, alone.pass_chance)


def test_week_by_week_is_what_would_have_been_stated_then(filled):
    found = sheets.by_week(readiness.weekly(filled.store, filled.course, STUDENTS[:2], DAY)).named()
    ann = [row for row in found if row["student"] == "Ann"]
    assert [row["date"] for row in ann] == sorted(row["date"] for row in ann)
    assert (ann[-1]["date"], len(ann)) == (DAY.isoformat(), pytest.approx(200 / 7, abs=2))
    then = date.fromisoformat(ann[-5]["date"])
    (one,) = stated(filled, STUDENTS[0], then, then)
    assert (ann[-5]["known"], ann[-5]["answers"]) == (one.known.middle, one.answers)


# the plan


def test_what_comes_of_keeping_to_the_plan_stands_beside_what_comes_of_not_studying(filled):
    (found,) = stated(filled, STUDENTS[0], STUDENTS[0].checkride)
    assert found.if_kept.pass_chance.middle > found.pass_chance.middle
    assert found.if_kept.short_by is None or found.if_kept.short_by >= 0


@pytest.mark.parametrize(
    ("student", "on"),
    [(STUDENTS[0], DAY), (STUDENTS[2], STUDENTS[2].checkride), (STUDENTS[4], DAY)],
    ids=["another date", "a date gone by", "no checkride"],
)
def test_there_is_no_plan_but_for_a_checkride_that_is_ahead(filled, student, on):
    (found,) = stated(filled, student, on)
    assert found.if_kept is None


def test_for_a_large_school_the_plans_are_the_same_in_processes_of_their_own(filled, monkeypatch):
    cases = statements.cases_of(STUDENTS, None, DAY)
    alone, shared, told = [], [], []
    for most, found in ((20, alone), (0, shared)):
        monkeypatch.setattr(plans, "ALONE", most)
        made = statements.statements(filled.store, filled.course, cases, lambda *far: told.append(far))
        found += [one.if_kept for one in made]
    assert alone == shared
    assert told == [(1, 3), (2, 3), (3, 3)] * 2
    assert [kept is None for kept in alone] == [False, False, True, False, True]


# calibration


def test_every_export_carries_predicted_against_observed_of_each_student_and_of_the_school(filled):
    found = exported(filled).about["calibration"]
    assert sorted(found["students"]) == [one.name for one in (*STUDENTS, SILENT)]
    each = [found["students"][one.name]["predictions"] for one in (*STUDENTS, SILENT)]
    assert found["school"]["predictions"] == sum(each) > 400
    assert each[-1] == 0
    assert sum(one["answers"] for one in found["school"]["bins"]) == sum(each)


def test_the_calibration_is_that_of_what_the_library_told(filled, hands):
    told = Library(log.lines(filled.store), STUDENTS[0], filled.course, hands.oracle).told()
    found = exported(filled).about["calibration"]["students"]["Ann"]
    assert found["predictions"] == len(told)
    assert found["brier"] == close(sum((chance - right) ** 2 for chance, right in told) / len(told))
    assert sum(one["observed"] * one["answers"] for one in found["bins"]) == pytest.approx(
        sum(right for _, right in told), abs=1e-3
    )


# the same again


SAME = """
import sys
from datetime import date
from pathlib import Path
from stickback.export import table
from stickback.services import folder, readiness
from stickback.store import engine, people
from stickback.words import exports as sheets
store, course = engine.locate(sys.argv[1]), folder.load(Path(sys.argv[2]))
students, day = list(people.everyone(store).values()), date.fromisoformat(sys.argv[3])
found = readiness.report(store, course, students, None, day)
sys.stdout.write(table.as_json(sheets.by_student(found), {"topics": sheets.by_topic(found)}, "student"))
"""


def test_the_same_database_date_and_version_give_the_same_bytes_in_any_process(filled, course_folder):
    arguments = [sys.executable, "-c", SAME, filled.store.dialect.url, course_folder, DAY.isoformat()]
    settings = {**os.environ, "PYTHONHASHSEED": "2", "OPENBLAS_NUM_THREADS": "1"}
    other = subprocess.run(arguments, capture_output=True, check=True, env=settings).stdout.decode()
    found = reported(filled, None, tuple(people.everyone(filled.store).values()))
    here = tables.as_json(sheets.by_student(found), {"topics": sheets.by_topic(found)}, "student")
    assert here == other
    assert len(here) > 10_000


def test_no_figure_has_digits_that_differ_from_machine_to_machine(filled):
    for row in exported(filled).rows:
        assert all(value == round(value, 6) for value in row if isinstance(value, float))


# what is about it


def remade(course_folder, **files):
    """The course with other files; None takes one away."""
    read = {path.relative_to(course_folder).as_posix(): path.read_bytes() for path in course_folder.rglob("*.md")}
    read |= {name: None if text is None else text.encode() for name, text in files.items()}
    return courses.read([(name, raw) for name, raw in read.items() if raw is not None])


def about(school, course, *students):
    return sheets.about(readiness.report(school.store, course, students, DAY, DAY))


def test_every_export_says_which_course_aeroplanes_and_program_it_is_from(filled, course_folder):
    plan = (course_folder / "lesson-plan.md").read_text().replace("id: tw\n", "id: tw\nrevision: 7\n")
    course = remade(course_folder, **{"lesson-plan.md": plan})
    found = about(filled, course, *STUDENTS)
    assert (found["course"], found["course_revision"], found["course_digest"]) == ("tw", "7", course.revision)
    assert found["program"] == f"stickback {version('stickback')}"
    assert found["aircraft"] == {
        "Ann": "aldwick",
        "Bob": "bircham",
        "Cas": "bircham",
        "Dee": "aldwick",
        "Eve": "aldwick",
    }
    assert found["exam"] == {"questions": 20, "pass": 0.8}
    assert found["questions_left_out"] == 0


def test_every_export_says_how_many_questions_a_problem_left_out(filled, course_folder):
    broken = (course_folder / "three-point.md").read_text().replace("- [x] Back\n", "- [ ] Back\n")
    course = remade(course_folder, **{"three-point.md": broken})
    assert about(filled, course, SILENT)["questions_left_out"] == len(course.left_out) == 1


def test_every_export_says_which_topics_a_sheet_has_no_question_for(filled, course_folder):
    deck = (course_folder / "aeroplane.md").read_text()
    heels_only = deck[: deck.index("## What hides")]
    course = remade(course_folder, **{"aeroplane.md": heels_only, "three-point.md": None})
    found = about(filled, course, STUDENTS[0], STUDENTS[1])
    assert found["topics_without_questions"] == {
        "aldwick": ["three-point"],
        "bircham": ["sitting", "three-point"],
    }


def test_topics_without_questions_are_those_of_every_phraseology_flown(filled, course_folder):
    deck = "---\ntopic: three-point\n---\n\n## What says the tower? {#tower phraseology=uk}\n\n- [x] A\n- [ ] B\n"
    course = remade(course_folder, **{"three-point.md": deck})
    uk, faa = Student(name="Ann", aircraft="aldwick"), Student(name="Bob", aircraft="aldwick", phraseology="faa")
    both = [about(filled, course, *order)["topics_without_questions"] for order in ([uk, faa], [faa, uk])]
    assert both[0] == both[1], "it depends on who stands first"


def test_other_states_questions_count_only_for_those_who_ask_for_them(filled, course_folder):
    deck = "---\ntopic: three-point\n---\n\n## What says the law there? {#law rules=faa}\n\n- [x] A\n- [ ] B\n"
    course = remade(course_folder, **{"three-point.md": deck})
    home = Student(name="Ann", aircraft="aldwick")
    both = [home, replace(home, name="Bob", abroad=True)]
    found = readiness.report(filled.store, course, both, DAY, DAY)
    rows = [row for row in sheets.by_topic(found).named() if row["topic"] == "three-point"]
    assert {row["student"]: row["questions"] for row in rows} == {"Ann": 0, "Bob": 1}
    alone = [about(filled, course, one)["topics_without_questions"]["aldwick"] for one in both]
    assert alone == [["three-point"], []]


def test_a_topic_without_questions_has_no_figure_and_takes_no_weight(filled, course_folder):
    course = remade(course_folder, **{"three-point.md": None, "take-off.md": None, "recent.md": None})
    found = readiness.report(filled.store, course, STUDENTS[:1], DAY, DAY)
    known = {row["topic"]: row["known"] for row in sheets.by_topic(found).named()}
    assert known["three-point"] is known["swing"] is known["recent"] is None
    (overall,) = sheets.by_student(found).named()
    assert overall["known"] == pytest.approx((known["sitting"] + known["numbers"]) / 2)


def test_a_course_without_a_question_for_the_aeroplane_has_no_figure_at_all(filled, course_folder):
    gone = dict.fromkeys(("aeroplane.md", "recent.md", "take-off.md", "three-point.md"))
    course = remade(course_folder, **gone)
    found = sheets.by_student(readiness.report(filled.store, course, STUDENTS[:1], DAY, DAY))
    assert [(row["questions"], row["known"], row["pass_chance"]) for row in found.named()] == [(0, None, None)]
    assert '"known": null' in tables.as_json(found, {}, "student")
