"""The trade's own faults in what a pilot says, beside items left out: everything said is accounted for.

What was said is in what the station said, in the right answer, or harmless; else it is wrong, and a clearance or
permission that was claimed and never given is the worst of all. Who begins may say more than must be, but no second
value beside the right one.

Sources: ICAO Doc 9432 (4th edition) 2.6 and 2.8.3; CAP 413 edition 22, table 8, 2.67, 2.72 and 4.76 to 4.80; AIM 4-1-9.
"""

from collections.abc import Iterable, Iterator, Sequence

from stickback.radio import alphabet, rules
from stickback.radio.basis import Basis
from stickback.radio.things import Said, TakenBack, Thing

_RUNWAY = 2  # figures of a runway or holding point at the most


def spoilt(said: Said, basis: Basis) -> list[TakenBack]:
    """What takes something back and does not stand so in the right answer or in what the station said."""
    return [back for back in said.taken_back if not _as_told(back, said, basis)]


def _as_told(back: TakenBack, said: Said, basis: Basis) -> bool:
    if back.word == "not in sight" and "condition" not in {each.kind for each in basis.things}:
        return True  # the answer to traffic information; under a condition it refuses
    if basis.emergency and back.word in rules.MATTER:
        return True
    if back.how == "denied" and "unable" in basis.modelled & {token.text for token in said.tokens[back.at + 1 :][:1]}:
        return True  # `negative, unable` refuses twice
    of = back.of(said.things)
    if back.word == "request" and basis.tower and not basis.reply and any(each.permitted for each in of):
        return True  # who begins asks for what he wants to do, and does not do it yet
    asks = not basis.reply and basis.modelled & rules.ASKING and not any(each.permitted for each in of)
    if back.word in basis.modelled or (back.word in rules.ASKED_AS_WELL and asks):
        return True
    told = back.word in {each.word for each in basis.heard.taken_back if each.word != "negative"}
    return all((back.word, each.same) in basis.taken_back for each in of) and (bool(of) or told)


def found(said: Said, basis: Basis, told: Iterable[range] = ()) -> Iterator[str]:
    """All faults, the worst first.

    Args:
        told: places of tokens that are named as wrong already.
    """
    named = {place for each in told for place in each}
    spoiling = spoilt(said, basis)
    governed = {
        id(each)
        for back in said.taken_back
        for each in back.of(said.things)
        if back in spoiling or (back.word, each.same) in basis.taken_back
    }
    if "own" not in {each.kind for each in said.things}:
        governed |= {id(each) for each in said.things if each.kind == "spelt"}  # letters of another callsign
    plain = [each for each in said.things if id(each) not in governed and not named & set(range(each.at, each.after))]
    if "unable" in basis.modelled & {token.text for token in said.tokens}:
        yield from refusal(said)
    yield from dict.fromkeys(_claimed(plain, said, basis))
    yield from dict.fromkeys(_taken_back(spoiling, said, basis))
    yield from _asked(said, basis)
    yield from _called(said, basis)
    yield from _take_off(said, basis)
    yield from dict.fromkeys(_unaccounted(plain, said, basis))


def _claimed(plain: Sequence[Thing], said: Said, basis: Basis) -> Iterator[str]:
    """Clearances and permissions that nobody gave."""
    cleared = {*basis.values("clearance"), *({"cross"} if "cross" in basis.acts else ())}
    for thing in plain:
        if thing.kind == "clearance" and _announced(thing, said, basis):
            continue
        if thing.kind == "clearance" and thing.value not in cleared and (thing.value or not cleared):
            nobody = "" if basis.tower else " Here nobody clears anybody: the pilot decides."
            yield f"You claimed a clearance that was not given: {thing.named}.{nobody}"
        elif thing.kind == "act" and thing.permitted and not _may(thing, said, basis):
            claimed = f"You claimed a permission that was not given: {thing.value}."
            yield f"'{thing.value.capitalize()}' does not fit here." if thing.value in basis.decided else claimed


def _announced(thing: Thing, said: Said, basis: Basis) -> bool:
    """Whether it only names a clearance that is still to come, as the station did: `late landing clearance`."""
    words = [token.text for token in said.tokens[max(thing.at - 1, 0) : thing.after]]
    return "late" in basis.words and (words[0], words[-1]) == ("late", "clearance")


