"""Seals: an installation numbers what it stores of a student and seals it, so that the chain shows what was done to it.

An entry's seal is the SHA-256 of the seal before it, the installation, the number and the entry's canonical line. The
student's name is not under it, since another device may know the student by another name. Whoever can write the whole
database can also seal a new history: that is what a fingerprint on paper is for.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

from stickback.memory import entry as entries
from stickback.memory.entry import Entry

Place = tuple[str, int]  # an installation and a number


def sealed(entry: Entry, device: str, number: int, before: str) -> Entry:
    """The entry with its place in a chain.

    Args:
        before: the seal of the entry before it; empty for the first.
    """
    text = f"{before}\n{device}\n{number}\n{entries.canonical(entry)}"
    return replace(entry, device=device, number=number, seal=sha256(text.encode()).hexdigest())


def place(entry: Entry) -> Place:
    """Where an entry stands; every stored one has a place."""
    return entry.device or "", entry.number or 0


def fits(entry: Entry, met: Mapping[Place, Iterable[str]]) -> bool | None:
    """Whether an entry is what was sealed; None when the one before it is not known, so that nobody can tell.

    Args:
        met: the seals that are known at each place: more than one where a database was copied and went on twice.
    """
    device, number = place(entry)
    befores = [""] if number == 1 else list(met.get((device, number - 1), ()))
    if not befores:
        return None
    return any(sealed(entry, device, number, before).seal == entry.seal for before in befores)


@dataclass(frozen=True)
class Chain:
    """What the chains of a student show.

    Args:
        changed: entries that are not what was sealed.
        missing: places that others follow and where nothing stands, with an entry that follows.
        twice: places where two entries stand.
    """

    changed: list[Entry]
    missing: list[tuple[Place, Entry]]
    twice: list[tuple[Place, list[Entry]]]


def walk(found: Iterable[Entry], others: Iterable[tuple[str, int, str]] = ()) -> Chain:
    """Walks every chain of one student.

    Args:
        found: all entries of the student.
        others: installation, number and seal of what stands on no entry here.
    """
    at: dict[Place, list[Entry]] = defaultdict(list)
    for entry in found:
        at[place(entry)].append(entry)
    met: dict[Place, set[str]] = defaultdict(set)
    for device, number, seal in others:
        met[device, number].add(seal)
    for where, there in at.items():
        met[where].update(entry.seal or "" for entry in there)
    fit = [(entry, fits(entry, met)) for there in at.values() for entry in there]
    return Chain(
        [entry for entry, fitting in fit if fitting is False],
        [((entry.device or "", (entry.number or 0) - 1), entry) for entry, fitting in fit if fitting is None],
        [(where, there) for where, there in at.items() if len(there) > 1],
    )
