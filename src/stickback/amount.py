"""Amounts as a person reads them."""

from typing import Final

HARD_SPACE: Final = "\N{NO-BREAK SPACE}"


def percent(share: float, digits: int = 0) -> str:
    """A share, `61 %`; no line ends before its sign."""
    return f"{share:.{digits}%}".replace("%", f"{HARD_SPACE}%")


def many(number: int, one: str, more: str | None = None) -> str:
    """A number with its noun: `1 question`, `3 questions`."""
    return f"{number} {one if number == 1 else more or one + 's'}"
