import json
from dataclasses import replace
from datetime import timedelta

import pytest

from stickback.readiness.forecast import Band
from stickback.readiness.statement import PASSES, Case
from stickback.refused import Refused
from stickback.services import outlook, statements, today
from stickback.services.today import Wish
from stickback.study.student import MOST_MINUTES
from stickback.words import outlook as words


def on(school, days):
    return school.desk().day + timedelta(days=days)


def ahead(school, at=0, **settings):
    school.set(**settings)
    return outlook.outlook(school.desk(at))


@pytest.fixture(scope="module")
def template(open_school, hands, tmp_path_factory):
    """Some topics answered on three days, some of it wrong."""
    school = open_school(tmp_path_factory.mktemp("begun"))
    for day, topic in enumerate(("swing", "numbers", "sitting")):
        hands.finish(school.begin(day, topic=topic), lambda name: (name not in {"foot", "dial"}, "think"))
    return school.store


@pytest.fixture
def weak(school, hands):
    """The same topics answered, nearly all of it wrong."""
    for day, topic in enumerate(("swing", "numbers", "sitting")):
        hands.finish(school.begin(day, topic=topic), lambda name: (name == "foot", "think"))
    return school


@pytest.fixture
def begun(template, open_school, tmp_path):
    return open_school(tmp_path, store=template)


def test_there_is_a_day_for_every_day_before_the_date(begun):
    found = ahead(begun, 3, checkride=on(begun, 9))
    assert [one.day for one in found.days] == [on(begun, day) for day in range(3, 9)]


def test_without_a_date_it_says_what_to_type(school):
    with pytest.raises(Refused, match="`stickback student set me --checkride DATE` sets one"):
        outlook.outlook(school.desk())


def test_past_the_date_it_says_so_too(school):
    with pytest.raises(Refused, match="no date ahead"):
        ahead(school, 5, checkride=on(school, 4))


def test_the_end_of_the_course_is_looked_to_before_a_nearer_lesson(begun):
    found = ahead(begun, 3, checkride=on(begun, 9), next_lesson="take-off", next_on=on(begun, 5))
    assert (found.occasion.day, found.occasion.lesson) == (on(begun, 9), None)


def test_without_an_end_it_looks_to_the_lesson_and_its_questions_alone(begun):
    found = ahead(begun, 3, next_lesson="aeroplane", next_on=on(begun, 5))
    assert set(found.on_the_day.topics) == {"sitting", "numbers", "recent"}
    assert (found.occasion.lesson, found.questions) == (1, 5 + 2)  # a quarter of the assumed topic


def test_the_first_day_is_todays_plan(begun):
    found = ahead(begun, 3, checkride=on(begun, 9))
    made = today.agenda(begun.desk(3), Wish())
    desk = begun.desk(3)
    assert [question for question, _ in found.why] == [desk.questions[history].id for history in made.order]
    assert [why for _, why in found.why] == [made.why[history] for history in made.order]


def test_no_day_takes_more_than_the_minutes(begun):
    found = ahead(begun, 3, checkride=on(begun, 20), minutes=1)
    assert all(0 < one.minutes <= 1 for one in found.days)


def test_a_review_that_is_done_is_not_done_again(begun, hands):
    begun.set(checkride=on(begun, 9))
    before = outlook.outlook(begun.desk(3)).days[0]
    hands.finish(begun.begin(3))
    after = outlook.outlook(begun.desk(3)).days[0]
    assert (before.questions > 0, after.questions) == (True, 0)


def test_studying_leaves_more_known_on_the_date_than_not_studying(begun):
    found = ahead(begun, 3, checkride=on(begun, 40))
    assert found.on_the_day.known.middle > found.without.known.middle + 0.05
    assert found.on_the_day.pass_chance.middle > found.without.pass_chance.middle
    assert (found.on_the_day.unseen, found.without.unseen) == (0, 5)


