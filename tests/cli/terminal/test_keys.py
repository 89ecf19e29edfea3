import codecs
import os
import select
import signal
import sys

import pytest

from stickback.cli.terminal import keys
from stickback.cli.terminal.keys import Left

pty = pytest.importorskip("pty", reason="there are no terminals of this sort on the system")
termios = pytest.importorskip("termios")


def until_left(pressed):
    """The keys until the student leaves, and whether that is what ended them."""
    found = []
    try:
        for key in pressed:
            found.append(key)  # noqa: PERF402 - those before the end are wanted
    except Left:
        return found, True
    return found, False


@pytest.fixture
def press(monkeypatch):
    """Bursts as they arrive where a terminal cannot be read key by key; an exception is raised in its turn."""

    def pressed(*bursts):
        left = iter([*bursts, EOFError])

        def read():
            burst = next(left)
            if isinstance(burst, str):
                return burst
            raise burst

        monkeypatch.setattr("click.getchar", read)
        with keys.pressed() as typed:
            return until_left(typed)

    return pressed


@pytest.fixture
def terminal(monkeypatch):
    """A terminal as standard input; what is written to its other end is typed."""
    other, ours = pty.openpty()
    with open(ours, encoding="utf-8", closefd=False) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        yield other, ours
    for end in (other, ours):
        if end >= 0:
            os.close(end)


def test_a_burst_is_taken_key_by_key(press):
    assert press("as", "b", "", "tg ") == (list("asbtg "), True)


def test_keys_keep_their_case(press):
    assert press("AbÉ") == (list("AbÉ"), True)


@pytest.mark.parametrize(
    "pieces", [("\x1b[200~b\ns\x1b[201~",), ("\x1b[20", "0~b\n", "s\x1b[201~"), ("\x1b[200~b", " s", "\x1b[201~")]
)
def test_what_is_pasted_comes_in_one_piece_on_one_line(press, pieces):
    assert press("a", *pieces, "c") == (["a", "b s", "c"], True)


def test_an_empty_paste_is_nothing(press):
    assert press("\x1b[200~ \n\x1b[201~a") == (["a"], True)


def test_what_was_typed_before_now_can_be_forgotten(monkeypatch):
    bursts = iter(["abc", "d"])
    monkeypatch.setattr("click.getchar", lambda: next(bursts))
    with keys.pressed() as typed:
        assert next(typed) == "a"
        typed.forget()
        assert next(typed) == "d"


@pytest.mark.parametrize(
    "sequence", ["\x1b[A", "\x1b[D", "\x1bOB", "\x1b[3~", "\x1b[15~", "\x1b[1;5C", "\x1bx", "\x1b"]
)
def test_a_key_without_a_letter_is_none(press, sequence):
    assert press(sequence) == ([], True)


@pytest.mark.parametrize("burst", ["\x1b[Aas", "a\x1b[3~s", "as\x1b[B", "a\x1b[A\x1b[1;2Ds"])
def test_an_arrow_inside_a_burst_takes_no_other_key_with_it(press, burst):
    assert press(burst) == (["a", "s"], True)


@pytest.mark.parametrize("pieces", [("\x1b", "[A"), ("\x1b[", "A"), ("\x1b", "OA"), ("\x1b[1;", "5C"), ("\x1b\x1b[A",)])
def test_an_arrow_that_arrives_in_pieces_is_no_key_either(press, pieces):
    assert press("a", *pieces, "s") == (["a", "s"], True)


def test_a_key_after_the_escape_key_alone_is_a_key(press):
    assert press("\x1b", "a", "\x1b\r", "\x1b\x03b") == (["a", "\r"], True)


@pytest.mark.parametrize("end", ["\x03", "\x04", EOFError, KeyboardInterrupt])
def test_ctrl_c_ctrl_d_and_the_end_of_input_leave(press, end):
    assert press("a", end, "b") == (["a"], True)


@pytest.mark.parametrize("end", ["\x03", "\x04"])
def test_what_stood_before_ctrl_c_in_a_burst_is_pressed_and_what_stands_behind_is_not(press, end):
    assert press(f"ab{end}c") == (["a", "b"], True)


def test_enter_and_backspace_are_keys(press):
    assert press("\r\x7f\t") == (["\r", "\x7f", "\t"], True)


def test_a_terminal_gives_every_key_at_once_and_ctrl_c_is_one(terminal):
    other, _ = terminal
    with keys.pressed() as pressed:
        os.write(other, b"aS\x1b[A")
        assert [next(pressed), next(pressed)] == ["a", "S"]
        os.write(other, b"b\x03c")
        assert until_left(pressed) == (["b"], True)


def test_a_letter_of_two_bytes_that_arrives_in_two_pieces_is_one_key(terminal, monkeypatch):
    pieces = iter(["é".encode()[:1], "é".encode()[1:], b"\x04"])
    monkeypatch.setattr(os, "read", lambda *_: next(pieces))
    with keys.pressed() as pressed:
        assert until_left(pressed) == (["é"], True)


def test_what_is_no_text_is_a_key_that_means_nothing(terminal, monkeypatch):
    pieces = iter([b"\xff", b""])
    monkeypatch.setattr(os, "read", lambda *_: next(pieces))
    with keys.pressed() as pressed:
        assert until_left(pressed) == ([codecs.decode(b"\xff", errors="replace")], True)


def test_what_waits_in_a_terminal_is_forgotten_too(terminal):
    other, ours = terminal
    with keys.pressed() as pressed:
        os.write(other, b"abc")
        select.select([ours], [], [])
        pressed.forget()
        os.write(other, b"d")
        assert next(pressed) == "d"


def test_ctrl_z_stops_the_program_with_the_terminal_as_it_was_found(terminal, monkeypatch):
    other, ours = terminal
    before = termios.tcgetattr(ours)
    stopped = []
    monkeypatch.setattr("signal.raise_signal", lambda number: stopped.append((number, termios.tcgetattr(ours))))
    with keys.pressed() as pressed:
        os.write(other, b"\x1ab")
        assert [next(pressed), next(pressed)] == [keys.RESUMED, "b"]
        assert not termios.tcgetattr(ours)[3] & termios.ICANON
    assert stopped == [(signal.SIGTSTP, before)]


@pytest.mark.parametrize("leave", [b"", b"\x03"])
def test_a_terminal_gives_no_echo_from_the_beginning_and_is_left_as_it_was_found(terminal, leave):
    other, ours = terminal
    before = termios.tcgetattr(ours)
    with keys.pressed() as pressed:
        during = termios.tcgetattr(ours)
        assert not during[3] & (termios.ECHO | termios.ICANON | termios.ISIG)
        os.write(other, b"a" + leave)
        assert next(pressed) == "a"
        if leave:
            with pytest.raises(Left):
                next(pressed)
    assert termios.tcgetattr(ours) == before
