"""Callsigns: the forms that may stand for one, and where they are in a transmission.

Sources: ICAO Doc 9432 (4th edition) 2.7.2; CAP 413 edition 22, 2.26 and table 10; AIM 4-2-4.
"""

from collections.abc import Sequence

from stickback.trade import spoken
from stickback.trade.spoken import Atom

Span = tuple[int, int]  # places of the first atom and of the one behind the last

_NEAR = 2  # characters that may differ in what is still taken for an attempt at a callsign


def compact(callsign: str) -> str:
    """A callsign without spaces and hyphens: `G-WA` and `golf whiskey alfa` are `gwa`."""
    return "".join(atom.text for atom in spoken.atoms(callsign))


def least(prefix: str, phraseology: str) -> int:
    """How many of the last characters a short form keeps at the least.

    Two (Doc 9432 2.7.2; CAP 413 table 10); three for the FAA (AIM 4-2-4), and of American registrations everywhere
    (N029, CAP 413 table 10).
    """
    return 3 if phraseology == "faa" or prefix.lower() == "n" else 2


def short(callsign: str, phraseology: str = "uk") -> str:
    """The short form as the station may begin it: `G-WA`, `N7TW`; a callsign that cannot be shortened as it is."""
    prefix, tail = callsign[:1], callsign[1:].lstrip("-")
    kept = least(prefix, phraseology)
    if len(tail) <= kept:
        return callsign
    return f"{prefix}{'-' if callsign[1:2] == '-' else ''}{tail[-kept:]}"


def forms(callsign: str, phraseology: str, name: str = "") -> tuple[str, ...]:
    """All forms that may be said, compact, the full one first.

    Args:
        name: of the aeroplane's type, which FAA pilots may say in place of the N (AIM 4-2-4); that they leave both
            out, as in `seven tango whiskey`, is common practice.
    """
    whole = compact(callsign)
    prefix, tail = whole[:1], whole[1:]
    kept = least(prefix, phraseology)
    found = [whole, *(prefix + tail[-length:] for length in range(kept, len(tail)))]
    if phraseology == "faa":
        found += [compact(name) + each for each in (tail, tail[-kept:])] if name else []
        found += [tail[-kept:]] if len(tail) > kept else [tail]
    return tuple(dict.fromkeys(found))


def find(pieces: Sequence[Atom], said: Sequence[str]) -> list[Span]:
    """Where a form stands among the atoms of a transmission, from left to right, each as long as it can be."""
    found: list[Span] = []
    longest = max(map(len, said), default=0)
    at = 0
    while at < len(pieces):
        ends = [end for end, text in _windows(pieces, at, longest) if text in said]
        if ends:
            found.append((at, max(ends)))
        at = max(ends, default=at + 1)
    return found


def nearest(pieces: Sequence[Atom], said: Sequence[str]) -> Span | None:
    """What looks like one of the forms said wrongly: as long, begun alike, and a character or two off."""
    for form in said:
        for at in range(len(pieces)):
            for end, text in _windows(pieces, at, len(form)):
                if len(text) == len(form) > _NEAR and text[0] == form[0] and _differ(text, form) <= _NEAR:
                    return at, end
    return None


def _windows(pieces: Sequence[Atom], at: int, longest: int) -> list[tuple[int, str]]:
    """The text of one, two and more atoms from a place on, and where each ends."""
    found, text = [], ""
    for end in range(at, len(pieces)):
        text += pieces[end].text
        if len(text) > longest:
            break
        found.append((end + 1, text))
    return found


def _differ(one: str, other: str) -> int:
    return sum(a != b for a, b in zip(one, other, strict=True))