def test_on_the_date_itself_the_plan_adds_nothing(begun):
    found = ahead(begun, 9, checkride=on(begun, 9))
    assert (found.days, found.on_the_day) == ((), found.without)


@pytest.mark.parametrize("days", [1, 10, 60])
def test_without_further_study_it_stands_as_the_readiness_export_says(begun, days):
    begun.set(checkride=on(begun, 3 + days))
    desk = begun.desk(3)
    (ready,) = statements.statements(desk.database, desk.course, [Case(desk.student, desk.day, desk.student.checkride)])
    found = outlook.outlook(desk).without
    assert found.pass_chance.middle == pytest.approx(ready.pass_chance.middle, abs=0.03)
    assert (found.known.low, found.known.high) == pytest.approx((ready.known.low, ready.known.high), abs=0.06)


def test_the_ends_of_a_band_lie_around_its_middle(begun):
    found = ahead(begun, 3, checkride=on(begun, 30))
    bands = [found.without.known, found.on_the_day.known, *(one.known for one in found.days)]
    assert all(0 <= low < middle < high <= 1 for middle, low, high in bands)


def test_what_is_short_is_just_enough_once_it_is_added(weak):
    short = ahead(weak, 3, checkride=on(weak, 5), minutes=1).short_by
    assert short is not None
    assert 0 < short < MOST_MINUTES
    enough, less = (ahead(weak, 3, checkride=on(weak, 5), minutes=minutes) for minutes in (1 + short, short))
    assert (enough.enough, less.enough) == (True, False)
    assert enough.on_the_day.pass_chance.middle >= PASSES > less.on_the_day.pass_chance.middle


def test_where_no_minutes_are_enough_none_are_named(school):
    found = ahead(school, 0, checkride=on(school, 0))
    assert (found.short_by, found.enough) == (None, False)


def test_the_same_day_gives_the_same_outlook(begun):
    begun.set(checkride=on(begun, 20), minutes=2)
    desk = begun.desk(3)
    assert outlook.outlook(desk) == outlook.outlook(begun.desk(3))


@pytest.mark.parametrize(("end", "minutes"), [(3, 1), (4, 1), (9, 2)])
def test_what_the_report_takes_is_about_what_the_outlook_says(begun, end, minutes):
    found = ahead(begun, 3, checkride=on(begun, end), minutes=minutes)
    desk = begun.desk(3)
    case = Case(desk.student, desk.day, desk.student.checkride)
    (ready,) = statements.statements(desk.database, desk.course, [case])
    assert ready.if_kept.pass_chance.middle == pytest.approx(found.on_the_day.pass_chance.middle, abs=0.05)
    assert (ready.if_kept.short_by == 0) == found.enough


def test_a_course_without_a_question_for_the_date_is_refused(school):
    school.set(checkride=on(school, 3))
    desk = school.desk()
    with pytest.raises(Refused, match="No question can be asked"):
        outlook.outlook(replace(desk, pool=replace(desk.pool, questions={}, guesses={})))


def test_the_json_holds_every_day_and_every_reason(weak):
    found = ahead(weak, 3, checkride=on(weak, 5), minutes=1)
    told = json.loads(json.dumps(words.as_json(weak.desk(3), found)))
    assert (told["student"], told["date"], told["for"]) == ("me", on(weak, 5).isoformat(), "checkride")
    assert [one["date"] for one in told["days"]] == [one.day.isoformat() for one in found.days]
    assert told["days"][0]["known_low"] == found.days[0].known.low
    assert (told["plan"], told["short_by"]) == ("short", found.short_by)
    assert told["on_the_day"]["pass"] == found.on_the_day.pass_chance.middle
    assert [one["question"] for one in told["asked_today"]] == [question for question, _ in found.why]
    assert [one["why"] for one in told["asked_today"]] == [words.reason(why) for _, why in found.why]


def test_bands_are_rounded_so_that_machines_agree(begun):
    found = ahead(begun, 3, checkride=on(begun, 9))
    assert all(Band(*(round(each, 4) for each in one.known)) == one.known for one in found.days)
