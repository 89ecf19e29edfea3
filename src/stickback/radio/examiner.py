"""What an answer on the radio was worth: every item read back, missing or wrong, and the trade's own faults."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stickback.radio import alphabet, callsign, faults, rules
from stickback.radio.exchange import NOTHING, Exchange
from stickback.radio.readback import Fared
from stickback.radio.things import Said
from stickback.radio.tokens import Heard

_OTHERS = "That was said to somebody else: say nothing."
_ASKED = "That was said to somebody else. To ask does no harm where you are in doubt; else say nothing."
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


def mark(exchange: Exchange, text: str) -> Verdict:
    """An answer held against an exchange; any text has a verdict."""
    heard = exchange.hear(text)
    if exchange.silent:
        right = text.strip("(). ").casefold() in NOTHING
        asked = not right and _asks_whom(exchange, heard)
        return Verdict(right or asked, float(right or asked), (_ASKED,) if asked else () if right else (_OTHERS,))
    said = exchange.things(heard)
    if exchange.unable and exchange.refusals & {token.text for token in said.tokens}:
        remarks = (*faults.refusal(said), *_callsign(exchange, heard, said, ())[0])
        return Verdict(not remarks, float(not remarks), remarks)
    found = exchange.match(heard, said)
    own, gentle = _callsign(exchange, heard, said, found)
    wrong = list(faults.found(said, exchange.basis, [one.instead for one in found]))
    missed = [one for one in found if not one.right]
    misspelt = [*_spoken(exchange, heard, said, found), *_worded(said, found), *_misspelt(heard)]
    if not (missed or own or wrong):
        return Verdict(True, 1.0, (*gentle, *misspelt))
    total = len(found) + 1
    lost = max(len(missed) + bool(own), 1)
    remarks = (*wrong, *_items(exchange, found), *own, *_roger(exchange, said, missed), *misspelt)
    return Verdict(False, 1 - lost / total, remarks)


def right(exchange: Exchange, text: str) -> bool:
    """Whether an answer is right, as `mark` has it; what is wrong with it is not looked for."""
    if exchange.silent or exchange.unable:
        return mark(exchange, text).right
    heard = exchange.hear(text)
    words = frozenset(token.text for token in heard.tokens)
    if not all(one.may_be_in(words) for one in exchange.items):
        return False
    said = exchange.things(heard)
    found = exchange.match(heard, said)
    if not all(one.right for one in found) or _callsign(exchange, heard, said, found)[0]:
        return False
    return not any(faults.found(said, exchange.basis))


def _asks_whom(exchange: Exchange, heard: Heard) -> bool:
    """Whether a pilot only asks if it was for him, and takes nothing of it (CAP 413 2.52, AIM 4-2-4)."""
    said = exchange.things(heard)
    asks = [back for back in said.taken_back if back.word in rules.ASKS_WHOM]
    asked = [each for back in asks for each in back.of(said.things)]
    taken = [each for each in said.things if each.kind not in {"own", "station", "spelt"} and each not in asked]
    return bool(heard.callsigns) and bool(asks) and not taken


def _spoken(exchange: Exchange, heard: Heard, said: Said, found: Sequence[Fared]) -> Iterator[str]:
    """How figures that are right are said in the UK: figure by figure, a heading with its degrees (CAP 413 3.9)."""
    for one in found:
        kind = one.item.words[0] if one.right else ""
        if kind not in rules.BY_FIGURE.get(exchange.phraseology, ()):
            continue
        atoms = heard.atoms[slice(*one.span(said.tokens))]
        if any(atom.text in alphabet.MULTIPLES for atom in atoms):
            yield f"The UK says a {kind} figure by figure, without hundred and thousand."
        behind = {token.text for token in said.tokens[one.at[-1] + 1 : one.at[-1] + 2]}
        if one.item.unit == "degrees" and not behind & {one.item.unit}:
            yield "The UK says degrees behind a heading that ends in zero."


def _worded(said: Said, found: Sequence[Fared]) -> Iterator[str]:
    """The word of a condition, where another was said for it (Doc 9432 4.5.7)."""
    if any(one.right and one.item.words[0] == "behind" != said.tokens[one.at[0]].text for one in found):
        yield "The word of a condition is 'behind'."


def _items(exchange: Exchange, found: Sequence[Fared]) -> Iterator[str]:
    """One sentence for what was read back, and one for each item that was not."""
    if said := [one.item.text for one in found if one.right]:
        yield f"{'Read back' if exchange.heard else 'Said'}: {', '.join(said)}."
    for one in found:
        if not one.right:
            why = one.why or (f"you said {one.said}" if one.said else "")
            yield f"Wrong: {one.item.text} ({why})." if why else f"Missing: {one.item.text}."


def _callsign(exchange: Exchange, heard: Heard, said: Said, found: Sequence[Fared]) -> tuple[list[str], list[str]]:
    """What is wrong with the callsign, and what is only worth a remark.

    Out of its place it is wrong, but in an emergency or a go-around: there the aeroplane comes first. The pilot
    shortens it only after the station has (Doc 9432 2.7.2; CAP 413 2.26; AIM 4-2-4), and says it in full when the first
    call is his (Doc 9432 2.8.1.1; CAP 413 2.25).
    """
    if not heard.callsigns:
        near = callsign.nearest(heard.atoms, exchange.forms)
        return [f"Wrong: callsign (you said {heard.quoted(*near)})." if near else "Missing: callsign."], []
    opened = exchange.own_in(exchange.opening)
    early = bool(opened) and opened <= exchange.full and not exchange.own_in(heard) & exchange.full
    if early and exchange.begins:
        return ["Wrong: callsign (a first call says it in full)."], []
    remarks = ["The station has not shortened your callsign yet: say it in full."] * early
    if not exchange.places or exchange.placed(heard, said.tokens, found) & exchange.places:
        return [], remarks
    where = _WHERE[exchange.places]
    if exchange.urgent:
        return [], [f"The callsign stands {where}.", *remarks]
    return [f"Wrong: callsign (out of its place; it stands {where})."], []


def _misspelt(heard: Heard) -> list[str]:
    """Letters that were taken for what they were meant as."""
    return [
        f"You wrote {heard.text[atom.start : atom.end]}: did you mean {atom.meant}?"
        for atom in heard.atoms
        if atom.meant
    ]


def _roger(exchange: Exchange, said: Said, missed: Sequence[Fared]) -> list[str]:
    """An acknowledgement in place of what must be read back (Doc 9432 2.6 and CAP 413 table 8, `roger`).

    `Wilco` answers a report that was asked for, and is none there (CAP 413 2.70).
    """
    answered = {"wilco"} if "report" in exchange.basis.words else set()
    words = [token.text for token in said.tokens if token.text in rules.ACKNOWLEDGED - answered]
    return [f"'{words[0].capitalize()}' is no read-back."] if exchange.heard and missed and words else []
