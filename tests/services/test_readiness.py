"""The school's figures, held to the memory library called one answer at a time on the lines of `log export`."""

import csv
import io
import json
import random
from datetime import date, timedelta
from fractions import Fraction
from importlib.metadata import version
from math import ceil, comb

import pytest

from stickback import clock
from stickback.course import course as courses
from stickback.course.course import variant
from stickback.export import table as tables
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import readiness
from stickback.store import log, people
from stickback.study import choose
from stickback.study.student import Student

DAY = date(2026, 6, 1)
COLUMNS = (
    "student, date, lesson, topic, title, weight, must, questions, seen, recall, recall_low, recall_high, "
    "sure_but_wrong, last_day, pass_chance, pass_low, pass_high, verdict"
).split(", ")
EMPTY = ("recall_low", "recall_high", "pass_low", "pass_high", "verdict")
STUDENTS = (
    Student("Ann", "aldwick", checkride=DAY + timedelta(days=40)),
    Student("Bob", "bircham", checkride=DAY + timedelta(days=3652)),
    Student("Cas", "bircham", checkride=DAY - timedelta(days=1)),
    Student("Dee", None, checkride=DAY),
    Student("Eve", "aldwick"),
)
SILENT = Student("Fay", "bircham")


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
    digest = variant(question, sheet)
    how = rng.choice(["guess", "think", "sure", "sure"]), rng.random() < 0.1, float(right), right, "program", 9.0
    of = course.key(question), digest, question.kind, question.revision, sheet.id, None, 1, "a"
    return Entry(made, "answer", day, moment, "UTC", *of, *how)


def void(rng, voided):
    moment, made = name(rng, voided.day)
    return Entry(made, "void", voided.day, moment, "UTC", voids=voided.id)


@pytest.fixture(scope="module")
def filled(open_school, empty_database, tmp_path_factory):
    """A school whose students have a long log each, but for one who never answered."""
    made = open_school(empty_database, tmp_path_factory.mktemp("school") / "school.db")
    for one in (*STUDENTS, SILENT):
        people.save(made.store, one)
    log.merge(
        made.store,
        [(one.name, each) for at, one in enumerate(STUDENTS) for each in answers(made.course, one, at + 1)],
    )
    return made


def exported(school, on=None, students=(*STUDENTS, SILENT)):
    dates = readiness.dates(students, on, DAY)
    return readiness.table(school.course, readiness.readiness(school.store, school.course, students, dates))


def rows(school, *args):
    return list(csv.DictReader(io.StringIO(tables.as_csv(exported(school, *args)), newline="")))


# the oracle


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

    def topics(self, on):
        """By topic: how many questions count, how many of them were seen, and the mean known."""
        applicable = self.course.applicable(self.sheet, self.student.phraseology)
        found = {}
        for topic in self.course.plan.topics.values():
            known = {key: self.known(key, one, on) for key, one in applicable.items() if one.topic == topic.id}
            if topic.assumed and not self.missed(known):
                quarter = choose.sample(known, self.student.name)
                known = {key: value for key, value in known.items() if key in quarter or value is not None}
            seen = [value for value in known.values() if value is not None]
            found[topic.id] = (len(known), len(seen), sum(seen) / len(known) if known else None)
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

    def passes(self, on):
        """The binomial over the school's oral."""
        many, p = self.course.plan.exam_questions, self.overall(on)
        least = ceil(many * Fraction(str(self.course.plan.exam_pass)))
        return sum(comb(many, k) * p**k * (1 - p) ** (many - k) for k in range(least, many + 1))


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
        assert (float(row["recall"]) if row["recall"] else None) == (known if known is None else close(known))
    assert float(overall["recall"]) == close(library.overall(day))
    assert float(overall["pass_chance"]) == close(library.passes(day))


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


def test_the_columns_are_those_that_are_promised_in_their_order(filled):
    assert list(readiness.COLUMNS) == list(exported(filled).columns) == COLUMNS


def test_each_student_has_a_row_for_each_topic_in_plan_order_and_one_for_the_whole(filled):
    found = [(row["student"], row["topic"]) for row in rows(filled)]
    topics = [*filled.course.plan.topics, "overall"]
    assert found == [(one.name, topic) for one in (*STUDENTS, SILENT) for topic in topics]


