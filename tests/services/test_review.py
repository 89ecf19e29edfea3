from dataclasses import replace
from math import inf

import pytest

from stickback.kinds.shown import UNKNOWN, Unclear
from stickback.memory.past import Row
from stickback.reading import fill
from stickback.refused import Refused
from stickback.services import marking, review
from stickback.services.review import Done, Step
from stickback.store import log


def shown(step):
    """What a student sees of a step, without the id of the asking."""
    return (step.history, step.shown, step.seed, step.left, step.again, step.elsewhere)


def walk(session, hands, rights=(True, False, True, True)):
    """All steps of a sitting, answered right and wrong in turn."""
    steps = []
    while isinstance(step := review.ask(session), Step):
        session, _ = hands.answer(session, right=rights[len(steps) % len(rights)])
        steps.append(step)
    return steps


def ids(steps):
    return [step.question.id for step in steps]


# The same again


def test_the_same_day_and_seed_ask_the_same_on_a_copy_of_the_database(school, hands):
    hands.finish(school.begin(0), lambda name: (name != "way", "sure"))
    copy = school.copied()
    here, there = walk(school.begin(5, seed=7), hands), walk(copy.begin(5, seed=7), hands)
    assert list(map(shown, here)) == list(map(shown, there))
    assert len(here) > 5


def test_another_seed_asks_the_same_questions_and_shuffles_them_otherwise(school, hands):
    here, there = walk(school.copied().begin(0, seed=7), hands), walk(school.begin(0, seed=8), hands)
    assert ids(here) == ids(there)
    assert not {step.seed for step in here} & {step.seed for step in there}


def test_a_question_that_comes_back_is_shuffled_anew_under_the_same_seed(school, hands):
    steps = walk(school.begin(0, seed=7), hands)
    again = [step for step in steps if step.again]
    assert again
    assert len({step.seed for step in steps}) == len(steps)


def test_without_a_seed_every_asking_has_one_of_its_own(school):
    session = school.begin(0)
    first, second = review.ask(session), review.ask(session)
    assert first.asking != second.asking
    assert first.seed != second.seed


@pytest.mark.parametrize("leave_after", [1, 3, 6])
def test_a_sitting_left_at_any_answer_goes_on_with_the_same_rest(school, hands, leave_after):
    whole = ids(walk(school.copied().begin(0), hands))
    session, begun = school.begin(0), []
    for number in range(leave_after):
        begun.append(review.ask(session).question.id)
        session, _ = hands.answer(session, right=(True, False, True, True)[number % 4])
    turned = [(True, False, True, True)[(leave_after + n) % 4] for n in range(4)]
    assert begun + ids(walk(school.begin(0), hands, turned)) == whole


# Answering


def test_an_answer_is_on_disk_when_its_mark_is_known(school, hands):
    session = school.begin(0)
    step = review.ask(session)
    session, marked = hands.answer(session)
    (stored,) = school.log()
    assert Row.of_entry(stored) == marked.stored
    assert school.desk(0).past == session.desk.past
    assert (stored.question, stored.variant, stored.right) == (*step.history, True)


def test_no_mark_is_given_for_an_answer_that_could_not_be_stored(school, hands):
    hands.answer(school.begin(5))
    with pytest.raises(Refused, match="stickback undo"):
        hands.answer(school.begin(0))
    assert len(school.log()) == 1


def test_an_entry_says_all_that_happened(school, hands):
    session = school.begin(3, topic="three-point")
    step = review.ask(session)
    body, wrong = step.question.body, hands.given(step, right=False)
    marking.take(session, step, marking.Answer(wrong, "guess", hinted=True, seconds=12.34))
    (stored,) = school.log()
    assert (stored.id, stored.what, stored.seed, stored.kind) == (step.asking, "answer", step.seed, "choice")
    assert (stored.given, stored.confidence, stored.hinted) == (body.to_log(step.seed, wrong), "guess", True)
    assert (stored.score, stored.right) == (0, False)
    assert (stored.day, stored.seconds, stored.aircraft) == (school.desk(3).day, 12.3, "aldwick")
    assert (stored.revision, stored.marked_by) == (step.question.revision, "program")


@pytest.mark.parametrize("typed", ["A", " a ", "a"])
def test_an_answer_before_which_what_was_heard_was_brought_back_says_so(school, typed):
    step = review.ask(school.begin(0, topic="three-point"))
    assert (step.understand(typed), step.understand(typed, heard_again=True)) == ("a", "say again: a")
    assert step.understand("zz", heard_again=True) == step.understand("zz")
    assert isinstance(step.understand("zz"), Unclear)


@pytest.mark.parametrize(
    ("said", "meant"),
    [("sure", "sure"), ("T", "think"), ("Guess", "guess"), ("certain", None), ("", None), ("gu", None)],
)
def test_how_sure_a_student_is_is_said_by_a_word_or_its_first_letter(said, meant):
    assert marking.confidence(said) == meant


