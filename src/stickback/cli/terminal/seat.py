"""Where a student sits at a terminal: the sitting, the keys, and the keys that mean the same everywhere in it."""

import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import click

from stickback.cli.terminal import show, streams
from stickback.cli.terminal.keys import BACK, CLEAR, ENTER, RESUMED, Keys, Left
from stickback.services import note
from stickback.services.review import Session, Step
from stickback.words import sitting

_NAMES = {"\r": "Enter", "\n": "Enter", "\x7f": "Backspace", "\b": "Backspace", "\t": "Tab", " ": "space"}

Meanings = tuple[tuple[str, str], ...]  # keys, each with what it does


@dataclass
class Seat:
    """A sitting at a terminal as it goes on.

    Args:
        folder: of the course.
        pictures: files of what is on the screen.
        deaf: it was said that nothing can be heard here.
    """

    session: Session
    keys: Keys
    folder: Path
    pictures: list[Path] = field(default_factory=list)
    deaf: bool = False

    def common(self, key: str, meanings: Meanings) -> None:
        """Does what a key means everywhere; of one that means nothing it says so.

        Errors: Left.
        """
        if key == "q":
            raise Left
        if key == "?":
            status("")
            show.columns(meanings)
        elif key == "o" and self.pictures:
            for picture in self.pictures:
                click.launch(str(picture))
            status("opened" if len(self.pictures) == 1 else f"{len(self.pictures)} pictures opened")
        elif key == "o":
            status("there is no picture here")
        elif len(key) > 1:
            status("what is pasted answers nothing here")
        else:
            name = _NAMES.get(key) or (f"“{key}”" if key.isprintable() else "that")
            status(f"{name} is no key here; ? lists them")

    def flag(self, step: Step) -> None:
        """Flags the question with a note; without one it does not."""
        status("")
        said = self.line("What is wrong with the question? A line, and Enter; Enter alone flags nothing.")
        if note.one_line(said):
            self.session = note.flag(self.session, step, said)
        show.say(sitting.FLAGGED if note.one_line(said) else sitting.NOT_FLAGGED, style="dim")

    def line(self, ask: str) -> str:
        """A line of text; empty where nothing was typed."""
        show.say(ask, style="dim")
        text = ""
        for key in self.keys:
            if key in ENTER and key:
                break
            if key and key in BACK:
                text = text[:-1]
            elif key == CLEAR:
                text = ""
            elif key.isprintable():
                text += key
            status(tail(text))
        status("")
        return text.strip()

    def pages(self, write: Callable[[], list[Path]]) -> None:
        """What is written, a screen at a time: the space bar goes on, q closes it.

        Args:
            write: prints it, and gives the files of the pictures in it.
        """
        out = show.console()
        with out.capture() as held:
            pictures = write()
        before, self.pictures = self.pictures, pictures
        lines = held.get().splitlines()
        while lines:
            room = max(out.height - 3, 5)
            streams.raw(sys.stdout).write("\n".join(lines[:room]) + "\n")
            lines = lines[room:]
            if not self._turned(last=not lines):
                break
        self.pictures = before

    def _turned(self, *, last: bool) -> bool:
        """Waits at the end of a page; False where it is closed."""
        picture = " · o opens the picture" if self.pictures else ""
        ask = f"{'the end · ' if last else 'space goes on · '}q closes it{picture}"
        status(ask)
        for key in self.keys:
            if key == RESUMED:
                status(ask)
            elif key.casefold() == "q" or key in f" {ENTER}":
                status("")
                return key.casefold() != "q"
            else:
                opens = (("o", "opens the picture"),) if self.pictures else ()
                self.common(key.casefold(), (("space", "goes on"), ("q", "closes it"), *opens))
        return False


def status(text: str) -> None:
    """One line at the bottom that is written over; what does not fit on it is cut off."""
    room = shutil.get_terminal_size().columns - 5
    shown = text if len(text) <= room else f"{text[: room - 1]}…"
    streams.raw(sys.stdout).write(f"\r\x1b[K  > {streams.clean(shown)}" if text else "\r\x1b[K")
    sys.stdout.flush()


def tail(text: str, beside: int = 0) -> str:
    """As much of the end of a text as fits on one line with what stands beside it."""
    room = show.console().width - beside - 5
    return text if len(text) <= room else f"…{text[1 - room :]}"
