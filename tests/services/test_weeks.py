from datetime import timedelta

import pytest

from stickback.services import today, weeks
from stickback.services.today import Wish
from stickback.words import outlook as words


def ids(histories):
    return [key.removeprefix("tw/") for key, _ in histories]


@pytest.fixture(scope="module")
def template(open_school, hands, tmp_path_factory):
    """One topic answered, half of it wrong."""
    school = open_school(tmp_path_factory.mktemp("weeks"))
    hands.finish(school.begin(0, topic="numbers"), lambda name: (name == "dial", "think"))
    return school.store


@pytest.fixture
def begun(template, open_school, tmp_path):
    return open_school(tmp_path, store=template)


def test_four_weeks_are_looked_at_from_yesterday_on(school):
    found = weeks.weeks(school.desk(0))
    today_ = school.desk(0).day
    assert [one.day for one in found.weeks] == [today_ + timedelta(days=7 * week - 1) for week in range(5)]


def test_a_newcomer_has_begun_nothing_and_begins_all_of_a_small_course(school):
    first, *_, last = weeks.weeks(school.desk(0)).weeks
    assert (first.begun, first.asked) == ((), 0)
    assert last.begun == ("aeroplane", "take-off", "landing")
    assert last.known.middle > first.known.middle


def test_every_figure_lies_in_its_band_and_is_a_share(begun):
    for one in weeks.weeks(begun.desk(1)).weeks:
        assert 0 <= one.known.low <= one.known.middle <= one.known.high <= 1


def test_what_was_answered_already_counts_as_begun(begun):
    assert weeks.weeks(begun.desk(1)).weeks[0].begun == ("aeroplane",)


def test_more_minutes_reach_more(begun):
    reached = []
    for minutes in (1, 20):
        begun.set(minutes=minutes)
        reached.append(weeks.weeks(begun.desk(1)).weeks[1])
    assert reached[0].asked < reached[1].asked
    # The few askings more of so small a course weigh no more than the luck of the answers.
    assert reached[0].known.middle < reached[1].known.middle + 0.02


def test_the_same_day_gives_the_same_weeks_and_nothing_is_stored(begun):
    before = begun.log()
    assert weeks.weeks(begun.desk(1)) == weeks.weeks(begun.desk(1))
    assert begun.log() == before


def test_why_today_s_questions_are_asked_is_told_too(begun):
    desk = begun.desk(1)
    found = weeks.weeks(desk)
    assert [question for question, _ in found.why] == ids(today.agenda(desk, Wish()).order)


def test_the_weeks_as_data_hold_the_figures_that_are_shown(begun):
    desk = begun.desk(1)
    found = weeks.weeks(desk)
    data = words.weeks_json(desk, found)
    assert data["date"] is None
    assert data["weeks"][-1]["known"] == found.weeks[-1].known.middle
    assert [row["begun"] for row in data["weeks"]] == [list(one.begun) for one in found.weeks]
    assert len(words.weeks_rows(desk, found)) == 1 + len(found.weeks)
