"""The throw-away school, built once from the course that ships: every story must be there to see."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest

import behind
from stickback import clock
from stickback.course import read as courses
from stickback.memory.curve import DEFAULTS
from stickback.readiness.statement import BORDERLINE, NO_ESTIMATE, NOT_YET, SOUND, Case
from stickback.refused import Refused
from stickback.services import debrief, demo, folder, readiness, statements, today, verify
from stickback.services import desk as desks
from stickback.store import log, parameters, people
from stickback.study.student import Student
from stickback.words import exports

DAY = date(2026, 6, 1)
NAMES = ["Ada Quill", "Bram Teasel", "Cleo Marsh", "Dov Pellow", "Esme Rook", "Finn Ashby", "Gwen Thorne", "Hob Lacey"]


@pytest.fixture(scope="session")
def shipped():
    return folder.load(folder.shipped())


@pytest.fixture(scope="session")
def school(shipped, files, tmp_path_factory):
    """The database of the demo; no test may change it. Both engines build the smaller one of `few`."""
    store = files.nothing(tmp_path_factory.mktemp("demo"), "demo")
    demo.build(store, shipped, DAY)
    return store


@pytest.fixture
def few(monkeypatch):
    """Only the first two of the cast, and three study days of each, so that building takes no time."""
    real = demo.cast
    monkeypatch.setattr(demo, "cast", lambda day: tuple(replace(one, days=one.days[-3:]) for one in real(day)[:2]))


@pytest.fixture
def new(kind, tmp_path):
    """Makes an empty database: `new("name")`."""
    return lambda name: kind.empty(tmp_path, name)


@pytest.fixture(scope="session")
def at_desk(school, shipped):
    """Each student's desk on the day."""
    return {name: desks.desk(shipped, school, name, DAY) for name in NAMES}


def ready(school, course, name, day):
    (found,) = statements.statements(school, course, [Case(people.find(school, name), DAY, day)])
    return found


def topics(desk, histories):
    return Counter(desk.questions[history].topic for history in histories)


# the school


def test_eight_students_study_there_each_with_a_story(school):
    assert list(people.everyone(school)) == NAMES
    assert all(one.story for one in demo.cast(DAY))
    assert sorted(people.counts(school).values())[1] > 200


def test_everything_that_a_log_promises_holds_there(school, shipped):
    assert [check for check in verify.verify(school, shipped) if check.wrong] == []


def test_nothing_happens_today_or_later_so_that_today_can_still_be_tried(at_desk):
    for desk in at_desk.values():
        assert max(row.day for row in desk.past.rows) < clock.day_number(DAY)


def test_all_stand_in_the_export(school, shipped):
    students = list(people.everyone(school).values())
    found = exports.by_student(readiness.report(school, shipped, students, None, DAY)).named()
    assert sorted(row["student"] for row in found) == NAMES
    assert len({row["known"] for row in found}) == len(NAMES)


# the stories


def test_ada_was_away_for_two_weeks_and_what_she_learnt_has_begun_to_fade(school, shipped, at_desk):
    assert today.glance(at_desk["Ada Quill"]).away in range(14, 17)
    then, now = (ready(school, shipped, "Ada Quill", DAY - timedelta(days=days)).known.middle for days in (14, 0))
    assert 0 < now < 0.95 * then
    assert debrief.weak(at_desk["Ada Quill"])


def test_bram_is_sure_and_wrong_about_the_brakes(at_desk):
    desk = at_desk["Bram Teasel"]
    wrong = topics(desk, desk.misbeliefs)
    assert wrong["feet-and-brakes"] > wrong.total() / 2
    assert debrief.weak(desk)[0].topic.id == "feet-and-brakes"
    topic_of = {key: question.topic for (key, _), question in desk.questions.items()}
    brakes = [row.right for row in desk.past.answers if topic_of.get(row.question) == "feet-and-brakes"]
    assert len(brakes) > 20
    assert not any(brakes)
    assert "Start and brakes" in str(today.glance(desk).about)


def test_brams_flight_showed_an_error_that_the_debrief_still_lists(at_desk):
    desk = at_desk["Bram Teasel"]
    assert [row.question for row in desk.past.rows if row.what == "flown"] == ["tailwheel/start-and-brakes"]
    assert desk.flown_errors, "the error was worked off before anyone could see it"


