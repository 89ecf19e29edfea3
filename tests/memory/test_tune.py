import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory import tune
from stickback.memory.curve import DEFAULTS, RIGHT, WRONG
from stickback.memory.tune import Fit, Item


@st.composite
def logs(draw):
    """Answers in the order of their days, one a history and day."""
    found = draw(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 30), st.integers(1, 3)), max_size=60))
    return sorted({(history, day): (history, day, grade) for history, day, grade in found}.values(), key=lambda a: a[1])


def test_each_answer_but_the_first_of_its_history_is_predicted_from_those_before_it():
    answers = [(7, 10, 3), (8, 10, 1), (7, 12, 1), (8, 20, 2), (7, 13, 3)]
    assert list(tune.items(answers)) == [
        Item(history=7, answers=((3, 0), (1, 2))),
        Item(history=8, answers=((1, 0), (2, 10))),
        Item(history=7, answers=((3, 0), (1, 2), (3, 1))),
    ]


@given(logs())
def test_items_are_whole_histories_in_the_order_of_their_last_answers(answers):
    found = list(tune.items(answers))
    assert [(item.history, item.answers[-1][0]) for item in found] == [
        (history, grade)
        for at, (history, _, grade) in enumerate(answers)
        if history in {one for one, _, _ in answers[:at]}
    ]
    for item in found:
        assert item.answers[0][1] == 0
        assert all(gap >= 1 for _, gap in item.answers[1:])


def test_a_second_answer_of_a_day_is_history_and_not_predicted():
    assert list(tune.items([(0, 5, 1), (0, 5, 3), (0, 6, 3)])) == [Item(history=0, answers=((1, 0), (3, 0), (3, 1)))]


def test_a_long_history_is_cut():
    found = list(tune.items((0, day, 3) for day in range(400)))
    assert max(len(item.answers) for item in found) == len(found) + 1 == tune.LONGEST


def test_the_first_sixth_is_only_learnt_from():
    assert len(tune.tested(range(250))) == 250 - 41


def answers(questions, again, wrong):
    """Answers to questions on a first day, and to some of them again on a second, some of those wrong."""
    met = [(n, 0, RIGHT) for n in range(questions)]
    return [*met, *((n, 1, WRONG if n < wrong else RIGHT) for n in range(again))]


@pytest.mark.parametrize(
    ("log", "says"),
    [
        ([], "needs 500 graded answers, has 0"),
        (answers(249, 250, 250), "needs 500 graded answers, has 499"),
        (answers(251, 249, 249), "needs 250 answers to a question met on an earlier day, has 249"),
        (answers(250, 250, 29), "needs 30 wrong answers to a question met on an earlier day, has 29"),
        (answers(250, 250, 30), ""),
    ],
)
def test_what_is_missing_for_a_fit_is_said_with_how_much_there_is(log, says):
    assert tune.short_of(log) == says


@pytest.mark.parametrize(
    ("answers", "tried", "due"),
    [(499, 0, False), (500, 0, True), (999, 500, False), (1000, 500, True), (1000, 501, False), (600, 20, True)],
)
def test_a_fit_is_due_at_each_doubling(answers, tried, due):
    assert tune.due(answers, tried) is due


def test_the_process_that_fits_is_told_the_answers_and_the_defaults():
    assert json.loads(tune.request([(0, 5, 1)], DEFAULTS)) == {"answers": [[0, 5, 1]], "defaults": [*DEFAULTS]}


REPLY = {"parameters": [*DEFAULTS], "defaults": 0.4, "fitted": 0.38, "tested": 100}


def test_a_reply_says_by_how_much_predictions_got_better():
    fit = tune.understood(json.dumps(REPLY))
    assert fit == Fit(DEFAULTS, 0.4, 0.38, 100)
    assert (fit.better, round(fit.sharper, 3)) == (True, 0.05)


@pytest.mark.parametrize("fitted", [0.4, 0.5])
def test_what_predicts_no_better_does_not_pass_the_gate(fitted):
    fit = tune.understood(json.dumps({**REPLY, "parameters": [], "fitted": fitted}))
    assert not fit.better
    assert fit.sharper <= 0


@pytest.mark.parametrize(
    "reply",
    ["", "{", "null", "[]", "{}", '"text"']
    + [
        json.dumps({**REPLY, **changed})
        for changed in (
            {"fitted": float("nan")},
            {"defaults": float("inf")},
            {"defaults": 0},
            {"parameters": None},
            {"parameters": []},
            {"parameters": ["x"]},
            {"parameters": [float("nan")] * 21},
            {"parameters": [10**400]},
        )
    ],
)
def test_a_reply_that_is_no_fit_is_an_error(reply):
    with pytest.raises(ValueError):
        tune.understood(reply)
