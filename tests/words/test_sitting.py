from dataclasses import replace

import pytest

from stickback.kinds.protocol import Mark, Point, Told
from stickback.services import review
from stickback.services.review import Done, Marked
from stickback.words import sitting


@pytest.fixture
def step(session):
    """The first step of a review, and its desk."""
    begun = session()
    return begun.desk, review.ask(begun)


def marked(**changes):
    usual = Marked(Mark(right=True, score=1.0), Told("", ()), (), 3, False, False, None)
    return replace(usual, **changes)


def told(*points, right=True, said="", example=False):
    return marked(mark=Mark(right, float(right)), told=Told(said, points, example))


def test_progress_counts_the_questions_the_minutes_and_names_the_topic(step):
    desk, first = step
    assert sitting.progress(desk, replace(first, number=3, left=18, seconds_left=421.0)).startswith(
        "3 of about 20 · 8 min left · Lesson 1 · "
    )


def test_progress_without_a_budget_of_minutes_knows_the_number(step):
    desk, first = step
    shown = sitting.progress(desk, replace(first, number=3, left=2, seconds_left=float("inf")))
    assert shown.startswith("3 of 4 · Lesson 1 · ")


def test_progress_never_says_that_no_minute_is_left(step):
    desk, first = step
    assert "1 min left" in sitting.progress(desk, replace(first, seconds_left=0.5))


@pytest.mark.parametrize(
    ("changes", "end"),
    [
        ({"again": True}, "once more"),
        ({"elsewhere": True}, "new on this aeroplane"),
        ({"again": True, "elsewhere": True}, "once more"),
    ],
)
def test_progress_says_why_a_question_is_asked(step, changes, end):
    desk, first = step
    assert sitting.progress(desk, replace(first, **changes)).endswith(f" · {end}")


def test_the_verdict_is_a_sign_and_a_word():
    assert sitting.verdict(marked()) == "✓ Right."
    assert sitting.verdict(marked(mark=Mark(right=False, score=0.5))) == "✗ Not right."


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
def test_what_follows_an_answer_is_one_sentence(changes, says):
    assert sitting.follows(marked(**changes)) == says


def test_what_was_right_stands_behind_its_letters_with_the_values_of_the_aeroplane(step):
    found = told(Point("{{ approach_speed }} **kt**", "b"), Point("More", "c"))
    assert sitting.points(step[1], found) == ["b  50 kt", "c  More"]


def test_what_has_no_letter_stands_alone(step):
    assert sitting.points(step[1], told(Point("back left or level left"))) == ["back left or level left"]


@pytest.mark.parametrize(
    ("said", "right", "example", "shown"),
    [
        ("a, c", False, False, ["You said a, c. Right is:"]),
        ("“g-wa”", False, True, ["You said “g-wa”. Right is:"]),
        ("“g-wa”", True, True, ["You said “g-wa”. For example:"]),
        ("a, c", True, False, []),
        ("", False, False, []),
        ("", True, True, []),
    ],
)
def test_an_answer_is_quoted_where_it_is_wrong_or_where_other_words_are_right_too(said, right, example, shown):
    assert sitting.quoted(told(said=said, right=right, example=example)) == shown


def test_each_point_says_whether_it_was_said(step):
    said, missed = {"said": True}, {"said": False}
    points = (Point("One", must=True, **said), Point("Two", **missed), Point("Three", must=True, **missed))
    assert sitting.points(step[1], told(*points)) == ["✓  One", "✗  Two  (not said)", "✗  Three  (not said, a must)"]


def test_what_fails_an_answer_and_was_said_is_told(step):
    points = (Point("One", said=True), Point("Worse", fails=True, said=True))
    assert sitting.points(step[1], told(*points)) == ["✓  One", "✗  Worse  (said, and it fails the answer)"]


def test_where_all_was_said_the_points_are_not_shown_again(step):
    assert sitting.points(step[1], told(Point("One", must=True, said=True), Point("Two", said=True))) == ["All 2 said."]


def test_a_single_point_that_was_said_is_shown(step):
    assert sitting.points(step[1], told(Point("One", said=True))) == ["✓  One"]


@pytest.mark.parametrize(
    ("end", "minutes", "says"),
    [
        (Done(12, 9, "plan"), 10, "That is today's review. 12 answers today, 9 right."),
        (Done(1, 0, "questions"), 10, "That is the number you asked for. 1 answer today, 0 right."),
        (Done(12, 9, "minutes"), 10, "Your 10 minutes are up. 12 answers today, 9 right."),
        (Done(0, 0, "nothing"), 10, "Nothing to review today: all that you have seen is still fresh."),
    ],
)
def test_the_end_of_a_sitting_is_said_with_the_days_score(end, minutes, says):
    assert sitting.done(end, minutes) == says


def test_a_single_minute_is_not_spoken_of_as_many():
    assert "minute are" not in sitting.done(Done(3, 3, "minutes"), 1)


def test_leaving_says_that_nothing_is_lost():
    assert "every answer so far is kept" in sitting.LEFT
