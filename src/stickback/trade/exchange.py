"""An exchange on the radio: what must be said, and what an answer to it was worth, item by item."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from stickback.trade import callsign, faults, readback, spoken
from stickback.trade.faults import Situation
from stickback.trade.readback import Found, Heard, Item, hear
from stickback.trade.spoken import Token

_STATIONS = frozenset(
    {"tower", "ground", "information", "radio", "approach", "radar", "traffic", "delivery", "control"}
)
_WHERE = {
    frozenset({"first"}): "at the beginning of a call",
    frozenset({"last"}): "at the end of a reply",
    frozenset({"first", "last"}): "at the beginning or the end",
}


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
        calls = [text for text in texts if _calls(spoken.tokens(text))]
        return ", ".join(text for text in (*calls, own, *(each for each in texts if each not in calls)) if text)

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
        return _placed(heard, readback.match(heard, self.items)) if heard.callsigns else None

    @cached_property
    def situation(self) -> Situation:
        """What may be said without being claimed."""
        given = tuple(token for text in (self.heard, self.model) for token in hear(text, self.forms).tokens)
        given += tuple(token for text in self.wanted for token in spoken.tokens(text))
        return Situation(given, self.phraseology, bool(self.heard), self.station == "tower")


def _calls(tokens: Sequence[Token]) -> bool:
    """Whether it opens a call: names the station called, or says `transmitting blind` (CAP 413 2.88)."""
    return bool(tokens) and tokens[-1].text in _STATIONS | {"blind"}


def _with_unit(one: Item) -> str:
    return f"{one.text} {one.must}" if one.must and not one.unit else one.text


@dataclass(frozen=True)
class Verdict:
    """What an answer was worth: whether it is right, the share of items it had, and a sentence for each thing."""

    right: bool
    score: float
    remarks: tuple[str, ...]


def mark(exchange: Exchange, said: str) -> Verdict:
    """An answer held against an exchange; any text has a verdict."""
    heard = hear(said, exchange.forms)
    if exchange.phraseology == "faa":
        heard = replace(heard, tokens=spoken.with_runways(heard.tokens))
    if exchange.unable and "unable" in {token.text for token in heard.tokens}:
        return _refusal(exchange, heard)
    found = readback.match(heard, exchange.items)
    own, wrong = _callsign(exchange, heard, found), [*_faults(exchange, heard, found)]
    missed = [one for one in found if one.span is None]
    if not (missed or own or wrong):
        return Verdict(True, 1.0, tuple(_early(exchange, heard)))
    total = len(found) + 1
    lost = max(len(missed) + bool(own), 1)
    return Verdict(False, 1 - lost / total, (*wrong, *_items(exchange, found), *own, *_roger(exchange, heard, missed)))


def _refusal(exchange: Exchange, heard: Heard) -> Verdict:
    """`Unable` where that is right too: all that is needed beside it is the callsign."""
    claims = faults.claimed(heard.tokens, replace(exchange.situation, given=()))
    remarks = (*claims, *_callsign(exchange, heard, ()))
    return Verdict(not remarks, float(not remarks), remarks)


def _faults(exchange: Exchange, heard: Heard, found: Sequence[Found]) -> Iterator[str]:
    told = {word for one in found if one.wrong for word in one.item.words}
    yield from faults.claimed(heard.tokens, exchange.situation)
    yield from faults.refused(heard.tokens, exchange.situation)
    yield from faults.asked(heard.tokens, exchange.situation)
    yield from faults.called(heard.tokens, exchange.situation)
    yield from faults.contrary(heard.tokens, exchange.situation, told)
    yield from faults.take_off(heard.tokens, exchange.situation)
    yield from faults.figures(heard.tokens, exchange.situation, told)


def _items(exchange: Exchange, found: Sequence[Found]) -> Iterator[str]:
    """One sentence for what was read back, and one for each item that was not."""
    if said := [one.item.text for one in found if one.span]:
        yield f"{'Read back' if exchange.heard else 'Said'}: {', '.join(said)}."
    for one in found:
        if one.span is None:
            why = one.why or (f"you said {one.said}" if one.said else "")
            yield f"Wrong: {one.item.text} ({why})." if why else f"Missing: {one.item.text}."


def _callsign(exchange: Exchange, heard: Heard, found: Sequence[Found]) -> list[str]:
    """What is wrong with the callsign; nothing where it is right."""
    if heard.callsigns:
        if exchange.begins and _early(exchange, heard):
            return ["Wrong: callsign (a first call says it in full)."]
        if not exchange.places or _placed(heard, found) & exchange.places:
            return []
        return [f"Wrong: callsign (out of its place; it stands {_WHERE[exchange.places]})."]
    near = callsign.nearest(heard.atoms, exchange.forms)
    return [f"Wrong: callsign (you said {heard.quoted(*near)})." if near else "Missing: callsign."]


def _placed(heard: Heard, found: Sequence[Found]) -> frozenset[str]:
    """Where a callsign stands: `first`, `last`, or both where nothing else was said."""
    spans = [one.span for one in found if one.span]
    body = [one.span for one in found if one.span and not _calls(spoken.tokens(one.item.text))]
    last = any(end >= max((span[1] for span in spans), default=0) for _, end in heard.callsigns)
    first = any(start <= min((span[0] for span in body), default=start) for start, _ in heard.callsigns)
    return frozenset(({"last"} if last else set()) | ({"first"} if first else set()))


def _early(exchange: Exchange, heard: Heard) -> list[str]:
    """The pilot shortens the callsign only after the station has (Doc 9432 2.7.2; CAP 413 2.26; AIM 4-2-4).

    And says it in full when the first call is his (Doc 9432 2.8.1.1; CAP 413 2.25).
    """
    given = exchange.own_in(exchange.given)
    early = given and given <= exchange.full and not exchange.own_in(heard) & exchange.full
    return ["The station has not shortened your callsign yet: say it in full."] if early else []


def _roger(exchange: Exchange, heard: Heard, missed: Sequence[Found]) -> list[str]:
    """An acknowledgement in place of what must be read back (Doc 9432 2.6 and CAP 413 table 8, `roger`).

    `Wilco` answers a report that was asked for, and is none there (CAP 413 2.70).
    """
    answered = {"wilco"} if "report" in {token.text for token in exchange.given.tokens} else set()
    words = [token.text for token in heard.tokens if token.text in faults.ACKNOWLEDGED - answered]
    return [f"'{words[0].capitalize()}' is no read-back."] if exchange.heard and missed and words else []
