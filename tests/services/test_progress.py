import pytest

from stickback.services.progress import closing, progress, to_read


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


def finished(school, hands, day, says=lambda _: (True, "think")):
    hands.finish(school.begin(day), says)
    return school.desk(day)


def test_a_day_without_answers_comes_to_nothing(school):
    found = closing(school.desk(0))
    assert (found.answered, found.right, found.gained, found.tomorrow, found.week, found.later) == (0, 0, 0, 0, 0, 0)
    assert to_read(school.desk(0)) == []


def test_what_is_right_for_the_first_time_is_gained_once(school, hands):
    first = closing(finished(school, hands, 0))
    assert first.gained == first.right > 0
    later = closing(finished(school, hands, 30))
    assert later.answered > 0
    assert later.gained < later.right


def test_every_question_asked_returns_at_one_time(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "think"))
    found = closing(desk)
    asked = {(row.question, row.variant) for row in desk.past.on(desk.number)}
    assert found.tomorrow + found.week + found.later == len(asked) < found.answered


def test_what_was_sure_but_wrong_returns_tomorrow(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "sure"))
    assert len(desk.misbeliefs) == 1
    assert closing(desk).tomorrow >= 1


def test_the_topics_behind_wrong_answers_are_to_be_read_the_worst_first(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "think"))
    assert [topic.id for topic in to_read(desk)] == [desk.course.questions["why"].topic]
    assert to_read(desk, 0) == []


def test_an_answer_taken_back_counts_neither_as_asked_nor_as_right(school, hands):
    session, _ = hands.answer(school.begin(0, topic="swing"))
    session.desk.undo()
    hands.finish(school.begin(0, topic="swing"))
    found = closing(school.desk(0))
    assert (found.answered, found.right) == (2, 2)
