"""Passkeys: a device keeps a key and signs with it what it is asked to; no password is typed, and none can be stolen.

Sources: W3C *Web Authentication Level 3*, 7.1 and 7.2 (what is checked), 13.4.3 (challenges), 14.6.1 (user handles);
NIST SP 800-63B, 5.1.7 to 5.1.9. The checks themselves are the library's.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from stickback.acting import Person
from stickback.refused import Refused
from stickback.services import sign_in
from stickback.services import student as students
from stickback.services.person import digest
from stickback.store import acts, passkeys, persons
from stickback.store.engine import Database
from stickback.store.passkeys import Passkey

SITE = "stickback"  # what a device says it keeps the key for, beside the site's address
MINUTES = 5  # in which a key must sign what it was asked to
LONGEST = 1_400  # characters of what a device calls a key: 1,023 bytes take 1,364
_LATE = "That took too long, or was sent twice, so nothing was done. Touch the key once more."
_NOT_OURS = "This key does not open here. Sign in with the password, or ask the school for an invitation."
_COPIED = (
    "This key counts as if there were two of it, and was refused. Sign in another way, remove it, tell the school."
)
_NOT_MADE = "This key could not be kept, so nothing was done."
_TAKEN = "This key is kept here already."

_T = TypeVar("_T")


@dataclass(frozen=True)
class Browser:
    """A browser at the school's address, as keys know it.

    Args:
        host, origin: the name that keys are made for, and the address as a browser says it.
        cookie: what it holds: what it is asked to sign serves this browser alone.
    """

    host: str
    origin: str
    cookie: str


def ask_to_sign_in(store: Database, browser: Browser) -> str:
    """What a device is asked that shall sign somebody in, as browsers read it."""
    from webauthn import generate_authentication_options, options_to_json
    from webauthn.helpers.structs import UserVerificationRequirement

    asked = generate_authentication_options(
        rp_id=browser.host, timeout=MINUTES * 60_000, user_verification=UserVerificationRequirement.REQUIRED
    )
    passkeys.ask(store, _asked("sign in", browser, asked.challenge), acts.moment() + MINUTES * 60_000)
    return options_to_json(asked)


def ask_to_add(store: Database, browser: Browser, person: Person, known: Sequence[Passkey] = ()) -> str:
    """What a device is asked that shall keep a key for a person, as browsers read it.

    Args:
        known: those that the person keeps: a device that has one of them makes no other.
    """
    from webauthn import base64url_to_bytes, generate_registration_options, options_to_json
    from webauthn.helpers.structs import (
        AuthenticatorSelectionCriteria,
        PublicKeyCredentialDescriptor,
        ResidentKeyRequirement,
        UserVerificationRequirement,
    )

    asked = generate_registration_options(
        rp_id=browser.host,
        rp_name=SITE,
        user_id=_handle(person),
        user_name=person.name,
        timeout=MINUTES * 60_000,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED, user_verification=UserVerificationRequirement.REQUIRED
        ),
        exclude_credentials=[PublicKeyCredentialDescriptor(id=base64url_to_bytes(key.id)) for key in known],
    )
    passkeys.ask(store, _asked(_adding(person), browser, asked.challenge), acts.moment() + MINUTES * 60_000)
    return options_to_json(asked)


def _handle(person: Person) -> bytes:
    """What a device keeps to say whose a key is: nothing of the name is in it."""
    return str(person.key).encode()


def _adding(person: Person) -> str:
    return f"add for {person.key}"


def _asked(what: str, browser: Browser, challenge: bytes) -> str:
    """Under what it is kept that a key was asked: it serves this browser, and for this, alone."""
    return digest(f"{what}\n{browser.cookie}\n{challenge.hex()}")


def sign_in_by(store: Database, browser: Browser, signed: str, address: str, *, shared: bool) -> str:
    """Signs in whose key signed what was asked; gives what the cookie holds, which is new each time.

    Args:
        signed: what the browser gives of it, JSON.
        address: where the attempt comes from.
    Errors: Slow after too many attempts; Refused for a key that does not open here, or may have been copied.
    """
    from webauthn import base64url_to_bytes, verify_authentication_response
    from webauthn.helpers import parse_authentication_credential_json

    given = _or(_NOT_OURS, lambda: parse_authentication_credential_json(signed))
    found = passkeys.find(store, given.id)
    subjects = sign_in.subjects_of(found[0].name if found else given.id[:LONGEST], address)
    sign_in.wait(store, subjects)
    try:
        challenge = _taken(store, "sign in", browser, given.response.client_data_json)
        if found is None or given.response.user_handle != _handle(found[0]):
            raise Refused(_NOT_OURS)
        person, key = found
        verified = _or(
            _NOT_OURS,
            lambda: verify_authentication_response(
                credential=given,
                expected_challenge=challenge,
                expected_rp_id=browser.host,
                expected_origin=browser.origin,
                credential_public_key=base64url_to_bytes(key.public),
                credential_current_sign_count=0,  # a count that went back is looked at below, and told
                require_user_verification=True,
            ),
        )
        if not passkeys.used(store, person, key, verified.new_sign_count):
            raise Refused(_COPIED)
    except Refused:
        sign_in.missed(store, subjects)
        raise
    sign_in.came_in(store, subjects)
    return sign_in.begin(store, person, shared=shared, what="signed in by key")


def add(store: Database, browser: Browser, person: Person, made: str, name: str) -> None:
    """Keeps the public half of a key that a device made for a person.

    Errors: Refused for a key that was not asked for, is not right, or is kept already.
    """
    called = _called(name) or f"Key {len(of(store, person)) + 1}"
    if not passkeys.add(store, person, _made(store, browser, person, made, called)):
        raise Refused(_TAKEN)


def accept(store: Database, browser: Browser, token: str, made: str, *, shared: bool) -> str:
    """Takes an invitation up with a key instead of a password; gives what the cookie holds.

    Errors: Refused as for `add`, and for an invitation that serves no more.
    """
    person = sign_in.invited(store, token)
    key = _made(store, browser, person, made, "Key 1")
    if passkeys.find(store, key.id) is not None:
        raise Refused(_TAKEN)
    if persons.accept(store, digest(token), key) is None:
        raise Refused(sign_in.NO_MORE)
    return sign_in.begin(store, person, shared=shared, what="signed in by key")


def _made(store: Database, browser: Browser, person: Person, made: str, name: str) -> Passkey:
    from webauthn import verify_registration_response
    from webauthn.helpers import bytes_to_base64url, parse_registration_credential_json

    given = _or(_NOT_MADE, lambda: parse_registration_credential_json(made))
    challenge = _taken(store, _adding(person), browser, given.response.client_data_json)
    verified = _or(
        _NOT_MADE,
        lambda: verify_registration_response(
            credential=given,
            expected_challenge=challenge,
            expected_rp_id=browser.host,
            expected_origin=browser.origin,
            require_user_verification=True,
        ),
    )
    return Passkey(
        id=bytes_to_base64url(verified.credential_id),
        public=bytes_to_base64url(verified.credential_public_key),
        counted=verified.sign_count,
        name=name,
        made=acts.moment(),
    )


def _taken(store: Database, what: str, browser: Browser, client_data: bytes) -> bytes:
    """What a key says that it was asked, which is used up thereby.

    Errors: Refused where it was not asked this, by this browser, a short while ago, or signed it before.
    """
    from webauthn import base64url_to_bytes

    challenge = _or(_NOT_OURS, lambda: base64url_to_bytes(json.loads(client_data)["challenge"]))
    if not passkeys.take(store, _asked(what, browser, challenge)):
        raise Refused(_LATE)
    return challenge


def _or(message: str, does: Callable[[], _T]) -> _T:
    """What the library makes of something that came from outside; whatever it does not like of it is said so."""
    try:
        return does()
    except Exception as error:  # it raises what its own parsers raise, too
        raise Refused(message) from error


def of(store: Database, person: Person) -> list[Passkey]:
    """The keys of a person, the oldest first."""
    return passkeys.of(store, person)


def rename(store: Database, person: Person, id_: str, name: str) -> None:
    """Calls a key of the person something else."""
    if called := _called(name):
        passkeys.rename(store, person, id_, called)


def _called(name: str) -> str:
    """What a person calls a key; empty where nothing was said.

    Errors: Refused for what is no name.
    """
    if name.strip():
        students.check_name(name.strip())
    return name.strip()


def remove(store: Database, person: Person, id_: str) -> None:
    """Takes a key of the person away: it opens nothing any more."""
    passkeys.remove(store, person, id_)
