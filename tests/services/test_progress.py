import pytest

from stickback.services.progress import progress


def test_before_any_answer_there_is_no_week(school):
    assert progress(school.desk(0)).weeks == ()


def test_the_weeks_go_back_from_today_to_the_first_answer(school, hands):
    hands.answer(school.begin(0))
    days = [week.day for week in progress(school.desk(15)).weeks]
    assert [(school.desk(15).day - day).days for day in days] == [14, 7, 0]


def test_a_week_is_what_the_log_held_then(school, hands):
    hands.answer(school.begin(0, topic="three-point"))
    before = progress(school.desk(7)).weeks
    hands.answer(school.begin(8, topic="swing"))
    after = progress(school.desk(14)).weeks
    assert after[: len(before)] == before
    assert after[-1].whole > after[-2].whole


def test_a_lesson_of_which_nothing_was_asked_has_no_figure(school, hands):
    hands.answer(school.begin(0, topic="three-point"))
    (week,) = progress(school.desk(0)).weeks
    assert week.lessons["take-off"] is None
    assert 0 < week.lessons["landing"] < 1


def test_the_whole_course_counts_what_was_never_asked_as_not_known(school, hands):
    hands.answer(school.begin(0, topic="three-point"))
    (week,) = progress(school.desk(0)).weeks
    assert week.whole < week.lessons["landing"]


@pytest.mark.parametrize(("day", "wrong"), [(0, [("three-point", 1, 1)]), (27, [("three-point", 1, 1)]), (28, [])])
def test_wrong_answers_of_four_weeks_are_counted_by_topic(school, hands, day, wrong):
    hands.answer(school.begin(0, topic="three-point"), right=False)
    assert [(one.topic.id, one.wrong, one.answers) for one in progress(school.desk(day)).wrong] == wrong