def _may(thing: Thing, said: Said, basis: Basis) -> bool:
    """Whether what a pilot does was permitted, or needs no permission: who begins says what he intends."""
    if thing.doing and thing.value in rules.UNDER_WAY and basis.asks and not _governed(thing, said):
        return False
    if thing.value in basis.acts or basis.decides(thing.value):
        return True
    if not basis.reply and thing.value in rules.INTENTIONS:
        return not basis.acts & rules.INTENTIONS
    before = [each.kind for each in said.things if each.after == thing.at]
    if thing.value == "land" and before == ["sequence"] and not said.tokens[thing.at].apart:
        return True  # `number 2 to land` is a place in the queue
    return _adds(thing, basis)


def _governed(thing: Thing, said: Said) -> bool:
    """Whether a word takes it back or asks for it."""
    return any(thing in back.of(said.things) for back in said.taken_back)


def refusal(said: Said) -> Iterator[str]:
    """What a refusal may not hold: the act it refuses, or a clearance (CAP 413 2.72)."""
    governed = {id(each) for back in said.taken_back for each in back.of(said.things)}
    for thing in said.things:
        done = thing.doing or id(thing) not in governed
        if done and (thing.permitted or thing.role == "cross"):
            yield f"'Unable' refuses, and '{thing.named}' beside it accepts: say one of the two."


def _taken_back(spoiling: Sequence[TakenBack], said: Said, basis: Basis) -> Iterator[str]:
    for back in spoiling:
        of = [each for each in back.of(said.things) if not _needless(each, back, basis)]
        if back.word == "unable":
            yield "'Unable' refuses: nothing here asks for that, and it is no read-back."
        elif of:
            yield f"'{_word(back)}' takes back what it stands beside: {of[0].named}."
        elif _unseen(back, said, basis):
            yield "The condition holds only while the traffic is in sight: without it, refuse."
        elif back.word in rules.SPOIL and not back.of(said.things):
            yield f"'{_word(back)}' is no answer to this."


def _unseen(back: TakenBack, said: Said, basis: Basis) -> bool:
    """Whether the traffic of a condition is not seen (Doc 9432 4.5.7, CAP 413 4.34)."""
    traffic = set(basis.values("condition")) - {""}
    words = {said.tokens[place].text for place in back.governed} | {back.word}
    return back.how == "denied" and bool(traffic) and bool(words & (traffic | rules.SEEN))


def _needless(thing: Thing, back: TakenBack, basis: Basis) -> bool:
    """Whether taking it back harms nothing: a clearance or an act that was not given is denied, asked for, expected."""
    idle = thing.kind in rules.HARMLESS - {"ready"} and back.word not in {"say again", "was that"}
    if idle or (back.how == "wished" and not basis.reply):
        return True
    if thing.permitted:
        absent = thing.value not in basis.acts if thing.value else not basis.values("clearance")
    else:
        absent = thing.kind in {"act", "position", "immediate"} and thing.same not in basis.same
    return absent and (back.how == "wished" or back.word not in rules.SPOIL or not basis.reply)


def _word(back: TakenBack) -> str:
    return "A question" if back.word == "?" else back.word.capitalize()


def _asked(said: Said, basis: Basis) -> Iterator[str]:
    """Permission asked of a station that gives none (CAP 413 edition 22, table 8 notes and 4.76 to 4.80)."""
    wished = [each for back in said.taken_back if back.word == "request" for each in back.of(said.things)]
    leave = any(each.kind == "clearance" or each.value in rules.ON_A_RUNWAY | {"land"} for each in wished)
    if not basis.tower and leave and "request" not in basis.words:
        yield "Nobody here gives permission: say what you intend."


def _called(said: Said, basis: Basis) -> Iterator[str]:
    """Everyone else asked to speak, where nobody answers: no phrase of a self-announced call (AIM 4-1-9(g))."""
    words = [token.text for token in said.tokens]
    at = words.index("advise") if "advise" in words else 0
    if not basis.tower and "traffic" in words[max(0, at - 5) : at]:
        yield "'Any traffic please advise' is no call: say where you are and what you do, and listen."


def _take_off(said: Said, basis: Basis) -> Iterator[str]:
    """The word outside a take-off clearance; it has no other use (Doc 9432 2.8.3.3, CAP 413 2.67)."""
    words = {token.text for token in said.tokens} - (set() if basis.tower else {"taking off"})
    ready = any(each.kind == "ready" and each.value == "takeoff" for each in said.things)
    if basis.phraseology != "faa" and rules.TAKEOFF & words and (ready or not rules.TAKEOFF & basis.words):
        yield "'Take-off' is said only in a take-off clearance or its cancellation; else it is 'departure'."


