"""Callsigns: the forms that may stand for one, and where they are in a transmission.

Sources: ICAO Doc 9432 (4th edition) 2.7.2; CAP 413 edition 22, 2.26 and table 10; AIM 4-2-4.
"""

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache

from stickback.radio import atoms
from stickback.radio.atoms import Atom

Span = tuple[int, int]  # places of the first atom and of the one behind the last

_NEAR = 2  # characters that may differ in what is still taken for an attempt at a callsign
_REGISTRATION = re.compile(r"[A-Za-z0-9]{1,2}-?[A-Za-z0-9]{2,6}")


def compact(callsign: str) -> str:
    """A callsign without spaces and hyphens: `G-WA` and `golf whiskey alfa` are `gwa`."""
    return "".join(atom.text for atom in atoms.atoms(callsign))


def least(prefix: str, phraseology: str) -> int:
    """How many of the last characters a short form keeps at the least.

    Two (Doc 9432 2.7.2; CAP 413 table 10); three for the FAA (AIM 4-2-4), and of American registrations everywhere
    (N029, CAP 413 table 10).
    """
    return 3 if phraseology == "faa" or prefix.lower() == "n" else 2


@lru_cache(atoms.REMEMBERED)
def short(callsign: str, phraseology: str = "uk") -> str:
    """The short form as the station may begin it: `G-WA`, `N7TW`; a callsign that cannot be shortened as it is.

    Only registrations are shortened; a spoken name with a flight number is not (Doc 9432 2.7.2).
    """
    prefix, tail = callsign[:1], callsign[1:].replace("-", "")
    kept = least(prefix, phraseology)
    if len(tail) <= kept or not _REGISTRATION.fullmatch(callsign):
        return callsign
    return f"{prefix}{'-' if '-' in callsign else ''}{tail[-kept:]}"


def with_type(callsign: str, name: str) -> str:
    """The type's name and then the registration, an American one without its N: `Brackle 07TW` (AIM 4-2-4)."""
    return f"{name} {callsign.removeprefix('N')}"


@lru_cache(atoms.REMEMBERED)
def signs(callsign: str, phraseology: str = "uk", name: str = "") -> Mapping[str, str]:
    """What a question may call an aeroplane, and another one whose callsign is much like its own, by name.

    The other's last letter is the next one of the alphabet.

    Args:
        name: of the aeroplane's type.
    """
    last = callsign[-1:].upper()
    other = callsign[:-1] + ("A" if last in {"", "Z", "9"} or not last.isascii() else chr(ord(last) + 1))
    return {
        "callsign_short": short(callsign, phraseology),
        "callsign_with_type": with_type(callsign, name),
        "other_callsign": other,
        "other_callsign_short": short(other, phraseology),
    }


@lru_cache(atoms.REMEMBERED)
def full(callsign: str, phraseology: str, name: str = "") -> tuple[str, ...]:
    """The forms that leave nothing out, compact.

    Args:
        name: of the aeroplane's type, which FAA pilots may say in place of the N (AIM 4-2-4); that they leave both
            out, as in `seven tango whiskey`, is common practice.
    """
    whole = compact(callsign)
    if phraseology != "faa" or not _REGISTRATION.fullmatch(callsign):
        return (whole,)
    return tuple(dict.fromkeys((whole, compact(name) + whole[1:], whole[1:])))


@lru_cache(atoms.REMEMBERED)
def forms(callsign: str, phraseology: str, name: str = "") -> tuple[str, ...]:
    """All forms that may be said, compact, the full ones first; `name` as for `full`."""
    whole, *more = full(callsign, phraseology, name)
    if not _REGISTRATION.fullmatch(callsign):
        return (whole,)
    prefix, tail = whole[:1], whole[1:]
    kept = least(prefix, phraseology)
    found = [whole, *more, *(prefix + tail[-length:] for length in range(kept, len(tail)))]
    if phraseology == "faa":
        found += [compact(name) + tail[-kept:], tail[-kept:]]
    return tuple(dict.fromkeys(found))


def find(pieces: Sequence[Atom], said: Sequence[str]) -> list[Span]:
    """Where a form stands among the atoms of a transmission, from left to right, each as long as it can be."""
    found: list[Span] = []
    begin = {form[:1] for form in said}
    at = 0
    while at < len(pieces):
        end = _end(pieces, at, said) if pieces[at].text[0] in begin else 0
        if end:
            found.append((_start(pieces, at, end, said), end))
        at = end or at + 1
    return found


def _end(pieces: Sequence[Atom], at: int, said: Sequence[str]) -> int:
    """Where the longest form that begins here ends; nought where none does."""
    text, found = "", 0
    for end in range(at, len(pieces)):
        text += pieces[end].text
        if not any(form.startswith(text) for form in said):
            break
        found = end + 1 if text in said else found
    return found


def _start(pieces: Sequence[Atom], at: int, end: int, said: Sequence[str]) -> int:
    """Where a form begins: figures that run on from others are theirs, as many as can be."""
    before, first = pieces[max(at - 1, 0)], pieces[at]
    runs_on = at and before.number and first.number and not (before.alone or first.alone or first.apart)
    return max(place for place in range(at, end) if _end(pieces, place, said) == end) if runs_on else at


def nearest(pieces: Sequence[Atom], said: Sequence[str]) -> Span | None:
    """What looks like one of the forms said wrongly: as long, begun alike, and a character or two off."""
    for form in said:
        for at in range(len(pieces)):
            end = _as_long(pieces, at, form)
            if end and len(form) > _NEAR and _differ("".join(each.text for each in pieces[at:end]), form) <= _NEAR:
                return at, end
    return None


def _as_long(pieces: Sequence[Atom], at: int, form: str) -> int:
    """Where a text from here ends that is as long as a form and begins as it does; nought where none does."""
    if pieces[at].text[0] != form[:1]:
        return 0
    many = 0
    for end in range(at, len(pieces)):
        many += len(pieces[end].text)
        if many >= len(form):
            return end + 1 if many == len(form) else 0
    return 0


def _differ(one: str, other: str) -> int:
    return sum(a != b for a, b in zip(one, other, strict=True))
