from datetime import timedelta

import numpy as np
import pytest

from stickback import clock
from stickback.services import goals, today
from stickback.services.goals import Occasion
from stickback.services.today import Wish


@pytest.fixture
def day(school):
    """The date that many days from the first."""
    return lambda n: school.desk().day + timedelta(days=n)


def occasions(school, at=0, **settings):
    school.set(**settings)
    desk = school.desk(at)
    return goals.occasions(desk.course.plan, desk.student, desk.day)


# Which dates count


def test_without_a_date_there_is_none_ahead(school):
    assert occasions(school) == []


def test_a_lesson_without_a_date_is_no_date_ahead(school):
    assert occasions(school, next_lesson="take-off") == []


def test_the_nearest_date_comes_first(school, day):
    found = occasions(school, next_lesson="take-off", next_on=day(3), checkride=day(9))
    assert found == [Occasion(day(3), 2), Occasion(day(9))]


def test_behind_the_end_of_the_course_nothing_is_chosen_for(school, day):
    assert occasions(school, next_lesson="take-off", next_on=day(9), checkride=day(3)) == [Occasion(day(3))]


@pytest.mark.parametrize(("at", "ahead"), [(2, True), (3, True), (4, False)])
def test_a_date_counts_up_to_its_own_day(school, day, at, ahead):
    assert occasions(school, at, checkride=day(3)) == ([Occasion(day(3))] if ahead else [])


def test_a_lesson_that_left_the_course_is_no_date_ahead(school, day):
    assert occasions(school, next_lesson="aerobatics", next_on=day(3)) == []


# The arrays


def candidates(school, at=0):
    desk = school.desk(at)
    return desk, goals.in_own_order(desk, today.candidates(desk, desk.past))


def bank_of(desk, ordered):
    return goals.standings_of(desk, desk.past, ordered).bank(goals.seconds(ordered))


def test_the_order_is_the_students_own_and_does_not_hang_on_the_order_in_the_deck(school):
    desk, ordered = candidates(school)
    assert goals.in_own_order(desk, ordered[::-1]) == ordered


def test_each_topic_is_worth_its_weight_whatever_its_size(school):
    desk, ordered = candidates(school)
    bank = bank_of(desk, ordered)
    by_topic = np.bincount(bank.topic, bank.worth)
    assert bank.worth.sum() == pytest.approx(1)
    weights = [topic.weight for topic in desk.course.plan.topics.values()]
    assert by_topic == pytest.approx(np.array(weights) / sum(weights))


def test_what_was_answered_stands_in_the_bank_as_the_memory_has_it(school, hands):
    hands.finish(school.begin(0, topic="swing"), lambda name: (name != "foot", "think"))
    desk, ordered = candidates(school, 2)
    bank = bank_of(desk, ordered)
    seen = {one.history for one, s in zip(ordered, bank.stability, strict=True) if not np.isnan(s)}
    assert {history[0] for history in seen} == {"tw/way", "tw/foot", "tw/why"}
    for at, one in enumerate(ordered):
        if one.history in seen:
            kept = bank.stability[at], bank.difficulty[at], bank.moved_on[at]
            assert kept == desk.past.state(one.history)
        else:
            assert bank.moved_on[at] == -1
    assert bank.guess.tolist() == [desk.guesses[one.history] for one in ordered]


def test_an_answer_taken_back_leaves_the_question_unseen(school, hands):
    hands.answer(school.begin(0, topic="swing"))
    school.desk(0).undo()
    desk, ordered = candidates(school, 1)
    assert np.all(np.isnan(bank_of(desk, ordered).stability))


def test_first_answers_of_a_topic_tell_what_its_unseen_questions_are_like(school, hands):
    desk, ordered = candidates(school)
    before = bank_of(desk, ordered).sight
    hands.answer(school.begin(0, topic="swing"), right=False)
    hands.answer(school.begin(0, topic="three-point"), right=True)
    desk, ordered = candidates(school, 1)
    after = bank_of(desk, ordered).sight
    rate = {one.topic: value for one, value in zip(ordered, after, strict=True) if desk.guesses[one.history] == 0.5}
    assert rate["swing"] < rate["three-point"]
    assert len({len(before), len(after)}) == 1


def test_a_lessons_goal_holds_its_topics_and_those_before_it_and_the_end_holds_all(school, day):
    school.set(next_lesson="take-off", next_on=day(3), checkride=day(9))
    desk, ordered = candidates(school)
    ahead = goals.occasions(desk.course.plan, desk.student, desk.day)
    lesson, end = goals.goals(desk.course.plan, bank_of(desk, ordered).topic, ahead)
    inside = {one.topic for one, flag in zip(ordered, lesson.within, strict=True) if flag}
    assert inside == {"sitting", "numbers", "recent", "swing"}
    assert end.within.all()
    assert [one.on for one in (lesson, end)] == [clock.day_number(day(3)), clock.day_number(day(9))]


def test_reasons_are_given_for_every_question_of_the_plan(school, day):
    school.set(checkride=day(9))
    made = today.agenda(school.desk(), Wish())
    assert set(made.why) == set(made.order)
    assert all(why.gain > 0 and not why.for_lesson and why.candidate.known is None for why in made.why.values())
