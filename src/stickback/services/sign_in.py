"""Signing in to a school's page: by an invitation once, then by a password or a passkey; what keeps guessing slow.

Sources: OWASP *Authentication*, *Session Management* and *Password Storage Cheat Sheets*; NIST SP 800-63B, 5.1.1 and
5.2.2.
"""

from contextlib import suppress
from functools import cache
from secrets import token_urlsafe
from threading import BoundedSemaphore
from typing import TYPE_CHECKING

from stickback.acting import Person
from stickback.refused import Refused
from stickback.services.person import DAY, digest
from stickback.store import acts, people, persons, sessions
from stickback.store.engine import Database
from stickback.store.sessions import Attempt, Signed

if TYPE_CHECKING:
    from argon2 import PasswordHasher

LIFE, IDLE = 30 * DAY, DAY // 2  # of a session; the second on a device that others use too
SHORTEST, LONGEST, HARD_ENOUGH = 12, 72, 3  # letters of a password; how hard to guess, of 4
FREE, MOST_FREE = 5, 20  # attempts that wait for nothing, of one address and of one name from everywhere
LONGEST_WAIT, LONGEST_NAMED = 900, 60  # seconds: of one address, and of one name from everywhere
_FORGIVEN = DAY // 24  # milliseconds after the last attempt
_HASHING = BoundedSemaphore(2)  # each takes 64 MiB
NO_MORE = "This invitation serves no more; ask the school for another."
_NOT_IN = "Name and password do not belong together."
_NO_EXTRA = "Signing in needs argon2-cffi and webauthn; install them with `pip install 'stickback[school]'`."


class Slow(Refused):
    """Too many attempts: how many seconds to wait."""

    def __init__(self, seconds: int) -> None:
        super().__init__(f"That was tried too often. Wait {seconds} seconds, then try again.")
        self.seconds = seconds


@cache
def hasher() -> "PasswordHasher":
    """What makes a hash of a password, at the library's own cost.

    Errors: Refused where the extra is not installed.
    """
    try:
        import webauthn  # noqa: F401 - asked for here, so that a school does not begin without it
        from argon2 import PasswordHasher
    except ModuleNotFoundError:
        raise Refused(_NO_EXTRA) from None
    return PasswordHasher()


def invited(store: Database, token: str) -> Person:
    """Whom an invitation lets in.

    Errors: Refused when it serves no more, or never was, which is said alike.
    """
    person = persons.invited(store, digest(token))
    if person is None:
        raise Refused(NO_MORE)
    return person


def accept(store: Database, token: str, password: str, *, shared: bool) -> str:
    """Chooses a password by an invitation, which is used up; gives what the cookie holds.

    Errors: Refused for a password that is easy to guess, and as for `invited`.
    """
    person = invited(store, token)
    check(password, person.name)
    hashed = _hash(password)
    if persons.accept(store, digest(token), hashed) is None:
        raise Refused(NO_MORE)
    return begin(store, person, shared=shared, what="signed in")


def check(password: str, name: str) -> None:
    """Refuses a password that is easy to guess."""
    from zxcvbn import zxcvbn

    if not SHORTEST <= len(password) <= LONGEST:
        raise Refused(f"A password has {SHORTEST} to {LONGEST} characters; a few words in a row are good.")
    if zxcvbn(password, user_inputs=[name, *name.split(), "stickback"])["score"] < HARD_ENOUGH:
        raise Refused("This password is easy to guess; take a few words that nobody would put in a row.")


def _hash(password: str) -> str:
    with _HASHING:
        return hasher().hash(password)


def _fits(hashed: str, password: str) -> bool:
    from argon2.exceptions import InvalidHashError, VerificationError

    try:
        return hasher().verify(hashed, password)
    except (VerificationError, InvalidHashError):
        return False


@cache
def _nobody() -> str:
    """A hash that no password fits: looking for nobody takes as long as for somebody."""
    return hasher().hash(token_urlsafe(32))