def test_the_band_and_the_verdict_are_empty_and_the_chance_to_pass_stands_in_the_whole_only(filled):
    for row in rows(filled):
        assert [row[column] for column in EMPTY] == [""] * len(EMPTY)
        assert bool(row["pass_chance"]) is (row["topic"] == "overall")


def test_a_topic_says_its_lesson_title_weight_and_whether_it_is_a_must(filled):
    found = {row["topic"]: row for row in rows(filled)[:6]}
    said = [found["swing"][column] for column in ("lesson", "title", "weight", "must")]
    assert said == ["take-off", "Why the nose swings", "2", "yes"]
    said = [found["overall"][column] for column in ("lesson", "title", "weight", "must")]
    assert said == ["", "Tailwheel conversion", "", ""]


def test_json_and_csv_say_the_same(filled):
    made = exported(filled)
    nested = json.loads(tables.as_json(made, "student"))
    flat = [{"student": one["student"], **row} for one in nested["students"] for row in one["rows"]]
    for row, other in zip(csv.DictReader(io.StringIO(tables.as_csv(made), newline="")), flat, strict=True):
        assert list(row) == list(other)
        assert list(row.values()) == [
            "" if value is None else "yes" if value is True else "no" if value is False else str(value)
            for value in other.values()
        ]


def test_without_an_answer_every_question_is_unseen_and_nothing_is_known(filled):
    found = [row for row in rows(filled) if row["student"] == "Fay"]
    assert {row["seen"] for row in found} == {"0"}
    assert {row["recall"] for row in found} == {"0.0"}
    assert {row["last_day"] for row in found} == {""}
    assert float(found[-1]["pass_chance"]) == 0


def test_a_database_that_is_not_there_yet_holds_no_answers(filled, tmp_path):
    nothing = filled.copied()
    nothing.path.unlink()
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
    assert readiness.dates([Student("Ann", checkride=checkride)], on, DAY) == [found]


def test_an_unknown_aeroplane_is_refused(filled):
    with pytest.raises(Refused, match="no aircraft sheet 'spit'"):
        exported(filled, None, [Student("Ann", "spit")])


# what is about it


def remade(course_folder, **files):
    """The course with other files; None takes one away."""
    read = {path.relative_to(course_folder).as_posix(): path.read_bytes() for path in course_folder.rglob("*.md")}
    read |= {name: None if text is None else text.encode() for name, text in files.items()}
    return courses.read([(name, raw) for name, raw in read.items() if raw is not None])


def about(school, course, *students):
    found = readiness.readiness(school.store, course, students, [DAY] * len(students))
    return readiness.table(course, found).about


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
    uk, faa = Student("Ann", "aldwick"), Student("Bob", "aldwick", "faa")
    both = [about(filled, course, *order)["topics_without_questions"] for order in ([uk, faa], [faa, uk])]
    assert both[0] == both[1], "it depends on who stands first"


def test_a_topic_without_questions_has_no_recall_and_takes_no_weight(filled, course_folder):
    course = remade(course_folder, **{"three-point.md": None, "take-off.md": None, "recent.md": None})
    found = readiness.table(course, readiness.readiness(filled.store, course, STUDENTS[:1], [DAY])).rows
    recall = {row[3]: row[9] for row in found}
    assert recall["three-point"] is recall["swing"] is recall["recent"] is None
    assert recall["overall"] == pytest.approx((recall["sitting"] + recall["numbers"]) / 2)


def test_a_course_without_a_question_for_the_aeroplane_has_no_figure_at_all(filled, course_folder):
    gone = dict.fromkeys(("aeroplane.md", "recent.md", "take-off.md", "three-point.md"))
    course = remade(course_folder, **gone)
    found = readiness.table(course, readiness.readiness(filled.store, course, STUDENTS[:1], [DAY]))
    assert {(row[7], row[9], row[14]) for row in found.rows} == {(0, None, None)}
    assert '"recall": null' in tables.as_json(found, "student")
