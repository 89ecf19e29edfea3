from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.cli.terminal.keys import CLEAR, Reply
from stickback.kinds.shown import Cells, Shown

MANNERS = ("one", "several", "aloud", "order", "cell", "line")
CELLS = Cells(("high", "low"), ("left", "middle", "right"), ("789", "123"))
BACK, ENTER = "\x7f", "\r"


def begun(manner, options=4):
    shown = tuple("ABCDEFGH"[:options] if manner in {"one", "several", "order"} else ())
    return Reply(Shown(manner=manner, expects="an answer", options=shown, cells=CELLS if manner == "cell" else None))


def after(manner, keys):
    return reduce(Reply.press, keys, begun(manner))


def state(manner, keys):
    """The answer as a line would hold it, whether it takes every key, whether it can be submitted."""
    pressed = after(manner, keys)
    return pressed.typed, pressed.takes_all, pressed.complete


@pytest.mark.parametrize("manner", MANNERS)
def test_nothing_is_typed_at_the_beginning(manner):
    assert state(manner, "") == ("", manner in {"order", "line"}, manner == "aloud")


def test_keys_stand_for_the_options_or_the_cells_shown():
    assert [begun("one", many).shown.keys for many in (2, 4, 8)] == ["ab", "abcd", "abcdefgh"]
    assert begun("cell").shown.keys == "789123"
    assert begun("line").shown.keys == ""


@pytest.mark.parametrize(
    ("keys", "given"),
    [("b", "b"), ("bd", "d"), ("bb", "b"), ("be", "b"), ("b5", "b"), ("b" + ENTER, "b"), ("b" + BACK, ""), (BACK, "")],
)
def test_of_options_of_which_one_is_right_the_last_letter_counts(keys, given):
    assert state("one", keys) == (given, False, bool(given))


@pytest.mark.parametrize(
    ("keys", "given"),
    [("b", "b"), ("db", "b d"), ("bdb", "d"), ("bb", ""), ("bx", "b"), ("dba" + BACK, "a b"), ("b" + ENTER, "b")],
)
def test_of_options_of_which_several_are_right_letters_tick_and_untick(keys, given):
    assert state("several", keys) == (given, False, bool(given))


@pytest.mark.parametrize("keys", ["", "a", "1", ENTER, BACK])
def test_what_is_said_aloud_takes_no_key_and_can_always_be_submitted(keys):
    assert state("aloud", keys) == ("", False, True)


@pytest.mark.parametrize(
    ("keys", "given", "takes_all"),
    [
        ("c", "c", True),
        ("ca", "c a", True),
        ("cc", "c", True),
        ("cxz", "c", True),
        ("cabd", "c a b d", False),
        ("cabda", "c a b d", False),
        ("cabd" + BACK, "c a b", True),
        ("ca" + ENTER, "c a", True),
        ("cab" + BACK + "db", "c a d b", False),
    ],
)
def test_steps_stand_in_the_order_of_their_letters_each_once(keys, given, takes_all):
    assert state("order", keys) == (given, takes_all, not takes_all)


@pytest.mark.parametrize(
    ("keys", "given"),
    [("7", "7"), ("71", "1"), ("75", "7"), ("7a", "7"), ("7" + BACK, ""), ("7" + ENTER, "7"), ("x", "")],
)
def test_of_a_grid_the_last_key_of_a_cell_counts(keys, given):
    assert state("cell", keys) == (given, False, bool(given))


@pytest.mark.parametrize(
    ("keys", "given", "takes_all", "complete"),
    [
        ("14 kt", "14 kt", True, False),
        ("14 kt" + ENTER, "14 kt", False, True),
        ("14" + "\n", "14", False, True),
        ("gts q?", "gts q?", True, False),
        ("14" + BACK + "6" + "\b" * 3, "", True, False),
        ("14" + ENTER + "9", "14", False, True),
        ("14" + ENTER + ENTER, "14", False, True),
        ("14" + ENTER + BACK * 2 + "6" + ENTER, "16", False, True),
        ("14" + ENTER + BACK, "14", True, False),
        (ENTER, "", False, False),
        (ENTER + BACK + "9", "9", True, False),
        ("  " + ENTER, "  ", False, False),
        ("G-QTWA", "G-QTWA", True, False),
        ("1\t\x07\x1b4", "14", True, False),
        ("12°é", "12°é", True, False),
    ],
)
def test_a_line_takes_every_key_until_enter(keys, given, takes_all, complete):
    assert state("line", keys) == (given, takes_all, complete)


def test_text_that_is_pasted_goes_into_a_line_and_nowhere_else():
    assert begun("line").press("runway 24").typed == "runway 24"
    assert [begun(manner).press("a b").typed for manner in ("one", "several", "order", "cell")] == [""] * 4


def test_letters_stand_for_options_in_either_case():
    assert begun("one").press("B").typed == "b"


@given(st.sampled_from(MANNERS), st.text("abcdgst159 é\r\n\x7f\b\x00\x1b", max_size=20))
def test_whatever_is_pressed_a_complete_answer_can_be_taken_back_to_nothing(manner, keys):
    pressed = after(manner, keys)
    emptied = reduce(Reply.press, BACK * 2 * len(keys), pressed)
    assert (emptied.text, emptied.closed) == ("", False)
    assert pressed.complete is False or not pressed.takes_all
    assert pressed.typed.isprintable()


@pytest.mark.parametrize("typed", ["12 knts", "12 knts\r"])
def test_one_key_clears_a_line_that_is_open_or_closed(typed):
    assert state("line", [*typed, CLEAR]) == ("", True, False)
    assert after("line", [*typed, CLEAR, *"12 kt"]).typed == "12 kt"
