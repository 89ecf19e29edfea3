"""An exchange on the radio: what must be said, and where the callsign belongs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from stickback.radio import callsign, readback, rules, spoken
from stickback.radio.faults import Situation
from stickback.radio.readback import Found, Heard, Item, hear
from stickback.radio.spoken import Token

STATIONS = frozenset({"tower", "ground", "information", "radio", "approach", "radar", "traffic", "delivery", "control"})


@dataclass(frozen=True)
class Exchange:
    """What an answer is held against.

    Args:
        wanted: what must be said, as it is written; the callsign is always wanted and is not among these.
        callsign: in full; `name`, of the aeroplane's type.
        heard: what the station said; empty where the pilot begins.
        model: a right answer, as it is written; empty where none was written.
        unable: a refusal is right too.
    """

    wanted: tuple[str, ...]
    callsign: str
    phraseology: str
    station: str = "tower"
    heard: str = ""
    model: str = ""
    unable: bool = False
    name: str = ""

    @cached_property
    def forms(self) -> tuple[str, ...]:
        """Of the callsign."""
        return callsign.forms(self.callsign, self.phraseology, self.name)

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """What must be said, as tokens."""
        return tuple(readback.item(text, self.phraseology) for text in self.wanted)

    @property
    def written(self) -> str:
        """A right answer: the one that was written, or the items in their order with the callsign."""
        return self.model or self.composed()

    @cached_property
    def full(self) -> frozenset[str]:
        """Those forms of the callsign that leave nothing out."""
        return frozenset(callsign.full(self.callsign, self.phraseology, self.name))

    @cached_property
    def given(self) -> Heard:
        """What the station said, else the right call."""
        return hear(self.heard or self.model, self.forms)

    @property
    def said(self) -> tuple[str, ...]:
        """The items as they must be said, each with its unit."""
        return tuple(_with_unit(one) for one in self.items)

    def composed(self, said: Sequence[str] | None = None, own: str | None = None) -> str:
        """Items with the callsign in its place: last, or first behind the name of the station called.

        Args:
            said: the items to say, in order; all of them where it is None.
            own: what to say for the callsign, where it is not as the station said it.
        """
        texts = self.said if said is None else said
        own = self._own if own is None else own
        if "last" in self.places:
            return ", ".join(text for text in (*texts, own) if text)
        opening = [text for text in texts if _opens(spoken.tokens(text))]
        return ", ".join(text for text in (*opening, own, *(each for each in texts if each not in opening)) if text)

    @property
    def _own(self) -> str:
        """The callsign as the station said it, else in full."""
        used = self.own_in(self.given) - self.full
        return callsign.short(self.callsign, self.phraseology) if used else self.callsign

    def own_in(self, heard: Heard) -> set[str]:
        """The forms of the callsign that were said."""
        return {"".join(atom.text for atom in heard.atoms[start:end]) for start, end in heard.callsigns}

    @cached_property
    def places(self) -> frozenset[str]:
        """Where the callsign may stand: before the items, or behind them; anywhere where this is empty.

        Last in a reply, first in a call (CAP 413 edition 22, 2.48; Doc 9432 2.8.3.7), as the model has it; either for
        the FAA (AIM 4-2-3(c), 4-4-7(b)).
        """
        if self.phraseology == "faa":
            return frozenset({"first", "last"})
        if self._modelled is not None:
            return self._modelled
        return frozenset({"last" if self.heard else "first"})

    @cached_property
    def begins(self) -> bool:
        """Whether the pilot begins: nothing was heard, and the model does not end with the callsign as a reply does."""
        return not self.heard and "last" not in (self._modelled or ())

    @cached_property
    def _modelled(self) -> frozenset[str] | None:
        """Where the model has the callsign; None where it has none."""
        heard = hear(self.model, self.forms)
        return placed(heard, readback.match(heard, self.items)) if heard.callsigns else None

    @cached_property
    def situation(self) -> Situation:
        """What may be said without being claimed."""
        given = tuple(token for text in (self.heard, self.model) for token in hear(text, self.forms).tokens)
        given += tuple(token for text in self.wanted for token in spoken.tokens(text))
        return Situation(given, self.phraseology, bool(self.heard), rules.STATIONS[self.station].clears)


def _opens(tokens: Sequence[Token]) -> bool:
    """Whether it opens a call: names the station called, or says `transmitting blind` (CAP 413 2.88)."""
    return bool(tokens) and tokens[-1].text in STATIONS | {"blind"}


def _with_unit(one: Item) -> str:
    return f"{one.text} {one.must}" if one.must and not one.unit else one.text


def placed(heard: Heard, found: Sequence[Found]) -> frozenset[str]:
    """Where a callsign stands: `first`, `last`, or both where nothing else was said."""
    spans = [one.span for one in found if one.span]
    body = [one.span for one in found if one.span and not _opens(spoken.tokens(one.item.text))]
    last = any(end >= max((span[1] for span in spans), default=0) for _, end in heard.callsigns)
    first = any(start <= min((span[0] for span in body), default=start) for start, _ in heard.callsigns)
    return frozenset(({"last"} if last else set()) | ({"first"} if first else set()))
