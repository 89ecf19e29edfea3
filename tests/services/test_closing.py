from stickback.services import progress


def finished(school, hands, day, says=lambda _: (True, "think")):
    hands.finish(school.begin(day), says)
    return school.desk(day)


def test_a_day_without_answers_comes_to_nothing(school):
    found = progress.closing(school.desk(0))
    assert (found.answered, found.right, found.gained, found.tomorrow, found.week, found.later) == (0, 0, 0, 0, 0, 0)
    assert progress.to_read(school.desk(0)) == []


def test_what_is_right_for_the_first_time_is_gained_once(school, hands):
    first = progress.closing(finished(school, hands, 0))
    assert first.gained == first.right > 0
    later = progress.closing(finished(school, hands, 30))
    assert later.answered > 0
    assert later.gained < later.right


def test_every_question_asked_returns_at_one_time(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "think"))
    found = progress.closing(desk)
    asked = {(row.question, row.variant) for row in desk.past.on(desk.number)}
    assert found.tomorrow + found.week + found.later == len(asked) < found.answered


def test_what_was_sure_but_wrong_returns_tomorrow(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "sure"))
    assert len(desk.misbeliefs) == 1
    assert progress.closing(desk).tomorrow >= 1


def test_the_topics_behind_wrong_answers_are_to_be_read_the_worst_first(school, hands):
    desk = finished(school, hands, 0, lambda name: (name != "why", "think"))
    assert [topic.id for topic in progress.to_read(desk)] == [desk.course.questions["why"].topic]
    assert progress.to_read(desk, 0) == []


def test_an_answer_taken_back_counts_neither_as_asked_nor_as_right(school, hands):
    session, _ = hands.answer(school.begin(0, topic="swing"))
    hands.undo(session.desk)
    hands.finish(school.begin(0, topic="swing"))
    found = progress.closing(school.desk(0))
    assert (found.answered, found.right) == (2, 2)
