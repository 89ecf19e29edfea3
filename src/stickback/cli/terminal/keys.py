"""Keys, one by one, from a terminal that gives each as it is pressed; and the answer that they make."""

import os
import re
import signal
import sys
from codecs import getincrementaldecoder
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

import click

from stickback.cli.terminal import streams
from stickback.kinds.shown import Shown

RESUMED = ""  # in place of a key: the program was stopped and goes on, and the line at the bottom is gone
DONT_KNOW = "\t"
BACK, ENTER = "\x7f\b", "\r\n"  # each as some keyboard sends it
CLEAR = "\x15"  # Ctrl-U, as in a shell

# What a terminal that was asked to marks as pasted; an arrow or another key without a letter; a letter.
_PIECE = re.compile(
    r"\x1b\[200~(?P<paste>.*?)\x1b\[201~|\x1b(?:[\[O][0-9;]*[^\x00-\x1f]?|[^\x00-\x1f])?|(?P<key>.)", re.DOTALL
)
# The beginning of either, the rest of which is still on its way.
_CUT = re.compile(r"\x1b\[200~(?:(?!\x1b\[201~).)*$|\x1b(?:[\[O][0-9;]*)?$", re.DOTALL)
_PASTES = ("\x1b[?2004h", "\x1b[?2004l")  # asks for the marks, and no more
_LEAVES = "\x03\x04"  # Ctrl-C and Ctrl-D
_STOP = "\x1a"  # Ctrl-Z


class Left(Exception):  # noqa: N818 - leaving is no error
    """The student pressed q, Ctrl-C or Ctrl-D."""


@dataclass
class Keys(Iterator[str]):
    """Keys as they are pressed. What is pasted comes in one piece, on one line, and so is never taken for keys.

    Args:
        read: waits for what is typed next, which may be a burst.
        drop: throws away what was typed and not read yet.
        stop: stops the program until the shell lets it go on.
    """

    read: Callable[[], str]
    drop: Callable[[], None] = lambda: None
    stop: Callable[[], None] = lambda: None
    _held: str = ""
    _coming: deque[str] = field(default_factory=deque)

    def __next__(self) -> str:
        """The next key; `RESUMED` after a stop.

        Errors: Left at Ctrl-C and Ctrl-D, and where the input ends.
        """
        while not self._coming:
            self._take()
        key = self._coming.popleft()
        if key in _LEAVES:
            raise Left
        if key == _STOP:
            self.stop()
            return RESUMED
        return key

    def forget(self) -> None:
        """Forgets what was typed before now: nobody can have meant it for what is only shown now."""
        self._coming.clear()
        self._held = ""
        self.drop()

    def _take(self) -> None:
        try:
            typed = self.read()
        except (EOFError, KeyboardInterrupt):
            raise Left from None
        if self._held != "\x1b" or typed.startswith(("[", "O")):  # else it was the escape key alone
            typed = self._held + typed
        cut = _CUT.search(typed)
        self._held = cut[0] if cut else ""
        for piece in _PIECE.finditer(typed.removesuffix(self._held)):
            pasted = " ".join((piece["paste"] or "").split())
            if piece["key"] or pasted:
                self._coming.append(piece["key"] or pasted)


@contextmanager
def pressed() -> Iterator[Keys]:
    """Keys for a whole sitting, from the moment this is entered: nothing typed before is echoed.

    The terminal keeps its mode in between, so that no key is lost.
    """
    try:
        import termios
    except ImportError:  # not on this system
        yield Keys(click.getchar)
        return
    if not sys.stdin.isatty():
        yield Keys(click.getchar)
        return
    terminal = sys.stdin.fileno()
    before, now = termios.tcgetattr(terminal), termios.tcgetattr(terminal)
    # Not echoed, not kept for a whole line, and Ctrl-C is a key like others, so that it cannot break into storing.
    now[3] &= ~(termios.ECHO | termios.ICANON | termios.ISIG)
    now[6][termios.VMIN], now[6][termios.VTIME] = 1, 0
    decoder = getincrementaldecoder("utf-8")("replace")

    def read() -> str:
        raw = os.read(terminal, 1024)
        if not raw:
            raise EOFError
        return decoder.decode(raw)

    def enter() -> None:
        termios.tcsetattr(terminal, termios.TCSADRAIN, now)
        _write(_PASTES[0])

    def leave() -> None:
        _write(_PASTES[1])
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)

    def drop() -> None:
        termios.tcflush(terminal, termios.TCIFLUSH)

    def stop() -> None:
        leave()
        signal.raise_signal(signal.SIGTSTP)
        enter()

    enter()
    try:
        yield Keys(read, drop, stop)
    finally:
        leave()


def _write(text: str) -> None:
    streams.raw(sys.stdout).write(text)
    sys.stdout.flush()


@dataclass(frozen=True)
class Reply:
    """What has been typed of an answer so far; a value, so that it can be tried without a terminal.

    Args:
        shown: what is answered, which says how.
        text: what stands there: keys ticked, steps in their order, the key of a cell, or a line.
        closed: the line is finished with Enter, so that letters are commands again.
        heard_again: what was heard was brought back before the line was typed.
    """

    shown: Shown
    text: str = ""
    closed: bool = False
    heard_again: bool = False

    @property
    def takes_all(self) -> bool:
        """Whether every key belongs to the answer now: a line is being typed, or steps still have to be placed."""
        if self.shown.manner == "order":
            return len(self.text) < len(self.shown.keys)
        return self.shown.in_words and not self.closed

    @property
    def complete(self) -> bool:
        """Whether it can be submitted."""
        return self.shown.manner == "aloud" or (bool(self.text.strip()) and not self.takes_all)

    @property
    def typed(self) -> str:
        """The answer as a line would hold it."""
        return self.text if self.shown.in_words else " ".join(self.text)

    def takes(self, key: str) -> bool:
        """Whether a key belongs to the answer now."""
        if key in BACK or key == CLEAR:
            return bool(self.text) or self.closed
        return self.takes_all if self.shown.in_words else key.casefold() in self.shown.keys and len(key) == 1

    def press(self, key: str) -> "Reply":
        """The answer after a key, or after text pasted; what means nothing here changes nothing."""
        if key == CLEAR:
            return replace(self, text="", closed=False)
        if key in BACK:
            return replace(self, text=self.text if self.closed else self.text[:-1], closed=False)
        if self.shown.in_words:
            return self._write(key)
        key = key.casefold()
        if key not in self.shown.keys or len(key) != 1:
            return self
        if self.shown.manner in {"one", "cell"}:
            return replace(self, text=key)
        if self.shown.manner == "order":
            return self if key in self.text else replace(self, text=self.text + key)
        ticked = set(self.text) ^ {key}
        return replace(self, text="".join(sorted(ticked)))

    def _write(self, key: str) -> "Reply":
        if self.closed:
            return self
        if key in ENTER:
            return replace(self, closed=True)
        return replace(self, text=self.text + key) if key.isprintable() else self
