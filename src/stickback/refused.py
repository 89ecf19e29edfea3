"""A request that cannot be met: caught in one place by each shell and shown as its one sentence."""


class Refused(Exception):  # noqa: N818 - a refusal is not an error of the program
    """Says in one clear sentence what cannot be done and, where it helps, what to type instead.

    Args:
        message: the sentence a person reads.
    """

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class Unreachable(Refused):
    """A database that is away for now: the same may be asked again in a moment."""
