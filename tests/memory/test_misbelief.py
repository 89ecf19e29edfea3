import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import fold, past
from stickback.memory.fold import Misbelief
from stickback.memory.past import Row

Q, ELSEWHERE = ("c/swing", ""), ("c/swing", "other-aeroplane")


def answer(text, number, history=Q):
    """An answer written as `day confidence mark`, with `hint` or `undone` after it."""
    day, confidence, mark, *notes = text.split()
    row = Row(
        id=f"{number:02}",
        what="answer",
        day=int(day),
        question=history[0],
        variant=history[1],
        kind="choice",
        given="1",
        confidence=confidence,
        hinted="hint" in notes,
        right=mark == "right",
        seconds=9.0,
        voids=None,
    )
    void = row._replace(id=f"{number:02}v", what="void", question=None, variant=None, voids=row.id)
    return [row, void] if "undone" in notes else [row]


def still_open(texts, *others):
    """What is open after answers to one question, one after another with commas between, and other rows."""
    rows = [row for number, text in enumerate(texts.split(", ")) for row in answer(text, number)]
    return past.past([*rows, *others]).misbeliefs


@pytest.mark.parametrize(
    ("texts", "day", "mended"),
    [
        ("1 sure wrong", 1, 0),
        ("1 sure wrong, 1 sure right", 1, 0),
        ("1 sure wrong, 2 sure right", 1, 1),
        ("1 sure wrong, 2 think right", 1, 1),
        ("1 sure wrong, 2 sure right, 2 sure right", 1, 1),
        ("1 sure wrong, 2 guess right, 3 guess right", 1, 0),
        ("1 sure wrong, 2 sure right hint, 3 sure right hint", 1, 0),
        ("1 sure wrong, 2 sure right, 3 think wrong", 1, 1),
        ("1 sure wrong, 2 guess wrong, 2 sure right, 3 guess wrong, 3 sure right", 1, 0),
        ("1 sure wrong, 2 sure right undone, 3 sure right", 1, 1),
        ("1 sure wrong, 2 guess wrong undone, 2 sure right", 1, 0),
        ("1 sure wrong, 2 sure right, 3 sure wrong", 3, 0),
        ("1 sure wrong, 2 sure right, 3 sure wrong, 4 sure right", 3, 1),
        ("1 sure wrong, 2 sure right, 3 sure right, 4 sure wrong", 4, 0),
        ("1 think right, 1 sure wrong", 1, 0),
        ("1 sure wrong, 2 sure right, 2 sure wrong", 2, 0),
        ("1 sure wrong undone, 1 sure wrong", 1, 0),
    ],
)
def test_a_misbelief_stays_open_until_it_was_right_and_not_guessed_on_two_later_days(texts, day, mended):
    assert still_open(texts) == {Q: Misbelief(Q, day, mended)}


@pytest.mark.parametrize(
    "texts",
    [
        "1 think wrong",
        "1 guess wrong",
        "1 sure right",
        "1 sure wrong undone",
        "1 sure wrong, 2 sure right, 3 sure right",
        "1 sure wrong, 2 think right, 3 think right",
        "1 sure wrong, 2 sure right, 3 think wrong, 4 sure right",
        "1 sure wrong, 2 sure right, 9 guess right, 30 think right",
        "1 sure wrong, 3 sure wrong undone, 4 sure right, 5 sure right",
        "1 sure wrong, 2 sure right, 3 sure right, 4 think wrong",
    ],
)
def test_a_misbelief_is_closed_or_never_was(texts):
    assert still_open(texts) == {}


def one_by_one(rows):
    """What is open after answers looked at one at a time, by the words of the rule; day and days mended by history."""
    undone, found, seen = {row.voids for row in rows if row.what == "void"}, {}, set()
    for row in sorted((row for row in rows if row.what == "answer"), key=lambda row: (row.day, row.id)):
        history = (row.question, row.variant)
        first, _ = (history, row.day) not in seen, seen.add((history, row.day))
        if row.id in undone:
            continue
        if not row.right and row.confidence == "sure":
            found[history] = (row.day, 0)
        elif history in found and first and row.right and row.confidence != "guess" and not row.hinted:
            day, mended = found[history]
            found[history] = (day, mended + (row.day > day))
    return {history: (day, mended) for history, (day, mended) in found.items() if mended < 2}


texts_of_answers = st.builds(
    "{} {} {} {}".format,
    st.integers(1, 6),
    st.sampled_from(("guess", "think", "sure", "sure")),
    st.sampled_from(("right", "wrong")),
    st.sampled_from(("", "", "hint", "undone")),
)


@given(st.lists(st.tuples(texts_of_answers, st.sampled_from((Q, ELSEWHERE))), max_size=25))
def test_any_log_leaves_open_what_the_rule_says_answer_by_answer(log):
    rows = [row for number, (text, history) in enumerate(log) for row in answer(text, number, history)]
    found = past.past(rows).misbeliefs
    assert {one.history: (one.day, one.mended) for one in found.values()} == one_by_one(rows)
    assert [one.day for one in found.values()] == sorted(one.day for one in found.values())


def test_what_was_never_believed_wrongly_has_no_day_and_nothing_to_mend():
    history, day, grade = np.array([[0, 0, 1], [1, 2, 1], [3, 3, 1]])
    last, mended = fold.misbelieved(history, day, grade, np.array([True, True, False]), 3)
    assert (list(last), list(mended)) == ([-1, -1, -1], [0, 0, 0])


def test_the_same_question_on_another_aeroplane_is_another_belief():
    right_there = [*answer("2 sure right", 10, ELSEWHERE), *answer("3 sure right", 11, ELSEWHERE)]
    assert list(still_open("1 sure wrong", *right_there)) == [Q]
    assert list(still_open("1 sure wrong", *answer("2 sure wrong", 10, ELSEWHERE))) == [Q, ELSEWHERE]


def test_the_oldest_misbelief_comes_first_and_a_renewed_one_goes_last():
    other = answer("2 sure wrong", 10, ELSEWHERE)
    assert list(still_open("1 sure wrong, 1 sure wrong", *other)) == [Q, ELSEWHERE]
    assert list(still_open("1 sure wrong, 3 sure wrong", *other)) == [ELSEWHERE, Q]


def test_an_answer_without_a_variant_belongs_to_its_question():
    (row,) = answer("1 sure wrong", 0)
    assert list(past.past([row._replace(variant=None)]).misbeliefs) == [Q]


def test_a_flown_lesson_neither_opens_nor_closes_anything():
    (row,) = answer("2 sure wrong", 10)
    flown = row._replace(what="flown", right=None, confidence=None)
    assert still_open("1 sure wrong", flown) == still_open("1 sure wrong")
    assert past.past([flown]).misbeliefs == {}