def sign_in(store: Database, name: str, password: str, address: str, *, shared: bool) -> str:
    """Signs a person in; gives what the cookie holds, which is new each time.

    Args:
        address: where the attempt comes from.
    Errors: Slow after too many attempts; Refused when name and password do not belong together, whichever is wrong.
    """
    subjects = subjects_of(name, address)
    wait(store, subjects)
    with _HASHING:
        wait(store, subjects)  # others that were sent at the same time may have failed meanwhile
        known = persons.find(store, people.alike(name.strip()))
        fits = _fits(known.password if known and known.password else _nobody(), password[: LONGEST + 1])
        if known is None or known.password is None or not fits:
            missed(store, subjects)
            raise Refused(_NOT_IN)
    came_in(store, subjects)
    return begin(store, known.person, shared=shared, what="signed in")


def subjects_of(name: str, address: str) -> tuple[str, str, str]:
    """What attempts are counted by: this name from this address; this address; this name from everywhere."""
    who = people.alike(name.strip())
    return digest(f"{who}\n{address}"), digest(f"\n{address}"), digest(f"{who}\n")


def wait(store: Database, subjects: tuple[str, ...]) -> None:
    """Refuses an attempt that comes too soon behind others.

    A name is never shut for good: where it has come in before, others' attempts elsewhere do not count.
    """
    found = sessions.attempts(store, subjects)
    pair, address, everywhere = (found.get(each, (0, 0, False)) for each in subjects)
    waits = [_left(pair, FREE, LONGEST_WAIT), _left(address, MOST_FREE, LONGEST_WAIT)]
    if not pair[2]:
        waits.append(_left(everywhere, MOST_FREE, LONGEST_NAMED))
    if max(waits) > 0:
        raise Slow(max(waits))


def _left(attempt: Attempt, free: int, most: int) -> int:
    """Seconds that are left to wait: twice as many after each attempt that failed, and none an hour after the last."""
    failed, at, _ = attempt
    since = max(acts.moment() - at, 0)
    if failed < free or since > _FORGIVEN:
        return 0
    wait = 1000 * min(1 << min(failed - free, 20), most)
    return max(0, -((since - wait) // 1000))


def came_in(store: Database, subjects: tuple[str, str, str]) -> None:
    """Forgets what failed before, and that this name has come in from there."""
    pair, _, everywhere = subjects
    sessions.came_in(store, [everywhere], known=[pair])


def missed(store: Database, subjects: tuple[str, ...]) -> None:
    """Counts an attempt that failed."""
    sessions.failed(store, subjects, since=acts.moment() - _FORGIVEN)


def begin(store: Database, person: Person, *, shared: bool, what: str) -> str:
    """Signs a person in; gives what the cookie holds."""
    token = token_urlsafe(32)
    sessions.begin(store, person, digest(token), shared=shared, what=what)
    return token


def signed(store: Database, token: str) -> Signed | None:
    """Who is signed in by a cookie; None where nobody is any more. Using it is written down, where that can be."""
    found = sessions.find(store, digest(token))
    if found is None:
        return None
    lasts = _lasts(found)
    with suppress(Refused):  # a database that cannot be written is read all the same
        if lasts:
            sessions.seen(store, found)
        else:
            sessions.end(store, found.person, [found.digest], "signed out")
    return found if lasts else None


def _lasts(found: Signed) -> bool:
    """Whether a session still holds; a clock that went back makes none older."""
    now = acts.moment()
    return now - found.made < LIFE and not (found.shared and now - found.seen > IDLE)


def lasting(store: Database, person: Person) -> list[Signed]:
    """Where a person is signed in."""
    return [each for each in sessions.of(store, person) if _lasts(each)]


def sign_out(store: Database, signed: Signed, digests: list[str] | None = None) -> None:
    """Ends this session, or others of the same person."""
    sessions.end(store, signed.person, [signed.digest] if digests is None else digests, "signed out")
