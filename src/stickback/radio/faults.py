"""The trade's own faults in what a pilot says, beside items left out: what was claimed and never given comes first.

Sources: ICAO Doc 9432 (4th edition) 2.6 and 2.8.3; CAP 413 edition 22, table 8, 2.67 and 4.76 to 4.80.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from stickback.radio.spoken import Token

# What a clearance is for, and what else is done only where it was permitted.
_CLEARED_FOR = frozenset({"takeoff", "land", "touch go", "option", "approach", "cross", "enter"})
_PERMITTED = frozenset({"line up", "cross", "enter", "backtrack"})
_NO_CLAIM = frozenset(
    {"request", "unable", "negative", "hold short", "ready", "not", "confirm", "need", "time", "before", "expect"}
)
_NO_CLEARANCE = frozenset({"not", "confirm"})  # right before `cleared`: a denial, a question
_TAKEOFF = frozenset({"takeoff", "taking off"})
# Words whose figure stands right behind them.
_KEYWORDS = frozenset(
    {"runway", "qnh", "qfe", "altimeter", "heading", "altitude", "height", "squawk", "flight level", "number"}
)
_AFTER_REQUEST = _PERMITTED | {"takeoff", "land", "clearance"}
_CONTRARY = {
    "left": "right",
    "right": "left",
    "left turn": "right turn",
    "right turn": "left turn",
    "climb": "descend",
    "descend": "climb",
}
ACKNOWLEDGED = frozenset({"roger", "wilco", "copied", "copy", "copying", "ok", "okay", "understood", "received"})


@dataclass(frozen=True)
class Situation:
    """What an answer is held against.

    Args:
        given: tokens of what the station said, or of the call that is right.
        reply: whether the station said something; a pilot who begins may say more than must be.
        tower: whether the station gives clearances.
    """

    given: tuple[Token, ...]
    phraseology: str
    reply: bool
    tower: bool


def claimed(said: Sequence[Token], at: Situation) -> Iterator[str]:
    """Clearances and permissions that nobody gave; the worst of all."""
    given = {*_clearances(at.given), *(f"cleared to {word}" for word in _texts(at.given) & {"cross"})}
    for what in dict.fromkeys(_clearances(said)):
        if what not in given and not (what == "cleared" and given):
            nobody = "" if at.tower else " Here nobody clears anybody: the pilot decides."
            yield f"You claimed a clearance that was not given: {what}.{nobody}"
    if at.tower and at.reply:
        permitted = _texts(at.given)
        permitted |= {"enter"} if permitted & _PERMITTED else set()  # who lines up or backtracks enters
        for word in dict.fromkeys(_permissions(said)):
            if word not in permitted:
                yield f"You claimed a permission that was not given: {word}."


def _permissions(said: Sequence[Token]) -> Iterator[str]:
    """What a pilot does, by his words, that needs a permission; what is asked for or refused is not done."""
    for place, token in enumerate(said):
        before = {each.text for each in said[max(0, place - 2) : place]}
        does = token.text in _PERMITTED or (_lands(said, place) and "number" not in before)
        if does and not before & (_NO_CLAIM | {"cleared"}):
            yield token.text


def _lands(said: Sequence[Token], place: int) -> bool:
    """Whether `landing` stands for what the pilot does; before another word it is the traffic's."""
    behind = said[place + 1 : place + 2]
    return said[place].text == "land" and (not behind or behind[0].text == "runway")


def _clearances(tokens: Sequence[Token]) -> Iterator[str]:
    """What `cleared` is said for: `cleared takeoff`; `cleared` alone where it is for nothing named."""
    for at, token in enumerate(tokens):
        if token.text == "cleared" and (not at or tokens[at - 1].text not in _NO_CLEARANCE):
            behind = [each.text for each in tokens[at + 1 : at + 4]]
            target = next((word for word in behind if word in _CLEARED_FOR), "")
            yield f"cleared {_plain(target)}".strip()


def _plain(word: str) -> str:
    return {"takeoff": "for take-off", "land": "to land", "touch go": "touch and go", "cross": "to cross"}.get(
        word, word
    )


def refused(said: Sequence[Token], at: Situation) -> Iterator[str]:
    """`Unable` beside a read-back, where nobody spoke of it: it is either the one or the other (CAP 413 2.72)."""
    if "unable" in _texts(said) - _texts(at.given):
        yield "'Unable' refuses: nothing here asks for that, and it is no read-back."


def asked(said: Sequence[Token], at: Situation) -> Iterator[str]:
    """Permission asked of a station that gives none (CAP 413 edition 22, table 8 notes and 4.76 to 4.80)."""
    for place, token in enumerate(said):
        wished = {each.text for each in said[place + 1 : place + 4]} & _AFTER_REQUEST
        if not at.tower and token.text == "request" and wished and "request" not in _texts(at.given):
            yield "Nobody here gives permission: say what you intend."
            return


def called(said: Sequence[Token], at: Situation) -> Iterator[str]:
    """Everyone else asked to speak, where nobody answers: no phrase of a self-announced call (AIM 4-1-9(g))."""
    for place, token in enumerate(said):
        if not at.tower and token.text == "advise" and "traffic" in _texts(said[max(0, place - 5) : place]):
            yield "'Any traffic please advise' is no call: say where you are and what you do, and listen."
            return


def contrary(said: Sequence[Token], at: Situation, told: Collection[str]) -> Iterator[str]:
    """Left for right and climb for descend, where the other alone was given.

    Args:
        told: words of items that are named as wrong already.
    """
    heard, given = _texts(said), _texts(at.given)
    for word, other in _CONTRARY.items():
        if word in heard - given and other in given and other not in told:
            yield f"You said {word}; it is {other}."


def take_off(said: Sequence[Token], at: Situation) -> Iterator[str]:
    """The word outside a take-off clearance; it has no other use (Doc 9432 2.8.3.3, CAP 413 2.67)."""
    strict = at.phraseology in {"icao", "uk"} and at.tower
    if strict and _TAKEOFF & _texts(said) and not _TAKEOFF & _texts(at.given):
        yield "'Take-off' is said only in a take-off clearance or its cancellation; else it is 'departure'."


def figures(said: Sequence[Token], at: Situation, told: Collection[str]) -> Iterator[str]:
    """A figure behind its word other than was given: said right once and wrong once is still wrong.

    Args:
        told: words of items that are named as wrong already.
    """
    given: dict[str, list[str]] = {}
    for word, value in _pairs(at.given):
        given.setdefault(word, []).append(value)
    for word, value in dict.fromkeys(_pairs(said)):
        if word in told or value in given.get(word, ()):
            continue
        if word in given:
            yield f"You said {word} {value}; it is {' or '.join(dict.fromkeys(given[word]))}."
        elif at.reply:
            yield f"Nobody said {word} {value}."


def _pairs(tokens: Sequence[Token]) -> Iterator[tuple[str, str]]:
    """(word, figure) of every figure that stands behind its word, with the side of a runway."""
    for word, value in pairwise(tokens):
        if word.text in _KEYWORDS and value.number:
            yield word.text, value.text


def _texts(tokens: Sequence[Token]) -> set[str]:
    return {token.text for token in tokens}
