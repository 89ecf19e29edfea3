"""What has been typed of an answer so far, key by key; a value, so that it can be tried without a terminal."""

from dataclasses import dataclass, replace

from stickback.cli.terminal.keys import BACK, CLEAR, ENTER
from stickback.kinds.shown import Shown, repeated


@dataclass(frozen=True)
class Reply:
    """An answer on its way.

    Args:
        shown: what is answered, which says how.
        text: what stands there: keys ticked, steps in their order, the key of a cell, or a line.
        closed: the line is finished with Enter, so that letters are commands again.
        again: what was heard was brought back before the line was typed; recorded with it.
    """

    shown: Shown
    text: str = ""
    closed: bool = False
    again: bool = False

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
        if self.shown.in_words:
            return repeated(self.text) if self.again else self.text
        return " ".join(self.text)

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
