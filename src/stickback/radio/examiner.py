"""What an answer on the radio was worth: every item read back, missing or wrong, and the trade's own faults."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stickback.radio import callsign, faults, readback, spoken
from stickback.radio.exchange import Exchange, placed
from stickback.radio.readback import Found, Heard, hear

_WHERE = {
    frozenset({"first"}): "at the beginning of a call",
    frozenset({"last"}): "at the end of a reply",
    frozenset({"first", "last"}): "at the beginning or the end",
}


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
        if not exchange.places or placed(heard, found) & exchange.places:
            return []
        return [f"Wrong: callsign (out of its place; it stands {_WHERE[exchange.places]})."]
    near = callsign.nearest(heard.atoms, exchange.forms)
    return [f"Wrong: callsign (you said {heard.quoted(*near)})." if near else "Missing: callsign."]


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
