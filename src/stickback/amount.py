"""Amounts as a person reads them."""


def percent(share: float, digits: int = 0) -> str:
    """A share: `61 %`."""
    return f"{share:.{digits}%}".replace("%", " %")


def many(number: int, one: str, more: str | None = None) -> str:
    """A number with its noun: `1 question`, `3 questions`."""
    return f"{number} {one if number == 1 else more or one + 's'}"
