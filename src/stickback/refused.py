"""A request that cannot be met: caught in one place by each shell and shown as its one sentence."""


class Refused(Exception):  # noqa: N818 - a refusal is not an error of the program
    """Says in one clear sentence what cannot be done and, where it helps, what to type instead.

    As a text it is all that a terminal says.

    Args:
        message: the sentence a person reads.
        command: what a terminal says behind it, such as "`stickback check` says why"; a page has ways of its own.
    """

    def __init__(self, message: str, command: str = "") -> None:
        super().__init__(f"{message.removesuffix('.')}; {command}." if command else message)
        self.message = message


class Unreachable(Refused):
    """A database that is away for now: the same may be asked again in a moment."""
