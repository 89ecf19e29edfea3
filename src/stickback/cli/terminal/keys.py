"""Keys, one by one, from a terminal that gives each as it is pressed."""

import os
import re
import sys
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

_ESCAPE = re.compile(r"\x1b(?:[\[O][0-9;]*[^\x00-\x1f]?|[^\x00-\x1f])?")  # an arrow or another key without a letter
_CUT = re.compile(r"\x1b(?:[\[O][0-9;]*)?$")  # the beginning of one, the rest of which is still on its way
_LEAVES = "\x03\x04"  # Ctrl-C and Ctrl-D


class Left(Exception):  # noqa: N818 - leaving is no error
    """The student pressed q, Ctrl-C or Ctrl-D."""


@contextmanager
def pressed() -> Iterator[Iterator[str]]:
    """Keys in lower case, for a whole sitting, from the moment this is entered: nothing typed before is echoed.

    Errors: Left at Ctrl-C and Ctrl-D, and where the input ends.
    """
    with _every_key() as read:
        yield _one_by_one(read)


def _one_by_one(read: Callable[[], str]) -> Iterator[str]:
    """A burst of typing arrives in one piece, an arrow as an escape sequence."""
    held = ""
    while True:
        try:
            typed = read()
        except (EOFError, KeyboardInterrupt):
            raise Left from None
        if held != "\x1b" or typed.startswith(("[", "O")):  # else it was the escape key alone
            typed = held + typed
        cut = _CUT.search(typed)
        held = cut[0] if cut else ""
        for key in _ESCAPE.sub("", typed):
            if key in _LEAVES:
                raise Left
            yield key.casefold()


@contextmanager
def _every_key() -> Iterator[Callable[[], str]]:
    """A way to read what was typed. The terminal keeps its mode for the whole sitting: no key is lost between."""
    try:
        import termios
    except ImportError:  # not on this system
        yield click.getchar
        return
    if not sys.stdin.isatty():
        yield click.getchar
        return
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    decoder = getincrementaldecoder("utf-8")("replace")

    def read() -> str:
        raw = os.read(terminal, 1024)
        if not raw:
            raise EOFError
        return decoder.decode(raw)

    now = termios.tcgetattr(terminal)
    # Not echoed, not kept for a whole line, and Ctrl-C is a key like others, so that it cannot break into storing.
    now[3] &= ~(termios.ECHO | termios.ICANON | termios.ISIG)
    now[6][termios.VMIN], now[6][termios.VTIME] = 1, 0
    termios.tcsetattr(terminal, termios.TCSADRAIN, now)
    try:
        yield read
    finally:
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)
