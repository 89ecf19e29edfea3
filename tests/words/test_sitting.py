from dataclasses import replace

import pytest

from stickback.kinds.shown import Compared, Mark, Point
from stickback.services import review
from stickback.services.marking import Marked
from stickback.services.progress import Closing
from stickback.services.review import Done
from stickback.words import sitting


@pytest.fixture
def step(session):
    """The first step of a review, and its desk."""
    begun = session()
    return begun.desk, review.ask(begun)


def marked(**changes):
    usual = Marked(
        mark=Mark(right=True, score=1.0),
        compared=Compared("", ()),
        why=(),
        next_days=3,
        sure_but_wrong=False,
        again_today=False,
        stored=None,
    )
    return replace(usual, **changes)


def told(*points, right=True, said="", example=False):
    return marked(mark=Mark(right, float(right)), compared=Compared(said, points, example))


def test_the_place_counts_the_minutes_down_and_names_the_topic(step):
    desk, first = step
    where, topic = sitting.place(desk, replace(first, left=18, seconds_left=421.0))
    assert (where, topic) == ("8 min left · Lesson 1", desk.course.plan.topics[first.question.topic].title)


@pytest.mark.parametrize(("left", "says"), [(3, "3 questions left"), (1, "the last one")])
def test_where_only_a_number_was_asked_for_the_questions_are_counted_down(step, left, says):
    desk, first = step
    where, _ = sitting.place(desk, replace(first, left=left, seconds_left=float("inf")))
    assert where == f"{says} · Lesson 1"


def test_the_place_never_says_that_no_minute_is_left(step):
    desk, first = step
    assert sitting.place(desk, replace(first, seconds_left=0.5))[0].startswith("1 min left")


@pytest.mark.parametrize(
    ("changes", "end"),
    [
        ({"again": True}, "once more"),
        ({"elsewhere": True}, "new on this aeroplane"),
        ({"again": True, "elsewhere": True}, "once more"),
    ],
)
def test_the_place_says_why_a_question_is_asked(step, changes, end):
    desk, first = step
    assert sitting.place(desk, replace(first, **changes))[1].endswith(f" · {end}")


def test_the_verdict_is_a_sign_and_a_word():
    assert sitting.verdict(Mark(right=True, score=1)) == "✓ Right."
    assert sitting.verdict(Mark(right=False, score=0.5)) == "✗ Not right."


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"next_days": 1}, "It comes back tomorrow."),
        ({"next_days": 9}, "It comes back in about 9 days."),
        ({"next_days": None}, "Practice: the first answer of the day is the one that counts."),
        ({"again_today": True}, "It comes back in a moment."),
        ({"again_today": True, "next_days": None}, "It comes back in a moment."),
        (
            {"again_today": True, "sure_but_wrong": True, "next_days": 1},
            "You were sure: it comes back in a moment, then tomorrow, until it has been right on two days.",
        ),
    ],
)
def test_what_follows_an_answer_is_one_sentence(step, changes, says):
    assert sitting.feedback(step[1], marked(**changes)).follows == says


def test_what_was_right_stands_behind_its_letters_with_the_values_of_the_aeroplane(step):
    found = told(Point(text="{{ approach_speed }} **kt**", label="b"), Point(text="More", label="c"))
    assert sitting.feedback(step[1], found).points == ["b  50 kt", "c  More"]


def test_where_the_options_are_gone_their_letters_are_too(step):
    found = told(Point(text="One", label="b", place="1"), Point(text="More", label="c", place="2"))
    assert sitting.feedback(step[1], found, gone=True).points == ["1  One", "2  More"]


def test_what_has_no_letter_stands_alone(step):
    assert sitting.feedback(step[1], told(Point(text="back left or level left"))).points == ["back left or level left"]


