"""Who acts: the person who is signed in, for as long as what they asked for is done; at a terminal nobody.

Whoever can open the database at a terminal owns it, and may do everything there. What is stored, and what is allowed,
looks here, so that no function on the way has to hand it on and none can forget it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Literal, get_args

from stickback.refused import Refused

Role = Literal["student", "instructor", "school"]


@dataclass(frozen=True)
class Person:
    """Who is signed in; `key` is what entries keep of it.

    Errors: Refused for a role that there is not, as in a damaged row: nobody could say what such a person may do.
    """

    key: int
    name: str
    role: Role

    def __post_init__(self) -> None:
        if self.role not in get_args(Role):
            raise Refused(f"The person {self.name} is damaged: its 'role' cannot be {str(self.role)[:40]!a}.")


_ACTING: ContextVar[Person | None] = ContextVar("acting", default=None)


def now() -> Person | None:
    """The person who acts; None at a terminal, and on a page that one machine shows to itself."""
    return _ACTING.get()


@contextmanager
def acting(person: Person | None) -> Iterator[None]:
    """All that is done inside is done by this person."""
    token = _ACTING.set(person)
    try:
        yield
    finally:
        _ACTING.reset(token)