def _unaccounted(plain: Sequence[Thing], said: Said, basis: Basis) -> Iterator[str]:
    for thing in plain:
        if thing.permitted or (thing.kind in rules.HARMLESS and not thing.unit):
            continue
        if thing.kind not in rules.HARMLESS and not _known(thing, said, basis):
            yield _nobody_said(thing, basis)
        elif thing.unit and thing.unit not in rules.UNITS.get(thing.kind, set()) | basis.units(thing.kind):
            yield f"You said {thing.named} {thing.unit}: that is no unit of it."


def _known(thing: Thing, said: Said, basis: Basis) -> bool:
    """Whether it was given, or may be said by who begins."""
    if thing.kind in {"figure", "spelt"}:
        return _goes_on(thing, said, basis) or (thing.kind in basis.added and _adds(thing, basis))
    return thing.same in basis.same or _otherwise(thing, basis) or _adds(thing, basis)


def _otherwise(thing: Thing, basis: Basis) -> bool:
    """Whether it was given in another form."""
    kind, value = thing.kind, thing.value
    if kind == "act":
        return value in basis.acts or basis.decides(value)
    if kind in {"position", "plan"}:
        return value.removeprefix("short ") in {*basis.values("position"), *basis.values("plan")}
    if kind == "level":
        loose = (*basis.values("level", ""), *basis.values("figure"), *(() if thing.role else basis.values("level")))
        return value in loose
    if kind == "station":
        there = {*basis.values("station"), *(each.value for each in basis.scene.things if each.kind == "station")}
        return (
            value in there
            or any(each.endswith(f" {value}") for each in there)
            or (basis.reply and not there and " " in value)
        )
    if kind in {"turn", "side"}:
        return value in {*basis.values("side"), *basis.values("turn")}
    if kind == "vertical":
        climbs = value == "climb" and "go around" in basis.acts
        return climbs or (not basis.values("vertical") and bool(basis.values("level")))
    follows = bool(basis.values("condition")) if not value else value in basis.words
    return kind == "condition" and follows and bool(basis.values("condition") or basis.values("sequence"))


def _adds(thing: Thing, basis: Basis) -> bool:
    """Whether who begins may add it: a kind of thing that the right call does not have, and as the scene has it."""
    replies = basis.reply and not (basis.decided and thing.kind in rules.ADDED_DECIDING)
    if replies or thing.role == "cross":
        return False
    if thing.kind in {"act", "vertical"}:
        return thing.value in rules.ADDED_ACTS | basis.added
    told = basis.scene.things if thing.kind != "figure" else ()  # `say it three times` is no figure of the flight
    there = [each.value for each in told if each.kind == thing.kind]
    known = thing.value in there or (not there and thing.role != "hold short")
    return thing.kind in rules.ADDED | basis.added and not basis.values(thing.kind, thing.role) and known


def _goes_on(thing: Thing, said: Said, basis: Basis) -> bool:
    """Whether a figure or letter alone was given; right behind another value it is a second one of that."""
    before = next((each for each in said.things if each.after == thing.at), None)
    if before and thing.kind == "figure" and before.value in rules.ON_A_RUNWAY | {"land", "hold short"}:
        return {thing.value, thing.value.zfill(2)} & set(basis.values("runway")) != set()
    if thing.kind == "spelt" and not (before and before.kind in {"holding point", "route"}):
        return thing.value in basis.words  # behind a runway it is a taxiway that was given
    if before and before.kind in {"runway", "holding point", "route"} and len(thing.value) <= _RUNWAY:
        return thing.value in basis.values(before.kind) or _adds(before, basis)
    alike = [each for each in (*basis.values("figure"), *basis.values("level")) if len(each) == len(thing.value)]
    return thing.value in basis.words or (not basis.reply and not alike and thing.value.endswith("00"))


def _nobody_said(thing: Thing, basis: Basis) -> str:
    there = [each for each in basis.values(thing.kind, thing.role) if each]
    if there and thing.value and thing.kind not in {"act", "spelt", "figure"}:
        return f"You said {thing.named}; it is {' or '.join(_shown(each, thing) for each in there)}."
    return f"Nobody said {thing.named}."


def _shown(value: str, thing: Thing) -> str:
    return f"{value} turn" if thing.kind == "turn" else alphabet.printed(value)