@pytest.mark.parametrize(
    ("said", "right", "example", "shown"),
    [
        ("a, c", False, False, "You said a, c. Right is:"),
        ("“g-wa”", False, True, "You said “g-wa”. Right is:"),
        ("“g-wa”", True, True, "You said “g-wa”. For example:"),
        ("a, c", True, False, ""),
        ("", False, False, ""),
        ("", True, True, ""),
    ],
)
def test_an_answer_is_quoted_where_it_is_wrong_or_where_other_words_are_right_too(step, said, right, example, shown):
    assert sitting.feedback(step[1], told(said=said, right=right, example=example)).quoted == shown


def test_each_point_says_whether_it_was_said(step):
    said, missed = {"said": True}, {"said": False}
    points = (
        Point(text="One", must=True, **said),
        Point(text="Two", **missed),
        Point(text="Three", must=True, **missed),
    )
    assert sitting.feedback(step[1], told(*points)).points == [
        "✓  One",
        "✗  Two  (not said)",
        "✗  Three  (not said, a must)",
    ]


def test_what_fails_an_answer_and_was_said_is_told(step):
    points = (Point(text="One", said=True), Point(text="Worse", fails=True, said=True))
    assert sitting.feedback(step[1], told(*points)).points == ["✓  One", "✗  Worse  (said, and it fails the answer)"]


def test_where_all_was_said_the_points_are_not_shown_again(step):
    assert sitting.feedback(
        step[1], told(Point(text="One", must=True, said=True), Point(text="Two", said=True))
    ).points == ["All 2 said."]


def test_in_lines_it_stands_in_order_and_what_is_empty_in_none(step):
    found = replace(told(Point(text="One"), right=False, said="a"), mark=Mark(False, 0, ("Nearly.",)))
    assert sitting.feedback(step[1], found).lines == ["✗ Not right.", "You said a. Right is:", "One", "Nearly."]


def test_a_single_point_that_was_said_is_shown(step):
    assert sitting.feedback(step[1], told(Point(text="One", said=True))).points == ["✓  One"]


@pytest.mark.parametrize(
    ("point", "shown"),
    [
        (Point(text="Stick **back**", must=True), "Stick back (a must)"),
        (Point(text="Brake", fails=True), "Brake (fails the answer if said)"),
        (Point(text="{{ foot }} foot"), "right foot"),
    ],
)
def test_what_is_listened_for_says_what_it_means(point, shown):
    assert sitting.listened(point, {"foot": "right"}) == shown


DAY = Closing(answered=12, right=9, gained=0, tomorrow=0, week=0, later=0)


@pytest.mark.parametrize(
    ("end", "minutes", "says"),
    [
        (Done("plan"), 10, "That is today's review. 12 answers today, 9 right."),
        (Done("questions"), 10, "That is the number you asked for. 12 answers today, 9 right."),
        (Done("minutes"), 10, "Your 10 minutes are up. 12 answers today, 9 right."),
        (Done("nothing"), 10, "Nothing to review today: all that you have seen is still fresh."),
        (Done("minutes"), 1, "Your 1 minute is up. 12 answers today, 9 right."),
        (None, 10, "12 answers today, 9 right."),
    ],
)
def test_the_end_of_a_sitting_is_said_with_the_days_score(end, minutes, says):
    assert sitting.ending(DAY, end, minutes)[0] == says


@pytest.mark.parametrize(("wish", "says"), [({}, "Your 10 minutes are up."), ({"minutes": 1}, "Your 1 minute is up.")])
def test_the_minutes_that_end_a_sitting_are_those_wished_for_else_the_students(session, wish, says):
    (said,) = sitting.closing(session(**wish), Done("minutes"))
    assert said.startswith(says)


def test_the_end_says_what_was_gained_and_what_returns_when():
    day = replace(DAY, gained=5, tomorrow=4, later=8)
    assert sitting.ending(day, Done("plan"), 10)[1:] == [
        "5 questions right for the first time.",
        "Coming back: 4 tomorrow, 8 later.",
    ]


def test_who_leaves_before_an_answer_is_told_no_score():
    assert sitting.ending(Closing(answered=0, right=0, gained=0, tomorrow=0, week=0, later=0), None, 10) == []


def test_leaving_says_that_nothing_is_lost():
    assert sitting.kept("a review").startswith("Left here: every answer so far is kept, and a review goes on")