def test_cleo_meets_the_swing_as_new_on_the_anticlockwise_aeroplane(school, shipped, at_desk):
    desk = at_desk["Cleo Marsh"]
    new = topics(desk, (history for history in desk.questions if today.elsewhere(desk.past, history)))
    assert desk.sheet.values["propeller"] == "anticlockwise"
    swing = {"yaw-causes", "yaw-by-phase", "raising-the-tail"}
    assert sum(new[topic] for topic in swing) >= 3
    assert set(new) - swing, "numbers of the aeroplane are new too"
    one = people.find(school, "Cleo Marsh")
    now, before = (
        statements.statements(school, shipped, [Case(replace(one, aircraft=sheet), DAY, DAY)])[0]
        for sheet in ("pendlewick", "brackle")
    )
    at = [place for place, topic in enumerate(shipped.plan.topics) if topic in swing]
    assert now.seen[at].sum() < before.seen[at].sum()


def test_dov_says_sure_to_everything_and_is_often_wrong(at_desk):
    desk = at_desk["Dov Pellow"]
    assert {row.confidence for row in desk.past.answers} == {"sure"}
    assert sum(not row.right for row in desk.past.graded) > len(desk.past.graded) / 4
    assert len(desk.misbeliefs) > 10


def test_nobody_but_bram_and_dov_is_sure_and_wrong(at_desk):
    assert [name for name in NAMES if at_desk[name].misbeliefs] == ["Bram Teasel", "Dov Pellow"]


def test_esme_is_back_after_ten_months(at_desk):
    assert today.glance(at_desk["Esme Rook"]).away in range(290, 320)


def test_finn_is_nearly_there(school, shipped):
    own = [ready(school, shipped, name, people.find(school, name).checkride or DAY) for name in NAMES]
    finn = own[NAMES.index("Finn Ashby")]
    assert (finn.verdict, finn.date) == (BORDERLINE, DAY + timedelta(days=7))
    assert finn.pass_chance.middle > 0.8 > sorted(one.pass_chance.middle for one in own)[-3]


def test_gwen_has_it_all_and_hob_has_only_just_begun(school, shipped):
    gwen, hob = (ready(school, shipped, name, people.find(school, name).checkride) for name in NAMES[-2:])
    assert (gwen.verdict, gwen.obstacles) == (SOUND, ())
    assert (hob.verdict, hob.date) == (NO_ESTIMATE, DAY + timedelta(days=60))


def test_gwens_theory_is_sound_while_three_errors_seen_in_flight_stand_open(at_desk):
    errors = at_desk["Gwen Thorne"].flown_errors
    assert len({error.lesson for error in errors}) == len(errors) == 3
    assert not any(error.own for error in errors)


def test_every_verdict_is_there_to_see(school, shipped):
    found = {ready(school, shipped, name, people.find(school, name).checkride or DAY).verdict for name in NAMES}
    assert found == {SOUND, BORDERLINE, NOT_YET, NO_ESTIMATE}


def test_who_has_answered_enough_has_parameters_of_their_own_where_these_predict_better(school):
    personal = [name for name, found in parameters.adopted(school, NAMES).items() if found != DEFAULTS]
    assert "Finn Ashby" in personal
    assert set(personal) <= {"Finn Ashby", "Gwen Thorne"}


# building it


def test_everything_that_a_log_promises_holds_on_either_engine(few, new, shipped):
    store = new("here")
    demo.build(store, shipped, DAY)
    assert [check for check in verify.verify(store, shipped) if check.wrong] == []


def test_the_same_day_gives_the_same_school_and_another_day_another(few, new, shipped):
    prints = []
    for number, day in enumerate((DAY, DAY, DAY + timedelta(days=1))):
        store = new(f"school-{number}")
        demo.build(store, shipped, day)
        prints.append(log.fingerprint(store))
    assert prints[0] == prints[1] != prints[2]


