"""What is written to a screen: nothing in it that came from outside moves the cursor, hides or turns a text.

Everything goes through `Clean`; what the program itself says to a terminal (colours, a line written over) goes past it
through `raw`.
"""

import errno
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any, TextIO

from stickback.amount import HARD_SPACE

# Controls but for the end of a line and the tab; what turns the direction of text, and what nobody sees.
_UNSEEN = re.compile(
    "\r(?!\n)|[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]"
)
_MARK = "\N{REPLACEMENT CHARACTER}"
_GONE = {errno.EPIPE, errno.ECONNRESET}  # whoever read has left


def clean(text: str) -> str:
    """A text with a mark in place of what must not reach a screen, and plain spaces, as whoever searches it types."""
    return text if text.isprintable() else _UNSEEN.sub(_MARK, text).replace(HARD_SPACE, " ")


def escaped(line: str) -> str:
    """A line of JSON that says the same without such characters."""
    return line if line.isprintable() else _UNSEEN.sub(lambda match: f"\\u{ord(match[0]):04x}", line)


class Clean:
    """A stream that cleans what is written to it."""

    def __init__(self, stream: TextIO) -> None:
        self.raw = stream

    def write(self, text: str) -> int:
        """Writes a text; bytes are none."""
        if not isinstance(text, str):
            raise TypeError("a text is wanted")
        self.raw.write(clean(text))
        return len(text)

    def writelines(self, lines: list[str]) -> None:
        """Writes texts."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.raw, name)


def raw(stream: Any) -> Any:
    """The stream behind one that cleans."""
    return stream.raw if isinstance(stream, Clean) else stream


def readable() -> None:
    """Bytes that are no text, and characters that a terminal lacks, are shown as a mark instead of ending the run."""
    for name in ("stdin", "stdout", "stderr"):
        stream = getattr(sys, name)
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
        if name != "stdin" and not isinstance(stream, Clean):
            setattr(sys, name, Clean(stream))


@contextmanager
def whole() -> Iterator[None]:
    """Ends the run in a sentence when what it says cannot be written."""
    if sys.stdin is None:
        sys.stdin = open(os.devnull)  # noqa: PTH123, SIM115 - until the end of the program
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: PTH123, SIM115
    if sys.stdout is None:
        print("Error: Standard output is closed.", file=sys.stderr)  # noqa: T201
        sys.exit(1)
    try:
        try:
            yield
        finally:
            sys.stdout.flush()
    except OSError as error:
        if error.filename is not None or error.errno is None:
            raise
        _silence(sys.stdout)
        if error.errno not in _GONE:
            with suppress(OSError):
                print(f"Error: The output cannot be written: {error.strerror or error}.", file=sys.stderr)  # noqa: T201
        sys.exit(1)


def _silence(stream: TextIO) -> None:
    """What still waits to be written goes nowhere, since it would fail again at the very end."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