def test_not_to_know_is_stored_as_a_guess_that_the_program_marked_wrong(school):
    session = school.begin(0, topic="swing")
    marking.take(session, review.ask(session), marking.unknown(hinted=True, seconds=3))
    (stored,) = school.log()
    assert (stored.given, stored.confidence, stored.hinted, stored.seconds) == (UNKNOWN, "guess", True, 3)
    assert (stored.right, stored.marked_by) == (False, "program")


def test_what_is_said_aloud_is_marked_by_the_student(school, hands):
    session = school.begin(0, topic="swing")
    entries = []
    while isinstance(step := review.ask(session), Step):
        session, marked = hands.answer(session)
        entries.append((step.question.id, marked.stored.marked_by))
    assert dict(entries) == {"why": "self", "way": "program", "foot": "program"}


def test_a_form_sent_twice_is_one_entry_and_moves_the_day_on_once(school, hands):
    session = school.begin(0)
    step = review.ask(session)
    answer = hands.given(step, right=True)
    for _ in range(2):
        session, _ = marking.take(session, step, marking.Answer(answer, "think", hinted=False, seconds=5))
    assert len(school.log()) == 1
    assert session.sitting.answered == 1
    assert session.desk.past == school.desk(0).past


def test_a_form_sent_twice_with_another_answer_shows_the_mark_that_was_stored(school, hands):
    session = school.begin(0)
    step = review.ask(session)
    for right in (True, False):
        answer = hands.given(step, right=right)
        session, marked = marking.take(session, step, marking.Answer(answer, "sure", hinted=False, seconds=5))
    assert (marked.mark.right, marked.sure_but_wrong, marked.stored) == (True, False, Row.of_entry(school.log()[0]))


def test_a_traveller_a_day_behind_goes_on_with_the_day_that_was_begun(school, hands):
    hands.answer(school.begin(1))
    asked, done = hands.finish(school.begin(0))
    assert (len(asked), done.reason) == (12, "plan")
    assert {entry.day for entry in school.log()} == {school.desk(1).day}


# What follows from a mark