def test_the_machines_zone_makes_no_other_school(few, new, shipped, monkeypatch):
    prints = []
    for zone in ("Pacific/Auckland", "Pacific/Honolulu"):
        monkeypatch.setenv("TZ", zone)
        store = new(zone.partition("/")[2])
        demo.build(store, shipped, DAY)
        prints.append(log.fingerprint(store))
    assert prints[0] == prints[1]


@pytest.mark.parametrize("removed", [False, True], ids=["there", "removed"])
def test_a_database_that_holds_students_is_left_alone(few, new, shipped, removed):
    store = new("taken")
    behind.put(store, Student(name="Bea"))
    if removed:
        people.hide(store, "Bea")
    with pytest.raises(Refused, match="holds students already; the demo needs a new file"):
        demo.build(store, shipped, DAY)
    assert set(people.counts(store)) == {"Bea"}


def without(**changed):
    """The course that ships with texts replaced, by (old, new); None takes a file away."""
    read = {path.relative_to(folder.shipped()).as_posix(): path.read_text("utf-8") for path in _texts()}
    for name, change in changed.items():
        read[name] = None if change is None else read[name].replace(*change)
    return courses.read([(name, text.encode()) for name, text in read.items() if text is not None])


def _texts():
    """The plan, a deck and the sheets: enough to build a school from, and quick to read."""
    place = folder.shipped()
    return [place / "lesson-plan.md", place / "start-and-brakes.md", *(place / "aircraft").glob("*.md")]


def stored(store):
    return [len(people.everyone(store)), len(list(log.lines(store)))]


def test_a_course_without_the_aeroplanes_is_refused_and_nothing_is_stored(new):
    store = new("no-sheet")
    with pytest.raises(Refused, match="no aircraft sheet 'pendlewick'"):
        demo.build(store, without(**{"aircraft/pendlewick.md": None}), DAY)
    assert stored(store) == [0, 0]


def test_a_course_without_a_lesson_flown_is_refused_and_nothing_is_stored(few, new):
    store = new("no-lesson")
    with pytest.raises(Refused, match="no lesson 'start-and-brakes'"):
        demo.build(store, without(**{"lesson-plan.md": ("{#start-and-brakes}", "{#starting-up}")}), DAY)
    assert stored(store) == [0, 0]


EVERY_KIND = """\
---
topic: gear-and-cg
---

## In which order? {#demo-order}

### Answer

1. First
2. Second
3. Third

## Where is the stick? {#demo-stick}

### Answer

```stick
accept: back
```

## How much? {#demo-number}

### Answer

```number
answer: approach_speed + 5
unit: "{{ speed_unit }}"
tolerance: 1
```
"""


@pytest.mark.parametrize("name", ["demo-order", "demo-stick", "demo-number"])
def test_every_kind_of_question_is_answered_rightly_when_it_is_known(new, monkeypatch, name):
    head, *parts = EVERY_KIND.split("\n## ")
    (question,) = [part for part in parts if f"{{#{name}}}" in part]
    texts = {path.relative_to(folder.shipped()).as_posix(): path.read_bytes() for path in _texts()}
    course = courses.read([*texts.items(), ("more.md", f"{head}\n## {question}".encode())])
    assert f"tailwheel/{name}" in course.applicable(course.sheets["brackle"], "uk")
    real = demo.cast(DAY)[0]
    one = replace(
        real, student=Student(name=real.student.name, aircraft="brackle"), days=tuple(range(40, 0, -1)), first_sight=1.0
    )
    monkeypatch.setattr(demo, "cast", lambda day: (one,))
    store = new(name)
    demo.build(store, course, DAY)
    marks = [entry.right for _, entry in log.entries_of(store) if entry.question == f"tailwheel/{name}"]
    assert marks
    assert all(marks)


def test_settings_are_entries_as_everyones_are(new, shipped, few):
    store = new("settings")
    demo.build(store, shipped, DAY)
    found = [(name, entry.day) for name, entry in log.entries_of(store) if entry.what == "settings"]
    assert found == [(one.student.name, DAY - timedelta(days=one.days[0])) for one in demo.cast(DAY)]


def test_each_step_is_told_before_it_is_done(new, shipped, few):
    told = []
    demo.build(new("told"), shipped, DAY, told.append)
    assert told == [*(f"{one.student.name}: {one.story}" for one in demo.cast(DAY)), demo.LAST]
