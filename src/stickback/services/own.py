"""What a school keeps of one person: taken along, and asked to be erased; the school confirms it."""

from collections.abc import Iterator
from dataclasses import dataclass

from stickback import acting
from stickback.acting import Person
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import person as persons_of
from stickback.services import sign_in
from stickback.store import acts, log, passkeys, persons
from stickback.store.acts import Act
from stickback.store.engine import Database
from stickback.store.passkeys import Passkey
from stickback.store.persons import Known
from stickback.store.sessions import Signed

ERASE = "erase"


@dataclass(frozen=True, kw_only=True)
class Own:
    """Everything that is kept of a person.

    Args:
        acts: what the person did, and what was done to the person.
        entries: of the student of the same name.
    """

    known: Known
    keys: tuple[Passkey, ...]
    sessions: tuple[Signed, ...]
    acts: tuple[Act, ...]
    entries: tuple[Entry, ...]


def own(store: Database, person: Person) -> Own:
    """Everything that is kept of a person."""
    return Own(
        known=persons_of.find(store, person.name),
        keys=tuple(passkeys.of(store, person)),
        sessions=tuple(sign_in.lasting(store, person)),
        acts=tuple(act for act in acts.read(store) if person.name in {act.who, act.whom}),
        entries=tuple(entry for _, entry in log.entries_of(store, person.name)),
    )


def lines(store: Database, person: Person) -> Iterator[str]:
    """The person's own log, as `log export` writes it and any stickback takes it in; that it was taken is told."""
    acts.note(store, "took along", person.name)
    return log.lines(store, person.name)


def wish(store: Database, person: Person, *, erase: bool) -> None:
    """Asks the school to be erased, or takes that back."""
    wishes = ERASE if erase else None
    persons.change(store, person, "wishes" if erase else "wishes no more", wishes=wishes)


def answer(store: Database, name: str, *, erase: bool) -> int:
    """Erases a person who asked for it, as the school confirms; or keeps the person, who may ask again.

    Returns: the number of entries that were deleted.
    Errors: Refused for one who did not ask, and for the person who acts.
    """
    known, here = persons_of.find(store, name), acting.now()
    if known.wishes != ERASE:
        raise Refused(
            f"{known.person.name} did not ask to be erased.",
            "`stickback person remove --erase` does it all the same",
        )
    if here is not None and here.key == known.person.key:
        raise Refused("Nobody confirms their own erasure; another of the school does.")
    if erase:
        return persons_of.remove(store, name, erase=True)
    persons.change(store, known.person, "stays", wishes=None)
    return 0