@pytest.mark.parametrize(
    ("confidence", "hinted"), [("guess", False), ("think", False), ("sure", False), ("sure", True)]
)
def test_a_question_comes_back_after_the_days_that_the_memory_library_says(school, hands, confidence, hinted):
    from fsrs import Card, Rating, Scheduler

    session = school.begin(0, topic="swing")
    while review.ask(session).question.id != "why":
        session, _ = hands.answer(session)
    _, marked = hands.answer(session, confidence=confidence, hinted=hinted)
    scheduler = Scheduler(desired_retention=0.9, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    rating = Rating.Hard if hinted or confidence == "guess" else Rating.Good
    card, _ = scheduler.review_card(Card(card_id=1), rating)
    assert marked.next_days == (card.due - card.last_review).days


def test_a_question_easily_guessed_comes_back_sooner(school, hands):
    session, days = school.begin(0, minutes=60), {}
    while isinstance(step := review.ask(session), Step):
        session, marked = hands.answer(session, confidence="sure")
        days[step.question.id] = marked.next_days
    session = school.begin(4, minutes=60)
    while isinstance(step := review.ask(session), Step):
        session, marked = hands.answer(session, confidence="sure")
        days[step.question.id] = marked.next_days
    assert days["stick"] < days["nose"] < days["why"]


def test_sure_and_wrong_is_asked_again_the_next_day(school, hands):
    session = school.begin(0)
    step = review.ask(session)
    _, marked = hands.answer(session, right=False, confidence="sure")
    assert (marked.sure_but_wrong, marked.next_days, marked.again_today) == (True, 1, True)
    assert step.history in school.begin(1, questions=1).agenda.order


def test_a_wrong_answer_is_the_third_question_from_then(school, hands):
    session, _ = hands.answer(school.begin(0), right=False)
    first = session.agenda.order[0]
    asked = []
    for _ in range(3):
        asked.append(review.ask(session))
        session, _ = hands.answer(session)
    assert [step.history == first for step in asked] == [False, False, True]
    assert [step.again for step in asked] == [False, False, True]


def test_a_question_comes_back_twice_and_the_mark_says_so(school, hands):
    session, again = school.begin(0), []
    first = session.agenda.order[0]
    while isinstance(step := review.ask(session), Step):
        session, marked = hands.answer(session, right=step.history != first)
        if step.history == first:
            again.append(marked.again_today)
    assert again == [True, True, False]


def test_practice_moves_nothing(school, hands):
    session, _ = hands.answer(school.begin(0, topic="three-point"), right=False)
    history = session.agenda.order[0]
    before = session.desk.past.state(history)
    while review.ask(session).history != history:
        session, _ = hands.answer(session)
    session, marked = hands.answer(session)
    assert marked.next_days is None
    assert before == session.desk.past.state(history) == school.desk(0).past.state(history)


def two_tabs(school, hands, *, undone):
    """The same question put twice; the first answer wrong, perhaps taken back; then the second answered right."""
    session = school.begin(0)
    first, second = review.ask(session), review.ask(session)
    wrong, right = hands.given(first, right=False), hands.given(second, right=True)
    session, _ = marking.take(session, first, marking.Answer(wrong, "think", hinted=False, seconds=5))
    if undone:
        session = replace(session, desk=session.desk.undo()[0])
    return (first.history, *marking.take(session, second, marking.Answer(right, "think", hinted=False, seconds=5)))


def test_the_later_answer_of_two_tabs_is_practice(school, hands):
    history, session, _ = two_tabs(school, hands, undone=False)
    assert [entry.right for entry in school.log()] == [False, True]
    assert [row.right for row in session.desk.past.graded] == [False]
    assert session.desk.past.state(history)[0] < 1


def test_the_later_answer_of_two_tabs_says_that_it_was_practice(school, hands):
    _, _, marked = two_tabs(school, hands, undone=False)
    assert marked.next_days is None


def test_an_answer_after_one_taken_back_the_same_day_is_practice(school, hands):
    history, session, _ = two_tabs(school, hands, undone=True)
    assert (session.desk.past.graded, session.desk.past.state(history)) == ((), None)


def test_an_answer_after_one_taken_back_says_that_it_was_practice(school, hands):
    _, _, marked = two_tabs(school, hands, undone=True)
    assert marked.next_days is None


def test_a_question_whose_answer_was_taken_back_comes_another_day_and_not_today(school, hands):
    session, _ = hands.answer(school.begin(0, minutes=60), right=False)
    history = session.agenda.order[0]
    session.desk.undo()
    asked, _ = hands.finish(school.begin(0, minutes=60))
    assert history[0].removeprefix("tw/") not in asked
    assert history in school.begin(1, minutes=60).agenda.order


# The end of a sitting


def test_a_day_ends_when_all_was_asked(school, hands):
    asked, done = hands.finish(school.begin(0), lambda name: (name != "why", "think"))
    assert done == Done("plan")
    assert asked.count("why") == 3


def test_where_nothing_is_due_there_is_nothing(school, hands):
    hands.finish(school.begin(0))
    assert review.ask(school.begin(1)) == Done("nothing")


def test_minutes_spent_today_count_in_every_sitting(school, hands):
    school.set(minutes=1)
    session, _ = hands.answer(school.begin(0), seconds=30)
    assert review.ask(session).seconds_left == 30
    session, _ = hands.answer(session, seconds=30)
    assert [review.ask(each).reason for each in (session, school.begin(0))] == ["minutes", "minutes"]


def test_minutes_spent_yesterday_do_not_count(school, hands):
    school.set(minutes=1)
    hands.answer(school.begin(0), seconds=60)
    assert review.ask(school.begin(1)).seconds_left == 60


def test_more_minutes_asked_for_go_on_where_the_day_ended(school, hands):
    school.set(minutes=1)
    hands.answer(school.begin(0), seconds=60)
    assert review.ask(school.begin(0, minutes=3)).seconds_left == 120


def test_a_number_of_questions_bounds_the_sitting_whatever_is_answered(school, hands):
    for say in (lambda name: (True, "think"), lambda name: (False, "think")):
        asked, done = hands.finish(school.begin(0, questions=4), say)
        assert (len(asked), done.reason) == (4, "questions")


def test_another_sitting_of_so_many_questions_asks_others(school, hands):
    first, _ = hands.finish(school.begin(0, questions=4))
    second, _ = hands.finish(school.begin(0, questions=4))
    assert (len(second), set(first) & set(second)) == (4, set())


def test_a_number_of_questions_alone_asks_for_no_minutes(school, hands):
    session, _ = hands.answer(school.begin(0, questions=4), seconds=120)
    for _ in range(3):
        assert review.ask(session).seconds_left == inf
        session, _ = hands.answer(session, seconds=5000)
    assert review.ask(session).reason == "questions"


def test_a_step_says_how_many_are_left(school, hands):
    steps = walk(school.begin(0, questions=4), hands, (True,))
    assert [step.left for step in steps] == [4, 3, 2, 1]


# Another aeroplane


def test_the_anticlockwise_aeroplane_has_the_other_answers_to_the_questions_of_the_swing(school, hands):
    found = {}
    for aircraft in ("aldwick", "bircham"):
        school.set(aircraft=aircraft)
        session = school.begin(0, topic="swing")
        while isinstance(step := review.ask(session), Step):
            session, marked = hands.answer(session)
            texts = [fill.fill(point.text, session.desk.sheet.values) for point in marked.compared.points]
            found.setdefault(step.question.id, []).append(texts[0])
    assert (found["way"], found["foot"]) == (["To the left", "To the right"], ["The right one", "The left one"])


def test_what_was_answered_on_one_aeroplane_is_not_practice_on_another(school, hands):
    hands.finish(school.begin(0, topic="swing"))
    school.set(aircraft="bircham")
    steps = walk(school.begin(0, topic="swing"), hands, (True,))
    assert sorted((step.question.id, step.again, step.elsewhere) for step in steps) == [
        ("foot", False, True),
        ("way", False, True),
    ]
    assert len(log.read(school.store, "me").graded) == 5
